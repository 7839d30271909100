#include "station/engine/run_state.hpp"

namespace padtrim::engine {

namespace {

// What a fault of the unit or an abort leads to from the states in which work goes on.
RunState way_out(RunState state) {
    switch (state) {
        case RunState::powering:
        case RunState::identifying:
        case RunState::measuring:
        case RunState::intending:
            return RunState::leaving_untouched;
        case RunState::writing:
        case RunState::reading_back:
        case RunState::committing:
        case RunState::proving:
            return RunState::leaving_unproven;
        default:
            return state;
    }
}

// A unit that the lot's end meets before it is known stays in its nest, unrecorded, for the next
// start; recorded under no name it would count twice.
RunState at_lot_end(RunState state) {
    switch (state) {
        case RunState::waiting:
            return RunState::closed;
        case RunState::powering:
        case RunState::identifying:
            return RunState::leaving_unrecorded;
        default:
            return way_out(state);
    }
}

RunState after_done(RunState state) {
    switch (state) {
        case RunState::waiting:
            return RunState::powering;
        case RunState::powering:
            return RunState::identifying;
        case RunState::identifying:
            return RunState::measuring;
        case RunState::intending:
            return RunState::writing;
        case RunState::writing:
            return RunState::reading_back;
        case RunState::reading_back:
            return RunState::committing;
        case RunState::committing:
            return RunState::proving;
        case RunState::leaving_unrecorded:
        case RunState::leaving_untouched:
        case RunState::leaving_unproven:
        case RunState::leaving_proven:
            return RunState::waiting;
        case RunState::abandoning:
            return RunState::closed;
        case RunState::measuring:
        case RunState::proving:
        case RunState::closed:
            return state;
    }
    return state;
}

RunState after_steps(RunState state) {
    if (state == RunState::measuring || state == RunState::proving) return way_out(state);
    return state;
}

}  // namespace

RunState next(RunState state, RunEvent event) {
    if (state == RunState::closed) return state;
    switch (event) {
        case RunEvent::done:
            return after_done(state);
        case RunEvent::more:
            return state;
        case RunEvent::write_due:
            return state == RunState::measuring ? RunState::intending : state;
        case RunEvent::steps_over:
            return after_steps(state);
        case RunEvent::verified:
            return state == RunState::proving ? RunState::leaving_proven : state;
        case RunEvent::no_unit:
            return state == RunState::waiting ? RunState::closed : state;
        case RunEvent::set_aside:
            return state == RunState::identifying ? RunState::leaving_unrecorded : state;
        case RunEvent::store_fault:
            return state == RunState::waiting ? RunState::closed : RunState::abandoning;
        case RunEvent::lot_ends:
        case RunEvent::fixture_fault:
            return at_lot_end(state);
        case RunEvent::stopped:
        case RunEvent::unit_fault:
        case RunEvent::aborted:
            return way_out(state);
    }
    return state;
}

std::string_view name_of(RunState state) {
    switch (state) {
        case RunState::waiting:
            return "waiting";
        case RunState::powering:
            return "powering";
        case RunState::identifying:
            return "identifying";
        case RunState::measuring:
            return "measuring";
        case RunState::intending:
            return "intending";
        case RunState::writing:
            return "writing";
        case RunState::reading_back:
            return "reading back";
        case RunState::committing:
            return "committing";
        case RunState::proving:
            return "proving";
        case RunState::leaving_unrecorded:
            return "leaving, unrecorded";
        case RunState::leaving_untouched:
            return "leaving, untouched";
        case RunState::leaving_unproven:
            return "leaving, unproven";
        case RunState::leaving_proven:
            return "leaving, proven";
        case RunState::abandoning:
            return "abandoning";
        case RunState::closed:
            return "closed";
    }
    return "?";
}

std::string_view name_of(RunEvent event) {
    switch (event) {
        case RunEvent::done:
            return "done";
        case RunEvent::more:
            return "more";
        case RunEvent::write_due:
            return "write due";
        case RunEvent::steps_over:
            return "steps over";
        case RunEvent::verified:
            return "verified";
        case RunEvent::stopped:
            return "stopped";
        case RunEvent::no_unit:
            return "no unit";
        case RunEvent::set_aside:
            return "set aside";
        case RunEvent::unit_fault:
            return "unit fault";
        case RunEvent::fixture_fault:
            return "fixture fault";
        case RunEvent::store_fault:
            return "store fault";
        case RunEvent::aborted:
            return "aborted";
        case RunEvent::lot_ends:
            return "lot ends";
    }
    return "?";
}

}  // namespace padtrim::engine
