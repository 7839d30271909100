// The recipe: what to do to a unit, in order, and what is allowed.
//
// Plain values, read from TOML by read_recipe(). A step is one alternative of StepBody; its
// declaration (parameters, units, defaults, what it observes, which checks it yields) stands in
// step_declarations.hpp, from which reader, docs and checks are made.
#pragma once

#include <chrono>
#include <cstdint>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "recipes/language/care_steps.hpp"
#include "recipes/language/finger_steps.hpp"
#include "recipes/quantity/quantity.hpp"

namespace padtrim::language {

enum class DecisionKind { simple, guarded };

// JCGM 106: simple acceptance, or guarded so that the stated consumer's risk holds.
struct DecisionRule {
    DecisionKind kind = DecisionKind::guarded;
    double consumer_risk = 0.025;  // of one check, at most, for a guarded rule
    friend bool operator==(const DecisionRule&, const DecisionRule&) = default;
};

enum class OnFailure { stop, go_on };
enum class TrimTarget { gain, touch };

// Label (when one was scanned) and electronic serial agree; product code and nests agree.
struct IdentifyStep {
    friend bool operator==(const IdentifyStep&, const IdentifyStep&) = default;
};

// Each channel alone feels one reference: the change is what the nominal gain says (`contact`, %)
// and no other channel follows (`isolation`, %).
struct ContactStep {
    std::string reference;
    unsigned scans = 2;
    Interval<Percent> contact;
    Interval<Percent> isolation;
    friend bool operator==(const ContactStep&, const ContactStep&) = default;
};

// Gain and offset per channel and frequency over the references, bracketed by open readings.
inline constexpr unsigned fewest_scans_to_settle = 4;  // two halves that can be compared
struct GainOffsetStep {
    std::vector<std::string> references;  // four or more, in switching order
    unsigned scans = 16;                  // at each state
    Interval<CountsPerPicofarad> gain;
    Interval<Counts> offset;
    Interval<Percent> non_linearity;  // of span
    Interval<Counts> settling{};      // within a state
    friend bool operator==(const GainOffsetStep&, const GainOffsetStep&) = default;
};

// Standard deviation of repeated readings with all references open.
struct NoiseStep {
    unsigned scans = 64;
    Interval<Counts> noise;
    friend bool operator==(const NoiseStep&, const NoiseStep&) = default;
};

// The finger touches each key: change on its channels, on the neighbours', and the product's
// own report outside test mode.
struct TouchStep {
    std::vector<std::string> keys;  // empty: all
    unsigned scans = 8;             // lifted and touching, each; at most, with looks
    unsigned looks = 1;             // above 1: touching ends at the look that decides the response
    Interval<Counts> response;
    Interval<Percent> crosstalk;
    Interval<Ratio> signal_to_noise;
    friend bool operator==(const TouchStep&, const TouchStep&) = default;
};

struct WriteTrimsStep {
    TrimTarget target = TrimTarget::gain;
    Counts target_response;  // of a touch, when the target is touch
    friend bool operator==(const WriteTrimsStep&, const WriteTrimsStep&) = default;
};

// Power is taken away, not only a restart asked for.
struct PowerCycleStep {
    std::chrono::milliseconds off_time{500};
    friend bool operator==(const PowerCycleStep&, const PowerCycleStep&) = default;
};

// Evidence that the trims hold: a reference held out of the fit, and the finger. gain_error is
// the corrected change against nominal gain times the step, offset_error the corrected open
// reading (less the fixture's part) against the nominal offset.
struct VerifyStep {
    std::string reference;
    unsigned scans = 16;
    Interval<Percent> gain_error;
    Interval<Counts> offset_error;
    bool finger = true;  // each key must report its touch, and no other
    friend bool operator==(const VerifyStep&, const VerifyStep&) = default;
};

using StepBody =
    std::variant<IdentifyStep, ContactStep, GainOffsetStep, NoiseStep, TouchStep, WriteTrimsStep,
                 PowerCycleStep, VerifyStep, WaitStep, AskStep, WarmUpStep, LinkStep, CrosstalkStep,
                 FrequencyStep, NonLinearityStep, StuckKeyStep, ApproachStep, ResponseStep,
                 SlowApproachStep, ProximityStep, SweepStep, HoverStep, WetPanelStep>;

// How an earlier step ended, for a step that depends on it. A step that did not run ended in no
// way.
enum class Was { pass, fail, inconclusive, not_pass };
struct Condition {
    std::string step;
    Was was = Was::pass;
    friend bool operator==(const Condition&, const Condition&) = default;
};

// Limits of one check that differ on some keys or channels: in the check's own unit.
struct ExceptedLimit {
    std::string check;  // as results name it
    std::optional<double> low, high;
    friend bool operator==(const ExceptedLimit&, const ExceptedLimit&) = default;
};
struct Exception {
    std::vector<std::string> keys;  // with all channels of each
    std::vector<std::uint16_t> channels;
    std::vector<ExceptedLimit> limits;
    friend bool operator==(const Exception&, const Exception&) = default;
};

// A step that did not pass is done again up to `retries` times; what is decided then is decided
// from the last attempt. Each retry gives a bad unit one more chance to pass by luck.
struct Step {
    std::string name;
    OnFailure on_failure = OnFailure::stop;
    StepBody body;
    unsigned retries = 0;
    std::optional<Condition> only_if{};
    std::vector<Exception> exceptions{};
    friend bool operator==(const Step&, const Step&) = default;
};

// What a recipe asks of a fixture beyond what its steps show by themselves.
enum class Need {
    finger,
    contact_references,
    climate,
    guard,
    emergency_stop,
    handler,
    bonded_return_path
};

// As it is done: a recipe based on another has been laid over it, defaults stand in each step.
// A unit that fails again and again passes in the end by luck. Common practice, no source.
inline constexpr unsigned runs_at_most_unsaid = 3;

struct Recipe {
    std::string name;
    std::string revision;
    std::string product;
    DecisionRule decision;
    std::vector<Step> steps;
    std::vector<Need> fixture_has{};
    // Runs of a unit that may end without a pass before a person decides; those for which the
    // station was to blame do not count.
    unsigned runs_at_most = runs_at_most_unsaid;
    friend bool operator==(const Recipe&, const Recipe&) = default;
};

}  // namespace padtrim::language
