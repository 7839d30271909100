// What a unit at work has shown so far, for whoever watches: the nearest check of each key, of the
// steps that have ended and of the step under way.
//
// A key is looked at again whenever its step says it again or goes on to the next one, so margins
// come while the finger is on a key. Only shown: the verdict is judged from the whole run. Pure but
// for what it remembers.
#pragma once

#include <string>
#include <vector>

#include "db/record/observations.hpp"
#include "db/record/unit_result.hpp"
#include "recipes/language/plan.hpp"

namespace padtrim::engine {

class ShownMargins {
  public:
    void begin();  // a new unit
    // A step has said this key, or "" when it is at none. True when the key said before it has
    // readings to be looked at, which look() judges.
    [[nodiscard]] bool says(const std::string& key);
    void look(const language::Plan& plan, const record::Observations& seen,
              const std::string& step);
    // These checks of an ended step stay; what was looked at while it ran gives way to them.
    void step_ended(const std::vector<record::CheckResult>& checks);
    // What was looked at of a step that is done again, or broke off, says nothing any more.
    void step_again() {
        key_.clear();
        under_way_.clear();
    }

    [[nodiscard]] std::vector<record::CheckResult> nearest() const;
    // Of those the ones that differ from what news() said before.
    [[nodiscard]] std::vector<record::CheckResult> news();

  private:
    std::string key_, looked_at_;
    std::vector<record::CheckResult> ended_, under_way_, said_;
};

}  // namespace padtrim::engine
