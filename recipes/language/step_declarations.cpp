#include "recipes/language/step_declarations.hpp"

#include "recipes/language/declare_step.hpp"
#include "recipes/language/words.hpp"

namespace padtrim::language {
namespace {

using document::above;
using document::between;
using document::Fields;
using document::may;
using document::must;

StepDeclaration identify() {
    return Declare<IdentifyStep>(
               "identify", "Makes sure that the right unit lies in the nest, before anything else.",
               "product code, firmware, electronic serial number, scanned label")
        .check("product code", "unit", "the unit is of the product that the register map describes")
        .check("label", "unit",
               "the scanned label, when there is one, agrees with the electronic serial number");
}

StepDeclaration contact() {
    return Declare<ContactStep>("contact check",
                                "Switches one reference in on each channel alone: shows missing "
                                "contact, dead channels and channels that are joined.",
                                "raw counts of all channels, open and with the reference")
        .parameter(must("reference", "the reference that is switched in"), &ContactStep::reference)
        .parameter(may("scans", "scans at each state"), &ContactStep::scans, scan_range)
        .limit({"contact", "contact", "", Claim::indication, per_line,
                "change of the channel, as a share of nominal gain times the step", true},
               &ContactStep::contact)
        .limit({"isolation", "isolation", "", Claim::indication, per_line,
                "largest change of any other channel, as a share of the same", false, Ends::upper},
               &ContactStep::isolation);
}

StepDeclaration gain_offset() {
    return Declare<GainOffsetStep>("gain and offset",
                                   "Fits a straight line through readings at several references, "
                                   "each between two open readings so that drift is not slope.",
                                   "raw counts, open and with each reference, in bracketed order")
        .parameter(must("references", "four or more of different size, in switching order"),
                   &GainOffsetStep::references)
        .parameter(may("scans", "scans at each state"), &GainOffsetStep::scans, scan_range)
        .limit(
            {"gain", "gain", "", Claim::traceable, per_line,
             "slope of counts against reference steps", false, Ends::either, Doubt::in_proportion},
            &GainOffsetStep::gain)
        .limit({"offset", "offset", "", Claim::traceable, per_line,
                "reading with all references open, less the fixture's own part"},
               &GainOffsetStep::offset)
        .limit({"non-linearity", "non_linearity", "", Claim::traceable, per_line,
                "largest departure from the best straight line, of span", false, Ends::upper},
               &GainOffsetStep::non_linearity)
        .limit({"settling", "settling", "", Claim::indication, per_line,
                "largest change, of all states, from a state's first half of scans to its second: "
                "contacts that had not settled, or a filter of the product that is on",
                false, Ends::upper},
               &GainOffsetStep::settling);
}

StepDeclaration noise() {
    return Declare<NoiseStep>("noise", "Reads repeatedly while nothing changes.",
                              "raw counts with all references open")
        .parameter(may("scans", "how often to read"), &NoiseStep::scans, between(2, 4096))
        .limit({"noise", "noise", "", Claim::indication, per_line,
                "standard deviation of the readings", true, Ends::upper, Doubt::of_scatter},
               &NoiseStep::noise);
}

StepDeclaration touch() {
    return Declare<TouchStep>(
               "touch response",
               "The dummy finger touches each key while its neighbours are watched; then the "
               "product's own report is read outside test mode.",
               "raw counts of all channels, finger lifted and touching; the product's touch report")
        .parameter(may("keys", "which keys; all when left out"), &TouchStep::keys)
        .parameter(may("scans", "scans lifted and touching, each"), &TouchStep::scans, scan_range)
        .parameter(may("looks",
                       "above 1: the scans touching are taken in so many equal parts, and "
                       "no more of them once the response is certain at the stated risk"),
                   &TouchStep::looks, between(1, 16))
        .limit({"touch response", "response", "", Claim::comparable, "key and frequency",
                "mean change of the key's channels for this finger", true},
               &TouchStep::response)
        .limit({"crosstalk", "crosstalk", "", Claim::indication, "key and frequency",
                "largest change on a neighbour, as a share of the touched key's change", false,
                Ends::upper},
               &TouchStep::crosstalk)
        .limit({"signal-to-noise", "signal_to_noise", "", Claim::indication, "key and frequency",
                "mean touch change over peak-to-peak noise (common practice, no source)", false,
                Ends::lower},
               &TouchStep::signal_to_noise)
        .check("touch report", "key", "the product reports this key, and no other")
        .check("rest report", "unit", "with the finger lifted the product reports nothing");
}

StepDeclaration write_trims() {
    return Declare<WriteTrimsStep>(
               "write trims",
               "Writes the trims that bring the unit to nominal. The intent is made durable first; "
               "the registers are read back before they are committed to non-volatile memory.",
               "trim registers as found, as written and as read back")
        .parameter(may("target", "what the trims aim at: the nominal gain, or a touch response"),
                   &WriteTrimsStep::target)
        .parameter(may("target_response", "touch response to aim at, when the target is touch"),
                   &WriteTrimsStep::target_response, document::at_least(0))
        .check("trims in range", "channel",
               "the trim registers can hold what the unit needs; told only of a unit that fails it")
        .check("trims read back", "unit", "the trim registers hold what was written");
}

StepDeclaration power_cycle() {
    return Declare<PowerCycleStep>("power cycle",
                                   "Takes power away from the unit and gives it back, so that only "
                                   "what is truly stored survives.",
                                   "trim registers after power came back")
        .parameter(may("off_time", "how long power is away"), &PowerCycleStep::off_time,
                   between(10, 60000))
        .check("trims after power-off", "unit", "the trim registers hold what was committed");
}

StepDeclaration verify() {
    return Declare<VerifyStep>("verify",
                               "Evidence that the trims hold: a reference that the fit has not "
                               "seen, and the finger.",
                               "corrected counts, open and with the reference; the touch report")
        .parameter(must("reference", "held out of the fit"), &VerifyStep::reference)
        .parameter(may("scans", "scans at each state"), &VerifyStep::scans, scan_range)
        .parameter(may("finger", "touch each key and read the product's report"),
                   &VerifyStep::finger)
        .limit({"gain error", "gain_error", "", Claim::traceable, per_line,
                "corrected change against nominal gain times the step", true},
               &VerifyStep::gain_error)
        .limit({"offset error", "offset_error", "", Claim::traceable, per_line,
                "corrected open reading, less the fixture's part, against the nominal offset"},
               &VerifyStep::offset_error)
        .check("touch report", "key", "the product reports this key, and no other")
        .check("rest report", "unit", "with the finger lifted the product reports nothing");
}

}  // namespace

std::string_view name_of(Claim claim) {
    static constexpr std::string_view names[] = {"traceable", "comparable", "indication"};
    return names[static_cast<std::size_t>(claim)];
}

const std::vector<StepDeclaration>& step_declarations() {
    static const std::vector<StepDeclaration> all = {
        identify(),
        contact(),
        gain_offset(),
        noise(),
        touch(),
        write_trims(),
        power_cycle(),
        verify(),
        declare_wait(),
        declare_ask(),
        declare_warm_up(),
        declare_link(),
        declare_crosstalk(),
        declare_frequency(),
        declare_non_linearity(),
        declare_stuck_key(),
        declare_approach(),
        declare_response(),
        declare_slow_approach(),
        declare_proximity(),
        declare_sweep(),
        declare_hover(),
        declare_wet_panel(),
    };
    return all;
}

const StepDeclaration& declaration_of(const StepBody& body) {
    return step_declarations()[body.index()];
}

const std::vector<std::string_view>& step_names() {
    static const std::vector<std::string_view> names = [] {
        std::vector<std::string_view> all;
        for (const auto& each : step_declarations()) all.push_back(each.name);
        return all;
    }();
    return names;
}

void describe_body(Fields& fields, const StepDeclaration& declaration, StepBody& body) {
    for (const auto& parameter : declaration.parameters) parameter(fields, body);
    if (declaration.limits.empty()) return;
    bool required = false;
    for (const auto& check : declaration.checks) required = required || check.required;
    fields.table({"limits", "what is allowed", required}, [&](Fields& below) {
        for (const auto& limit : declaration.limits) limit(below, body);
    });
}

bool is_repeatable(const StepBody& body) {
    return !std::holds_alternative<IdentifyStep>(body) &&
           !std::holds_alternative<WriteTrimsStep>(body) &&
           !std::holds_alternative<PowerCycleStep>(body);
}

document::Limit limit_of(const StepBody& body, std::string_view check) {
    for (const auto& each : declaration_of(body).access)
        if (each.check == check) return each.get(body);
    return {};
}

StepBody body_under(const StepBody& body, const Exception& exception) {
    StepBody excepted = body;
    for (const auto& each : declaration_of(body).access)
        for (const auto& limit : exception.limits)
            if (limit.check == each.check) each.set(excepted, {limit.low, limit.high});
    return excepted;
}

bool has_limits(const StepDeclaration& declaration) {
    return !declaration.limits.empty();
}

Doubt doubt_of(std::string_view check) {
    // The few that are not as usual.
    static const std::vector<const CheckDeclaration*> special = [] {
        std::vector<const CheckDeclaration*> found;
        for (const StepDeclaration& step : step_declarations())
            for (const CheckDeclaration& each : step.checks)
                if (each.doubt != Doubt::of_value) found.push_back(&each);
        return found;
    }();
    for (const CheckDeclaration* each : special)
        if (each->name == check) return each->doubt;
    return Doubt::of_value;
}

const CheckDeclaration* check_with_limit(const StepDeclaration& declaration,
                                         std::string_view limit_key) {
    for (const auto& check : declaration.checks)
        if (check.limit_key == limit_key && !limit_key.empty()) return &check;
    return nullptr;
}

}  // namespace padtrim::language
