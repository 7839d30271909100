#include "station/engine/settlement.hpp"

#include <array>
#include <chrono>
#include <cstdio>

namespace padtrim::engine {

Settlement settlement_of(record::WriteStage stage) {
    const auto quarantined = [](const char* known) {
        return Settlement{record::Disposition::quarantined,
                          std::string("The station stopped ") + known +
                              ". The unit is quarantined: a person decides."};
    };
    switch (stage) {
        case record::WriteStage::untouched:
            break;
        case record::WriteStage::intended:
            return quarantined("when it was about to write trims; they may be half written");
        case record::WriteStage::written:
            return quarantined("after writing trims, before they were read back");
        case record::WriteStage::read_back:
            return quarantined("after reading the trims back; they may be committed or not");
        case record::WriteStage::committed:
            return quarantined("after committing the trims, before the power-cycle");
        case record::WriteStage::power_cycled:
            return quarantined("after the power-cycle, before the trims were verified");
        case record::WriteStage::verified:
            return quarantined("after verifying the trims, before the result was stored");
    }
    return {record::Disposition::undecided,
            "The station stopped before anything was written. Run the unit again."};
}

namespace {

std::string day_of(record::WallTime at) {
    const std::chrono::year_month_day day{std::chrono::floor<std::chrono::days>(at)};
    std::array<char, 16> text{};
    std::snprintf(text.data(), text.size(), "%04d-%02u-%02u", static_cast<int>(day.year()),
                  static_cast<unsigned>(day.month()), static_cast<unsigned>(day.day()));
    return text.data();
}

NotRun by_its_past(const record::UnitStanding& standing, const SecondRuns& allowed) {
    if (!standing.finished && !standing.passed_in.empty() && !allowed.after_a_pass)
        return {"The unit passed in lot " + standing.passed_in + " on " +
                    day_of(standing.passed_at) + " already.",
                "Take it out, or start a lot that runs passed units again."};
    if (standing.not_passed >= allowed.without_a_pass)
        return {"The unit was run " + std::to_string(standing.not_passed) +
                    " times and did not pass; the recipe allows " +
                    std::to_string(allowed.without_a_pass) + " runs.",
                "Put it apart: a person decides what becomes of it (rework lets it run again)."};
    return {};
}

}  // namespace

NotRun why_not_again(const record::UnitStanding& standing, bool left_over,
                     const SecondRuns& allowed) {
    if (!standing.finished) return by_its_past(standing, allowed);
    if (standing.disposition == record::Disposition::quarantined)
        return {"The unit is quarantined. " + standing.reason,
                "Keep it apart, do not ship it; a person decides before it is run again."};
    if (standing.disposition == record::Disposition::scrap)
        return {"The unit was scrapped.", "Take it out of the lot."};
    if (standing.verdict == record::Verdict::pass)
        return {"The unit has passed in this lot already; it is not run twice.",
                "Put it with the good ones."};
    if (NotRun no = by_its_past(standing, allowed); !no.empty()) return no;
    if (left_over && standing.verdict != record::Verdict::no_verdict)
        return {"The unit had its verdict (" + std::string(record::name_of(standing.verdict)) +
                    ") before the station stopped.",
                "Load it again to run it again."};
    return {};
}

NotRun out_of_place(const language::FixtureProfile& fixture, bool shift_check,
                    const std::string& serial) {
    const auto& check = fixture.shift_check;
    const bool watches =
        check && (check->standard(serial) != nullptr || check->is_challenge(serial));
    if (watches && !shift_check)
        return {
            "The unit watches this station (padtrim shift-check) and is never adjusted; it was "
            "not touched.",
            "Take it out."};
    if (!watches && shift_check)
        return {"The unit is neither a check standard nor the challenge unit of this fixture.",
                "Take it out, and lay in those that the profile names."};
    return {};
}

NotRun lot_is_full(std::uint32_t units) {
    return {"The lot has its " + std::to_string(units) +
                " units; this one lay in the nest and is not of it.",
            "Take it out, or run it in the next lot."};
}

NotRun label_differs(std::uint16_t nest, const std::string& label, const std::string& serial) {
    if (label.empty() || label == serial) return {};
    return {"Label and unit differ: " + label + " was scanned for nest " + std::to_string(nest) +
                ", and the unit in it says " + serial + ". Nothing was done to it.",
            "Take it out, then scan the label of the unit that you lay in."};
}

NotRun another_product(const language::RegisterMap& map, std::uint32_t product_code) {
    return {"The unit says product code " + std::to_string(product_code) + ", and '" + map.product +
                "' is " + std::to_string(map.product_code_value) + ". Nothing was done to it.",
            "Take it out: it belongs to another lot."};
}

}  // namespace padtrim::engine
