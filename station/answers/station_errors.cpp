#include "station/answers/station_errors.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <tuple>

#include "db/quality/who_changed.hpp"
#include "db/statistics/individuals.hpp"

namespace padtrim::answers {
namespace {

using quality::Changed;
using record::ChartPoint;

constexpr double risk_of_blame = 0.01;

// All nests and standards of one value.
using ErrorPlace = std::tuple<std::string, std::string, std::string, int, int>;
ErrorPlace error_place_of(const record::ChartPlace& at) {
    return {at.step, at.check, at.key, at.channel, at.frequency};
}
using Points = std::vector<const ChartPoint*>;

// Of a chart; 0: not known.
double sigma_of(const ChartPoint& point) {
    if (point.sigma > 0.0) return point.sigma;
    return point.low && point.high ? (*point.high - *point.low) / 6.0 : 0.0;
}

// Charts of one check of a standard in a nest share their sigma, so its degrees add up.
double degrees_of(const record::ShiftCheck& check, const ChartPoint& point) {
    if (point.sigma <= 0.0 || check.baseline < 2) return std::numeric_limits<double>::infinity();
    const auto alike = std::count_if(check.points.begin(), check.points.end(), [&](const auto& p) {
        return p.place.serial == point.place.serial && p.place.nest == point.place.nest &&
               p.place.step == point.place.step && p.place.check == point.place.check;
    });
    const auto degrees = statistics::moving_range_degrees(check.baseline);
    return degrees ? *degrees * static_cast<double>(std::max<std::ptrdiff_t>(alike, 1)) : 1.0;
}

std::vector<quality::ChangeCell> cells_of(const record::ShiftCheck& check, const Points& points) {
    std::vector<quality::ChangeCell> cells;
    for (const ChartPoint* point : points) {
        const double sigma = sigma_of(*point);
        if (!(sigma > 0.0)) return {};
        const double of_centre =
            point->sigma > 0.0 && check.baseline > 0 ? 1.0 / check.baseline : 0.0;
        cells.push_back({point->place.serial, point->place.nest, point->value - point->centre,
                         sigma * std::sqrt(1.0 + of_centre), degrees_of(check, *point)});
    }
    return cells;
}

// Causes of this nest's error, and of standards.
void conclude(const quality::Explanation& causes, PossibleError& error) {
    bool station = false;
    double variance = 0.0;
    for (const auto& cause : causes) {
        const bool here = cause.what == Changed::station ||
                          (cause.what == Changed::nest && cause.nest == error.nest);
        if (here) {
            station = true;
            error.value += cause.size;
            variance += cause.standard_uncertainty * cause.standard_uncertainty;
        }
        if (cause.what == Changed::standard) error.apart.push_back(cause.standard);
    }
    error.standard_uncertainty = std::sqrt(variance);
    error.whose = station ? (error.apart.empty() ? ErrorOf::station : ErrorOf::station_and_standard)
                          : (error.apart.empty() ? ErrorOf::nothing : ErrorOf::standard);
}

PossibleError error_in_nest(const Points& points, std::uint16_t nest,
                            const quality::WhoChanged* who) {
    PossibleError error;
    error.nest = nest;
    double largest = 0.0;
    for (const ChartPoint* point : points) {
        if (point->place.nest != nest) continue;
        const auto& at = point->place;
        error.check = at.check;
        error.key = at.key;
        error.channel = at.channel;
        error.frequency = at.frequency;
        error.measure = point->unit;
        ++error.standards;
        error.beyond = error.beyond || point->state == record::ChartState::beyond;
        const double departure = point->value - point->centre;
        if (std::abs(departure) > std::abs(largest)) largest = departure;
    }
    if (who != nullptr && who->told() != nullptr) {
        conclude(*who->told(), error);
    } else if (error.beyond || (who != nullptr && who->changed)) {
        // Beyond its limits, and no cause stands out: the station is not cleared by that.
        error.whose = ErrorOf::not_distinguishable;
        error.value = largest;
    }
    return error;
}

bool of_place(const PossibleError& error, const record::ChartPlace& at) {
    return error.nest == at.nest && error.check == at.check && error.key == at.key &&
           error.channel == at.channel && error.frequency == at.frequency;
}

// Everything that was beyond with this standard is told as its own doing.
bool excused(const record::ShiftCheck& check, const std::vector<PossibleError>& errors,
             const std::string& serial) {
    bool any = false;
    for (const auto& point : check.points) {
        if (point.place.serial != serial || point.state != record::ChartState::beyond) continue;
        any = true;
        const bool own = std::any_of(errors.begin(), errors.end(), [&](const auto& error) {
            return of_place(error, point.place) &&
                   std::find(error.apart.begin(), error.apart.end(), serial) != error.apart.end();
        });
        if (!own) return false;
    }
    return any;
}

}  // namespace

std::string PossibleError::apart_words() const {
    std::string words;
    for (const auto& serial : apart) words += (words.empty() ? "" : ", ") + serial;
    return words;
}

std::string_view name_of(ErrorOf whose) {
    switch (whose) {
        case ErrorOf::nothing:
            return "no change that could be told";
        case ErrorOf::station:
            return "the station's";
        case ErrorOf::standard:
            return "a check standard's own";
        case ErrorOf::station_and_standard:
            return "the station's and a check standard's own";
        case ErrorOf::not_distinguishable:
            return "not distinguishable";
    }
    return "";
}

std::vector<PossibleError> possible_errors(const record::ShiftCheck& check) {
    std::map<ErrorPlace, Points> places;
    for (const auto& point : check.points)
        if (point.state != record::ChartState::learning)
            places[error_place_of(point.place)].push_back(&point);
    std::vector<PossibleError> errors;
    for (const auto& [place, points] : places) {
        const auto who = quality::who_changed(cells_of(check, points), risk_of_blame);
        std::vector<std::uint16_t> nests;
        for (const ChartPoint* point : points)
            if (std::find(nests.begin(), nests.end(), point->place.nest) == nests.end())
                nests.push_back(point->place.nest);
        std::sort(nests.begin(), nests.end());
        for (const auto nest : nests)
            errors.push_back(error_in_nest(points, nest, who ? &*who : nullptr));
    }
    std::stable_sort(errors.begin(), errors.end(),
                     [](const auto& a, const auto& b) { return a.beyond > b.beyond; });
    return errors;
}

bool nest_in_doubt(const record::ShiftCheck& check, const std::vector<PossibleError>& errors,
                   std::uint16_t nest) {
    for (const auto& unit : check.standards)
        if (!unit.as_wanted && (unit.challenge || !excused(check, errors, unit.serial)))
            return true;
    bool watched = false, beyond = false;
    for (const auto& error : errors) {
        beyond = beyond || error.beyond;
        if (error.nest != nest) continue;
        watched = true;
        if (error.whose != ErrorOf::nothing && error.whose != ErrorOf::standard) return true;
    }
    return !watched || !beyond;
}

}  // namespace padtrim::answers
