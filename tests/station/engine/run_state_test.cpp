#include "station/engine/run_state.hpp"

#include <set>

#include <gtest/gtest.h>

namespace padtrim::engine {
namespace {

const std::set<RunState> untouched{RunState::waiting, RunState::powering, RunState::identifying,
                                   RunState::measuring, RunState::intending};
const std::set<RunEvent> faults{RunEvent::unit_fault, RunEvent::fixture_fault,
                                RunEvent::store_fault, RunEvent::aborted, RunEvent::lot_ends};

template <class Check>
void for_all_pairs(Check check) {
    for (const RunState state : all_run_states)
        for (const RunEvent event : all_run_events) {
            SCOPED_TRACE(std::string(name_of(state)) + " + " + std::string(name_of(event)));
            check(state, event, next(state, event));
        }
}

TEST(RunState, WritesOnlyFromADurableIntent) {
    for_all_pairs([](RunState from, RunEvent event, RunState to) {
        if (to == RunState::writing && from != RunState::writing) {
            EXPECT_EQ(from, RunState::intending);
            EXPECT_EQ(event, RunEvent::done);
        }
    });
}

TEST(RunState, NeverForgetsThatAUnitIsUnproven) {
    for_all_pairs([](RunState from, RunEvent event, RunState to) {
        if (!is_unproven(from) || from == RunState::leaving_unproven) return;
        const bool still = is_unproven(to);
        const bool proven = to == RunState::leaving_proven && event == RunEvent::verified;
        const bool given_up = to == RunState::abandoning && event == RunEvent::store_fault;
        EXPECT_TRUE(still || proven || given_up);
    });
}

TEST(RunState, CallsAUnitUnprovenOnlyAfterTheIntent) {
    for_all_pairs([](RunState from, RunEvent, RunState to) {
        if (untouched.count(from) == 0 || to == RunState::writing) return;
        EXPECT_FALSE(is_unproven(to));
    });
}

TEST(RunState, ProvesOnlyByVerification) {
    for_all_pairs([](RunState from, RunEvent event, RunState to) {
        if (to == RunState::leaving_proven && from != to) {
            EXPECT_EQ(from, RunState::proving);
            EXPECT_EQ(event, RunEvent::verified);
        }
    });
}

TEST(RunState, EveryFaultLeadsOutOfEveryWorkingState) {
    for_all_pairs([](RunState from, RunEvent event, RunState to) {
        if (!is_abortable(from) || faults.count(event) == 0) return;
        EXPECT_TRUE(is_leaving(to));
    });
}

TEST(RunState, NoEventButAStoreFaultTurnsAWayOutAside) {
    for_all_pairs([](RunState from, RunEvent event, RunState to) {
        if (!is_leaving(from) || event == RunEvent::done) return;
        EXPECT_EQ(to, event == RunEvent::store_fault ? RunState::abandoning : from);
    });
}

TEST(RunState, ClosedStaysClosed) {
    for (const RunEvent event : all_run_events)
        EXPECT_EQ(next(RunState::closed, event), RunState::closed);
}

TEST(RunState, EndsFromEverywhereWhenTheLotEnds) {
    for (RunState state : all_run_states) {
        for (int i = 0; i < 4 && state != RunState::closed; ++i)
            state = next(state, is_leaving(state) ? RunEvent::done : RunEvent::lot_ends);
        EXPECT_EQ(state, RunState::closed);
    }
}

TEST(RunState, GoesTheWholeWayOfAGoodUnit) {
    const std::array events{RunEvent::done,      RunEvent::done, RunEvent::done, RunEvent::more,
                            RunEvent::write_due, RunEvent::done, RunEvent::done, RunEvent::done,
                            RunEvent::done,      RunEvent::more, RunEvent::more, RunEvent::verified,
                            RunEvent::done};
    RunState state = RunState::waiting;
    std::set<RunState> passed;
    for (const RunEvent event : events) passed.insert(state = next(state, event));
    EXPECT_EQ(state, RunState::waiting);
    EXPECT_TRUE(passed.count(RunState::committing) && passed.count(RunState::leaving_proven));
}

TEST(RunState, EveryStateCanBeReached) {
    std::set<RunState> reached{RunState::waiting};
    for (std::size_t before = 0; before != reached.size();) {
        before = reached.size();
        for (const RunState state : std::set<RunState>(reached))
            for (const RunEvent event : all_run_events) reached.insert(next(state, event));
    }
    EXPECT_EQ(reached.size(), all_run_states.size());
}

TEST(RunState, NamesEveryStateAndEventDifferently) {
    std::set<std::string_view> names;
    for (const RunState state : all_run_states) names.insert(name_of(state));
    EXPECT_EQ(names.size(), all_run_states.size());
    names.clear();
    for (const RunEvent event : all_run_events) names.insert(name_of(event));
    EXPECT_EQ(names.size(), all_run_events.size());
}

}  // namespace
}  // namespace padtrim::engine
