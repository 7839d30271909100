#include "db/quality/names.hpp"

namespace padtrim::quality {

std::string_view name_of(ShareTest test) {
    return test == ShareTest::score ? "score test" : "exact test";
}

std::string_view name_of(Model model) {
    switch (model) {
        case Model::normal:
            return "normal";
        case Model::percentile:
            return "percentiles";
        case Model::normal_untested:
            return "normal, not tested";
    }
    return "";
}

std::string_view name_of(RunRule rule) {
    switch (rule) {
        case RunRule::beyond_limits:
            return "one point beyond 3 sigma";
        case RunRule::eight_on_one_side:
            return "eight in a row on one side of the centre";
        case RunRule::nine_on_one_side:
            return "nine in a row on one side of the centre";
        case RunRule::six_steady:
            return "six in a row rising or falling";
        case RunRule::fourteen_alternating:
            return "fourteen in a row up and down in turn";
        case RunRule::two_of_three:
            return "two of three beyond 2 sigma on one side";
        case RunRule::four_of_five:
            return "four of five beyond 1 sigma on one side";
        case RunRule::fifteen_within:
            return "fifteen in a row within 1 sigma";
        case RunRule::eight_beyond:
            return "eight in a row beyond 1 sigma";
    }
    return "";
}

std::string_view name_of(Drift drift) {
    switch (drift) {
        case Drift::not_distinguishable:
            return "no change distinguishable";
        case Drift::step:
            return "a step";
        case Drift::trend:
            return "a trend";
        case Drift::step_or_trend:
            return "a step or a trend";
    }
    return "";
}

std::string_view name_of(Whose whose) {
    switch (whose) {
        case Whose::not_distinguishable:
            return "not distinguishable";
        case Whose::station:
            return "the station's";
        case Whose::standard:
            return "one check standard's";
        case Whose::station_and_standard:
            return "the station's and one check standard's";
    }
    return "";
}

std::string_view name_of(Severity severity) {
    switch (severity) {
        case Severity::normal:
            return "normal";
        case Severity::tightened:
            return "tightened";
        case Severity::reduced:
            return "reduced";
        case Severity::stopped:
            return "stopped";
    }
    return "";
}

}  // namespace padtrim::quality
