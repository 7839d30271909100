// The steps of a recipe, each a coroutine that brings about situations and takes readings; none
// judges. One file a step. Steps that write to the unit are write_back.hpp's.
//
// A step starts from any situation and leaves the finger lifted away with its turn given back; on a
// fault it leaves things as they are, for make_safe(). Order and number of the readings are those
// of duration.hpp's estimate.
#pragma once

#include "station/engine/wiring.hpp"
#include "station/engine/workstand.hpp"

namespace padtrim::engine {

// Between looks at what a product reports.
inline constexpr std::chrono::milliseconds watch_pause{50};

// Parameters of coroutines by value: a step is a few words.
[[nodiscard]] Act<void> run_contact(Workstand& at, std::string name, language::ContactStep step);
[[nodiscard]] Act<void> run_gain_offset(Workstand& at, std::string name,
                                        language::GainOffsetStep step);
[[nodiscard]] Act<void> run_noise(Workstand& at, std::string name, language::NoiseStep step);
[[nodiscard]] Act<void> run_touch(Workstand& at, std::string name, language::TouchStep step);
// Corrected counts with a reference that was held out of the fit, then the finger.
[[nodiscard]] Act<void> run_verify(Workstand& at, std::string name, language::VerifyStep step);

[[nodiscard]] Act<void> run_wait(Workstand& at, language::WaitStep step);
[[nodiscard]] Act<void> run_ask(Workstand& at, std::string name, language::AskStep step);
// Ends as soon as the readings stand still.
[[nodiscard]] Act<void> run_warm_up(Workstand& at, std::string name, language::WarmUpStep step);
[[nodiscard]] Act<void> run_link(Workstand& at, std::string name, language::LinkStep step);
[[nodiscard]] Act<void> run_crosstalk(Workstand& at, std::string name,
                                      language::CrosstalkStep step);
[[nodiscard]] Act<void> run_frequency(Workstand& at, std::string name,
                                      language::FrequencyStep step);
[[nodiscard]] Act<void> run_non_linearity(Workstand& at, std::string name,
                                          language::NonLinearityStep step);
[[nodiscard]] Act<void> run_stuck_key(Workstand& at, std::string name, language::StuckKeyStep step);

// step_heights.cpp
[[nodiscard]] Act<void> run_approach(Workstand& at, std::string name, language::ApproachStep step);
[[nodiscard]] Act<void> run_proximity(Workstand& at, std::string name,
                                      language::ProximityStep step);
[[nodiscard]] Act<void> run_response(Workstand& at, std::string name, language::ResponseStep step);
[[nodiscard]] Act<void> run_slow_approach(Workstand& at, std::string name,
                                          language::SlowApproachStep step);
// step_paths.cpp
[[nodiscard]] Act<void> run_sweep(Workstand& at, std::string name, language::SweepStep step);
[[nodiscard]] Act<void> run_hover(Workstand& at, std::string name, language::HoverStep step);
[[nodiscard]] Act<void> run_wet_panel(Workstand& at, std::string name, language::WetPanelStep step);

// A part of a step's progress: what of it lies before and after this part.
struct Part {
    std::uint32_t before = 0, after = 0;
};

// Of each key lifted and touching; the touching ones in `looks` parts, fewer when that suffices.
struct Scans {
    unsigned each = 0, looks = 1;
};

// Every key in turn: lifted over it, then touching it, with the product's own report of both.
// Scans are taken in test mode; none leaves the product as a user meets it.
[[nodiscard]] Act<void> touch_keys(Workstand& at, std::string name, std::vector<std::string> keys,
                                   Scans scans, Part part = {});

// Switches `references` in one after the other on each group of channels, with an open reading
// before, between and after.
struct Bracket {
    std::vector<std::string> references;
    std::vector<std::vector<std::uint16_t>> groups;
    unsigned scans = 1;
    record::Reading reading = record::Reading::raw;
    Part part{};
};
[[nodiscard]] std::uint32_t states_of(const Bracket& bracket);
[[nodiscard]] Act<void> take_bracketed(Workstand& at, std::string name, Bracket bracket);

}  // namespace padtrim::engine
