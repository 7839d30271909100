// Each fault that the virtual bench has on demand, what it must come to, and what it comes to when
// the shipped hob recipe runs in virtual time.
#pragma once

#include <string>
#include <vector>

#include "db/record/unit_result.hpp"
#include "fixtures/bench/bench_options.hpp"
#include "recipes/language/plan.hpp"

namespace padtrim::faults {

// A lot of three units; the second one meets the fault.
struct Fault {
    std::string name;       // for people
    std::string trouble;    // as `padtrim bench --fault` takes it, or "" for a defect
    std::string defect;     // as --defects takes it
    std::string step;       // of the second unit, at whose beginning it happens; "" from the start
    unsigned progress = 1;  // which of the step's reports, so that it is in the middle
    std::string fixture = "hob-bench-1-nest";
    std::uint32_t unit = 2;  // which one meets it
    // What is right.
    record::Verdict verdict = record::Verdict::pass;
    record::Disposition disposition = record::Disposition::released;
    bool lot_goes_on = true;
    std::string says;  // part of the message
};

struct Outcome {
    record::Verdict verdict = record::Verdict::no_verdict;
    record::Disposition disposition = record::Disposition::undecided;
    std::string message, next_step;  // of the unit
    bool lot_goes_on = false;
    std::string lot_says;     // why it ended
    bool runs_again = false;  // what went wrong is mended: another lot passes
};

// A shipped recipe with the map of its name on this profile; throws when they make no plan.
[[nodiscard]] language::PlanPtr plan_of(const std::string& product, const std::string& fixture);
[[nodiscard]] language::PlanPtr plan_on(const std::string& fixture);  // of the hob panel
[[nodiscard]] std::vector<bench::Trouble> troubles_of(const std::string& text,
                                                      const language::Plan& plan);

[[nodiscard]] const std::vector<Fault>& faults();
[[nodiscard]] Outcome outcome_of(const Fault& fault);
// docs/faults.md, whole.
[[nodiscard]] std::string faults_page();

}  // namespace padtrim::faults
