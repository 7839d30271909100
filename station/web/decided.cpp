#include "station/web/decided.hpp"

#include <boost/json/object.hpp>

#include "station/answers/cautions.hpp"
#include "station/answers/json.hpp"
#include "station/web/loopback_guard.hpp"

namespace padtrim::web {

Response said(const Decision& decision, std::uint64_t after) {
    switch (decision.outcome) {
        case Outcome::accepted:
            return {202,
                    answers::text_of(boost::json::object{{"accepted", true},
                                                         {"sentence", decision.sentence},
                                                         {"after", after},
                                                         {"caution", answers::caution_line()}}),
                    ""};
        case Outcome::refused:
            return problem(409, decision.sentence, decision.mend);
        case Outcome::unknown:
            return problem(404, decision.sentence, decision.mend);
        case Outcome::bad:
            return problem(400, decision.sentence, decision.mend);
    }
    return problem(500, decision.sentence, decision.mend);
}

Response done_beside(std::function<Decision()> work, std::uint64_t after) {
    Response response;
    response.act = true;
    response.later = [work = std::move(work), after] {
        const Decision decided = work();
        Response done = said(decided, after);
        done.before = decided.before;
        done.after = decided.after;
        return done;
    };
    return response;
}

}  // namespace padtrim::web
