// A person at the keyboard who teaches one nest: their words, the permit that they hold, and what
// was taught so far.
//
//   nothing moves --"clear", interlock closed--> words obeyed one after the other --write|quit-->
//   end
//        ^-- "stop", Ctrl-C, a closed terminal, an open interlock, a lease that ran out --|
//
// Each line renews the lease as it is typed, while something moves too; `stop` counts at once and
// throws away what was typed before it. CAUTION: teach_run.hpp.
#pragma once

#include <memory>
#include <string>

#include "recipes/language/plan.hpp"
#include "station/cli/command_line.hpp"

namespace padtrim {

class TeachSession {
  public:
    // `profile_text` is the fixture profile as its file has it; the plan holds the nest and a
    // finger. `command` outlives the session.
    TeachSession(const cli::TeachCommand& command, std::string profile_text,
                 language::PlanPtr plan);
    ~TeachSession();
    TeachSession(const TeachSession&) = delete;
    TeachSession& operator=(const TeachSession&) = delete;

    // To its end; the exit code.
    int run();

  private:
    struct State;
    std::unique_ptr<State> state_;
};

}  // namespace padtrim
