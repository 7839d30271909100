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

}  // namespace padtrim::web
