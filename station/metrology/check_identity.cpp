// Identity, trims read back and trims after power-off: what either agrees or does not.
#include <algorithm>
#include <cstdio>

#include "station/metrology/step_checks.hpp"

namespace padtrim::metrology {

namespace {

using record::Traceability;
using record::TrimMoment;
using record::TrimsRead;

CheckPlace place(const std::string& step, const char* check, record::Stage stage) {
    return {step, check, "1", Traceability::indication, stage};
}

const TrimsRead* last_trims(const Case& unit, TrimMoment moment) {
    const auto& trims = unit.observations().trims;
    const auto found = std::find_if(trims.rbegin(), trims.rend(),
                                    [&](const TrimsRead& t) { return t.moment == moment; });
    return found == trims.rend() ? nullptr : &*found;
}

bool same(const TrimsRead& a, const TrimsRead& b) {
    return a.gain == b.gain && a.offset == b.offset;
}

void compare(const Case& unit, const std::string& step, const char* check, TrimMoment moment,
             const std::string& note, Findings& findings) {
    const TrimsRead* written = last_trims(unit, TrimMoment::written);
    const TrimsRead* found = last_trims(unit, moment);
    CheckPlace where = place(step, check, record::Stage::as_left);
    if (!written || !found) {
        add_unjudged(findings, std::move(where), "The trims were not read in step " + step + ".");
        return;
    }
    add_condition(findings, std::move(where), same(*written, *found), note);
}

std::string hexadecimal(std::uint32_t value) {
    char text[16];
    std::snprintf(text, sizeof text, "0x%X", static_cast<unsigned>(value));
    return text;
}

}  // namespace

void check_step(const Case& unit, const std::string& step, const language::IdentifyStep&,
                Findings& findings) {
    const auto& identity = unit.observations().identity;
    if (!identity) {
        add_unjudged(findings, place(step, "product code", record::Stage::as_found),
                     "The unit was not identified.");
        return;
    }
    add_condition(findings, place(step, "product code", record::Stage::as_found),
                  identity->product_code == unit.map().product_code_value,
                  "The unit says product code " + hexadecimal(identity->product_code) + ", " +
                      unit.map().product + " has " + hexadecimal(unit.map().product_code_value) +
                      ".");
    if (identity->label.empty()) return;
    add_condition(
        findings, place(step, "label", record::Stage::as_found),
        identity->label == identity->serial,
        "The label says " + identity->label + ", the unit says " + identity->serial + ".");
}

void check_step(const Case& unit, const std::string& step, const language::WriteTrimsStep&,
                Findings& findings) {
    compare(unit, step, "trims read back", TrimMoment::read_back,
            "The trims did not read back as written.", findings);
}

void check_step(const Case& unit, const std::string& step, const language::PowerCycleStep&,
                Findings& findings) {
    const TrimsRead* after = last_trims(unit, TrimMoment::after_power_off);
    const TrimsRead* before = last_trims(unit, TrimMoment::as_found);
    const bool fell_back = after && before && same(*after, *before);
    compare(unit, step, "trims after power-off", TrimMoment::after_power_off,
            fell_back ? "Trims lost at power-off: the unit holds those it came with."
                      : "Trims lost at power-off: the unit holds others than were written.",
            findings);
}

}  // namespace padtrim::metrology
