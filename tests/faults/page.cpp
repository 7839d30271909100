// The list of faults with what is right, and the page made of what came out.
#include <string>

#include "tests/faults/fault_rows.hpp"
#include "tests/faults/shift_rows.hpp"

namespace padtrim::faults {

namespace {

using record::Disposition;
using record::Verdict;

Fault at_step(std::string name, std::string trouble, std::string step, unsigned progress = 2) {
    Fault fault;
    fault.name = std::move(name);
    fault.trouble = std::move(trouble);
    fault.step = std::move(step);
    fault.progress = progress;
    return fault;
}

// A fault of the unit or its line: no verdict, and the lot goes on.
Fault of_unit(Fault fault, std::string says, Disposition disposition = Disposition::undecided) {
    fault.verdict = Verdict::no_verdict;
    fault.disposition = disposition;
    fault.says = std::move(says);
    return fault;
}

// A fault of the fixture: no verdict, and the lot ends.
Fault of_fixture(Fault fault, std::string says, Disposition disposition = Disposition::undecided) {
    fault = of_unit(std::move(fault), std::move(says), disposition);
    fault.lot_goes_on = false;
    return fault;
}

Fault rejected(Fault fault, std::string says, Disposition disposition = Disposition::rework) {
    fault.verdict = Verdict::fail;
    fault.disposition = disposition;
    fault.says = std::move(says);
    return fault;
}

Fault defect(std::string name, std::string text) {
    Fault fault;
    fault.name = std::move(name);
    fault.defect = std::move(text);
    return fault;
}

const std::string gain = "gain and offset", touch = "touch response";

void add_wires(std::vector<Fault>& all) {
    for (const char* fault : {"drop", "corrupt", "twice", "scramble", "lose_byte", "double_byte",
                              "noise", "wrong_address", "delay", "split", "stall", "merge"}) {
        Fault one = at_step("unit's line: " + std::string(fault),
                            std::string(fault) + "@nest-1=0.02", gain);
        one.says = "checks hold";
        all.push_back(one);
    }
    all.push_back(
        of_unit(at_step("unit's line: exception replies", "exception@nest-1=1", gain), "refused"));
    all.push_back(of_unit(at_step("unit's line: bits always flip", "corrupt@nest-1=1", gain),
                          "unit in nest 1"));
    all.push_back(of_unit(at_step("unit's line: silent", "silence@nest-1", gain), "No answer"));
    all.push_back(
        of_unit(at_step("unit's line: silent while it is proven", "silence@nest-1", "verify", 1),
                "No answer", Disposition::quarantined));
    for (const char* port : {"relays", "climate"})
        all.push_back(of_fixture(
            at_step(std::string(port) + ": silent", "silence@" + std::string(port), gain),
            "No answer"));
    all.push_back(
        of_fixture(at_step("relays: exception replies", "exception@relays=1", gain), "refused"));
    all.push_back(
        of_fixture(at_step("finger: silent", "silence@finger", touch, 3), "does not answer"));
    all.push_back(of_fixture(at_step("finger: noise", "noise@finger=1", touch, 3), "finger"));
    for (const char* port : {"nest-1", "relays", "finger"})
        all.push_back(of_fixture(
            at_step(std::string(port) + ": the port vanishes", "vanish@" + std::string(port),
                    std::string(port) == "finger" ? touch : gain),
            port));
    all.push_back(of_fixture(at_step("a hub resets", "vanish", gain), "link was cut"));
}

void add_fixture(std::vector<Fault>& all) {
    all.push_back(of_fixture(at_step("reference relay stuck open", "relay_open@1", gain, 1),
                             "1 (stays open)"));
    all.push_back(of_fixture(at_step("reference relay stuck closed", "relay_closed@1", gain, 1),
                             "1 (stays closed)"));
    all.push_back(
        of_fixture(at_step("reference relay slow", "relay_slow@1", gain, 1), "1 (stays open)"));
    all.push_back(of_fixture(at_step("relay of the pins opens", "relay_open@40", gain, 1),
                             "40 (stays open)"));
    all.push_back(
        of_fixture(at_step("relay of the supply opens", "relay_open@41", gain), "41 (stays open)"));
    all.push_back(
        of_fixture(at_step("relay of the supply sticks", "relay_closed@41", "power cycle", 1),
                   "41 (stays closed)", Disposition::quarantined));
    all.push_back(
        rejected(at_step("pin open, 0.5 pF in series", "pin_open@1.2", "contact check", 1),
                 "Check pin, connector and electrode"));
    Fault drift = at_step("references drifted by 2 %", "step_drift@1.2=2", "identify", 1);
    drift.says = "checks hold";
    all.push_back(drift);
    for (const char* worn : {"finger_worn=1", "finger_off=1", "temperature_ramp=1"}) {
        Fault one = at_step(worn == std::string("finger_worn=1")  ? "finger worn by 1 mm"
                            : worn == std::string("finger_off=1") ? "finger off by 1 mm"
                                                                  : "air warms by 1 K a minute",
                            worn, "identify", 1);
        one.says = "checks hold";
        all.push_back(one);
    }
    all.push_back(
        rejected(at_step("interference on one sensing frequency", "tone@1=50", "noise", 1),
                 "disturbance near the station"));
}

void add_units_and_people(std::vector<Fault>& all) {
    all.push_back(of_unit(at_step("unit restarts while it is measured", "unit_restart@1", gain),
                          "restarted while it was measured"));
    all.push_back(of_unit(at_step("unit restarts under the finger", "unit_restart@1", touch, 3),
                          "restarted while it was measured"));
    all.push_back(rejected(defect("trims lost at a restart", "2:trims_lost_at_restart"),
                           "Trims lost", Disposition::quarantined));
    all.push_back(rejected(defect("trims lost at power-off", "2:trims_lost_at_power_off"),
                           "Trims lost", Disposition::quarantined));
    all.push_back(of_unit(defect("unit of another product", "2:other_product"), "product"));
    Fault swapped = of_unit(at_step("two units change nests while measured", "swapped@1", gain),
                            "another unit was put into the nest");
    swapped.fixture = "hob-line-4-nests";
    swapped.unit = 1;
    all.push_back(swapped);
    swapped =
        of_unit(at_step("two units change nests before the trims", "swapped@1", "write trims", 1),
                "Nothing was written");
    swapped.fixture = "hob-line-4-nests";
    swapped.unit = 1;
    all.push_back(swapped);
    all.push_back(
        of_fixture(at_step("guard opened in mid-motion", "guard", touch, 3), "guard door is open"));
    all.push_back(of_fixture(at_step("emergency stop in mid-motion", "stop", touch, 3),
                             "emergency stop is open"));
    all.push_back(of_fixture(at_step("emergency stop while it is proven", "stop", "verify", 1),
                             "emergency stop is open", Disposition::quarantined));
}

std::string cell(std::string text) {
    for (std::size_t at = 0; (at = text.find('|', at)) != std::string::npos; at += 2)
        text.insert(at, "\\");
    return text;
}

std::string when(const Fault& fault) {
    return fault.step.empty() ? "from the start" : fault.step;
}

// The margin of a pass is of the formulas, not of the fault: left out, so that the page lasts.
std::string without_margin(std::string message) {
    const auto margin = message.find("; the smallest margin");
    if (margin == std::string::npos) return message;
    const auto end = message.find(").", margin);
    return message.substr(0, margin) + (end == std::string::npos ? "." : message.substr(end + 1));
}

std::string row(const Fault& fault, const Outcome& out) {
    const std::string asked = fault.trouble.empty() ? "--defects " + fault.defect : fault.trouble;
    const std::string message = without_margin(out.message);
    const std::string says = message + (out.next_step.empty() ? "" : " ") + out.next_step;
    return "| " + fault.name + " | `" + asked + "` | " + when(fault) + " | " +
           std::string(record::name_of(out.verdict)) + " | " +
           std::string(record::name_of(out.disposition)) + " | " + cell(says) + " | " +
           (out.lot_goes_on ? "goes on" : "ends") + " | " + (out.runs_again ? "yes" : "no") +
           " |\n";
}

}  // namespace

const std::vector<Fault>& faults() {
    static const std::vector<Fault> all = [] {
        std::vector<Fault> list;
        add_wires(list);
        add_fixture(list);
        add_units_and_people(list);
        return list;
    }();
    return all;
}

std::string shift_table() {
    std::string table =
        "\n"
        "## What the shift check says\n"
        "\n"
        "Two check standards and a challenge unit (thick glue under a key) on the fixture hob "
        "line, "
        "one nest:\nfive checks to learn from, then the fault, then the check below. Production "
        "is refused while the\nstation is blocked. A finger that is off by less than it may be "
        "within a key (here 3 mm) changes\nnothing that a key could show; a slider or wheel shows "
        "it at once, here on the lamp panel.\n"
        "\n"
        "| fault | as asked for | decision | the station says |\n"
        "| --- | --- | --- | --- |\n";
    for (const ShiftFault& fault : shift_faults()) {
        const auto check = shift_check_under(fault);
        const std::string asked = !fault.trouble.empty() ? '`' + fault.trouble + '`'
                                  : !fault.challenge.empty()
                                      ? "`--challenge " + fault.challenge + '`'
                                      : "";
        table += "| " + fault.name + " | " + asked + " | " +
                 std::string(record::name_of(check.decision)) + " | " +
                 cell(without_margin(check.cause) + ' ' + check.next_step) + " |\n";
    }
    return table;
}

std::string faults_page() {
    std::string page =
        "# What the station says when something goes wrong\n"
        "\n"
        "Made by `fault_table > docs/faults.md`; a test fails when it is stale. The shipped hob "
        "recipe "
        "runs\nlots on the virtual bench in virtual time, and the second unit (the first one where "
        "units change\nnests) meets the fault in the step named. *Lot*: whether it goes on with "
        "the "
        "next unit. *Again*:\nwhether another lot runs once a person has mended what was wrong. "
        "The "
        "faults are written as\n`padtrim bench --fault` takes them "
        "([virtual-bench.md](virtual-bench.md)).\n"
        "\n"
        "A single unit cannot tell an open pin from a broken electrode, references that drifted "
        "together\nfrom a unit of other gain, a worn finger from thick glue, or interference from "
        "its own noise: there\nthe verdict is what the measurements say, the message says what to "
        "look at, and check standards tell\nthe station from the product.\n"
        "\n"
        "| fault | as asked for | in step | verdict | disposition | the station says | lot | again "
        "|\n"
        "| --- | --- | --- | --- | --- | --- | --- | --- |\n";
    for (const Fault& fault : faults()) page += row(fault, outcome_of(fault));
    return page + shift_table();
}

}  // namespace padtrim::faults
