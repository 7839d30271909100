#include "station/metrology/sentences.hpp"

#include <algorithm>
#include <span>

namespace padtrim::metrology {

namespace {

using record::Verdict;

// The checks of one name that came out with this verdict, worst margin first.
class Picked {
  public:
    Picked(const Findings& findings, Verdict verdict) {
        for (const Finding& f : findings.checks) {
            if (f.check.verdict == verdict) all_.push_back(&f);
        }
        std::stable_sort(all_.begin(), all_.end(), [](const Finding* a, const Finding* b) {
            return a->check.margin < b->check.margin;
        });
    }
    [[nodiscard]] bool empty() const { return all_.empty(); }
    [[nodiscard]] const Finding* worst(const std::string& check) const {
        for (const Finding* f : all_) {
            if (f->check.check == check) return f;
        }
        return nullptr;
    }
    // Different channels of one check.
    [[nodiscard]] std::size_t channels(const std::string& check) const {
        std::vector<int> seen;
        for (const Finding* f : all_) {
            const int c = f->check.channel;
            if (f->check.check != check || std::count(seen.begin(), seen.end(), c) > 0) continue;
            seen.push_back(c);
        }
        return seen.size();
    }
    [[nodiscard]] bool one_frequency(const std::string& check) const {
        int frequency = -1;
        for (const Finding* f : all_) {
            if (f->check.check != check) continue;
            if (frequency >= 0 && f->check.frequency != frequency) return false;
            frequency = f->check.frequency;
        }
        return frequency >= 0;
    }
    [[nodiscard]] bool failed_line(int channel) const {
        return std::any_of(all_.begin(), all_.end(), [&](const Finding* f) {
            const auto& c = f->check;
            return c.channel == channel && (c.check == "gain" || c.check == "contact");
        });
    }
    [[nodiscard]] const Finding& worst() const { return *all_.front(); }

  private:
    std::vector<const Finding*> all_;
};

std::string place_of(const Case& unit, const record::CheckResult& check) {
    if (check.channel >= 0) return unit.place_of(static_cast<std::size_t>(check.channel));
    return check.key.empty() ? "the unit" : unit.place_of_key(check.key);
}

bool too_low(const record::CheckResult& c) {
    return c.low && (!c.high || c.value - *c.low < *c.high - c.value);
}

std::string set_aside(const std::string& act) {
    return "Set aside. " + act;
}

// One rule a fault that a line sees; the first that applies speaks.
std::optional<Sentences> identity(const Case&, const Picked& failed) {
    if (const Finding* f = failed.worst("product code")) {
        return Sentences{f->check.note, set_aside("Check that the unit belongs to this lot.")};
    }
    if (const Finding* f = failed.worst("label")) {
        return Sentences{f->check.note, set_aside("Check the label.")};
    }
    return std::nullopt;
}

std::optional<Sentences> contact(const Case& unit, const Picked& failed) {
    const Finding* short_circuit = failed.worst("isolation");
    if (short_circuit && short_circuit->other_channel >= 0) {
        const auto [first, second] =
            std::minmax(short_circuit->check.channel, short_circuit->other_channel);
        return Sentences{
            short_circuit->check.note,
            set_aside("Look for a short between " + unit.place_of(static_cast<std::size_t>(first)) +
                      " and " + unit.place_of(static_cast<std::size_t>(second)) + ".")};
    }
    const Finding* f = failed.worst("contact");
    if (!f) return std::nullopt;
    const std::size_t several = failed.channels("contact");
    if (several > 1 && several == unit.channels()) {
        return Sentences{"No channel feels the reference.",
                         "Seat the unit in its nest again, then run it once more."};
    }
    const std::string place = place_of(unit, f->check);
    return Sentences{f->check.note,
                     set_aside("Check pin, connector and electrode at " + place + ".")};
}

std::optional<Sentences> line(const Case& unit, const Picked& failed) {
    const Finding* f = failed.worst("gain");
    if (!f) f = failed.worst("offset");
    if (!f) f = failed.worst("non-linearity");
    if (!f) return std::nullopt;
    return Sentences{f->check.note, set_aside("Check electrode and connector at " +
                                              place_of(unit, f->check) + ".")};
}

std::optional<Sentences> noise(const Case& unit, const Picked& failed) {
    const Finding* f = failed.worst("noise");
    if (!f) return std::nullopt;
    const std::size_t noisy = failed.channels("noise");
    // What shakes every channel at one frequency alone comes from outside: a supply does not
    // choose.
    if (noisy > 1 && noisy == unit.channels() && failed.one_frequency("noise") &&
        unit.frequencies() > 1)
        return Sentences{"All channels are noisy, at one sensing frequency alone. " + f->check.note,
                         set_aside("Look for a source of disturbance near the station, then run "
                                   "it once more.")};
    if (noisy > 1 && 2 * noisy >= unit.channels()) {
        return Sentences{std::to_string(noisy) + " of " + std::to_string(unit.channels()) +
                             " channels are noisy. " + f->check.note,
                         set_aside("Check the unit's supply.")};
    }
    return Sentences{f->check.note,
                     set_aside("Check the electrode at " + place_of(unit, f->check) + ".")};
}

std::optional<Sentences> touch(const Case& unit, const Picked& failed) {
    const Finding* f = failed.worst("touch response");
    if (!f) f = failed.worst("signal-to-noise");
    if (f) {
        const std::string place = place_of(unit, f->check);
        const bool above_electrode = too_low(f->check) && !failed.failed_line(f->check.channel);
        return Sentences{f->check.note, set_aside((above_electrode ? "Check the glue at "
                                                                   : "Check the electrode at ") +
                                                  place + ".")};
    }
    f = failed.worst("crosstalk");
    if (!f) return std::nullopt;
    const std::string other =
        f->other_channel >= 0 ? unit.place_of(static_cast<std::size_t>(f->other_channel)) : "";
    return Sentences{f->check.note, set_aside("Check the traces between " +
                                              place_of(unit, f->check) + " and " + other + ".")};
}

std::optional<Sentences> trims(const Case&, const Picked& failed) {
    for (const char* check : {"trims read back", "trims after power-off"}) {
        if (const Finding* f = failed.worst(check)) {
            return Sentences{f->check.note, set_aside("Check the unit's memory.")};
        }
    }
    for (const char* check : {"gain error", "offset error"}) {
        if (const Finding* f = failed.worst(check)) {
            return Sentences{"Verification failed. " + f->check.note,
                             set_aside("Its trims are not proven.")};
        }
    }
    return std::nullopt;
}

std::optional<Sentences> report(const Case& unit, const Picked& failed) {
    for (const char* check : {"touch report", "rest report"}) {
        if (const Finding* f = failed.worst(check)) {
            return Sentences{f->check.note,
                             set_aside("Press " + place_of(unit, f->check) + " by hand.")};
        }
    }
    return std::nullopt;
}

// What a person can look at when one of these did not hold; %s is the place.
struct Advice {
    const char *check, *act;
};
// A key that is always reported also spoils the report of each other key.
constexpr Advice stuck[] = {{"stuck key", "Check what lies on %s, and its electrode."}};
constexpr Advice advices[] = {
    {"answer", "Have it looked at."},
    {"supply", "Check the unit's supply."},
    {"link", "Check cable and connector."},
    {"reply time", "Check cable and connector."},
    {"drift", "Let it stand for a while, then run it once more."},
    {"frequency departure", "Look for a source of disturbance near the station."},
    {"trims in range", "Check electrode, glue and overlay at %s."},
    {"dead key", "Check electrode and glue at %s."},
    {"surface", "Check overlay and glue at %s."},
    {"operating distance", "Check the glue at %s."},
    {"differential travel", "Check the glue at %s."},
    {"proximity response", "Check the electrode at %s."},
    {"response time", "Check the product's settings."},
    {"slow approach", "Check the product's settings."},
    {"position non-linearity", "Check the electrodes of %s."},
    {"position error", "Check the electrodes of %s."},
    {"hover report", "Check the product's settings."},
    {"wet report", "Check the product's guard and settings."},
};

std::optional<Sentences> first_of(std::span<const Advice> known, const Case& unit,
                                  const Picked& failed) {
    for (const Advice& advice : known) {
        const Finding* f = failed.worst(advice.check);
        if (!f) continue;
        std::string act = advice.act;
        if (const auto at = act.find("%s"); at != std::string::npos)
            act.replace(at, 2, place_of(unit, f->check));
        return Sentences{f->check.note, set_aside(act)};
    }
    return std::nullopt;
}

std::optional<Sentences> stuck_key(const Case& unit, const Picked& failed) {
    return first_of(stuck, unit, failed);
}
std::optional<Sentences> advised(const Case& unit, const Picked& failed) {
    return first_of(advices, unit, failed);
}

std::string plural(std::size_t n, const std::string& what) {
    return std::to_string(n) + " " + what + (n == 1 ? "" : "s");
}

}  // namespace

Sentences sentences_of_failure(const Case& unit, const Findings& findings) {
    const Picked failed(findings, Verdict::fail);
    for (const auto rule :
         {identity, contact, line, noise, touch, trims, stuck_key, report, advised}) {
        if (auto sentences = rule(unit, failed)) return *sentences;
    }
    if (failed.empty()) return {"A check failed.", "Set aside. Ask the engineer."};
    return {failed.worst().check.note, "Set aside. Ask the engineer."};
}

Sentences sentences_of_doubt(const Case&, const Findings& findings) {
    const Picked doubtful(findings, Verdict::inconclusive);
    std::string reason = doubtful.empty() ? "A check is in doubt." : doubtful.worst().check.note;
    return {std::move(reason), "Set aside. Run it once more, then ask the engineer."};
}

Sentences sentences_of_pass(const Case& unit, const Findings& findings) {
    const Finding* least = nullptr;
    for (const Finding& f : findings.checks) {
        // Conditions have no uncertainty and hold or not; they say nothing of how close it was.
        if (f.check.expanded_uncertainty <= 0.0) continue;
        if (!least || f.check.margin < least->check.margin) least = &f;
    }
    std::string reason = plural(findings.checks.size(), "check") + " hold";
    if (findings.checks.size() == 1) reason += "s";
    if (least) {
        reason += "; the smallest margin is " + figure(least->check.margin, 3) + " (" +
                  least->check.check + " at " + place_of(unit, least->check) + ")";
    }
    return {reason + ".", "Scan the next unit."};
}

// Such a unit is not run again before a person has decided, so no other act than these.
std::string in_quarantine(const std::string& next_step) {
    const std::string keep = "Keep in quarantine: keep it apart, do not ship it.";
    const std::string aside = set_aside("");
    const bool retries = next_step.find("once more") != std::string::npos;
    return next_step.rfind(aside, 0) == 0 && !retries ? keep + " " + next_step.substr(aside.size())
                                                      : keep;
}

Sentences sentences_of_no_verdict(const Case& unit, const Findings& findings,
                                  const std::string& missing_step) {
    const record::Observations& seen = unit.observations();
    const std::string again =
        unit.written() ? set_aside("It was written to and is not proven.") : "Run the unit again.";
    if (!seen.faults.empty()) {
        const record::FaultNote& fault = seen.faults.front();
        const bool of_unit = fault.blame == record::Blame::unit;
        const std::string mend = of_unit ? "Set aside. Check the unit's connection, then run it "
                                           "again."
                                         : "Mend the fault, then run the unit again.";
        return {fault.what, unit.written() ? again : mend};
    }
    if (seen.aborted) return {"The run was stopped by a person.", again};
    if (!findings.gaps.empty()) return {findings.gaps.front(), again};
    if (!missing_step.empty()) {
        return {"Step " + missing_step + " did not run to its end.", again};
    }
    return {"Nothing was checked.", again};
}

}  // namespace padtrim::metrology
