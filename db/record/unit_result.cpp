#include "db/record/unit_result.hpp"

namespace padtrim::record {

std::string_view name_of(Verdict verdict) {
    switch (verdict) {
        case Verdict::pass:
            return "pass";
        case Verdict::fail:
            return "fail";
        case Verdict::inconclusive:
            return "inconclusive";
        case Verdict::no_verdict:
            return "no verdict";
    }
    return "";
}

std::string_view name_of(Disposition disposition) {
    switch (disposition) {
        case Disposition::undecided:
            return "undecided";
        case Disposition::released:
            return "released";
        case Disposition::rework:
            return "rework";
        case Disposition::scrap:
            return "scrap";
        case Disposition::quarantined:
            return "quarantined";
    }
    return "";
}

std::string_view name_of(Traceability traceability) {
    switch (traceability) {
        case Traceability::traceable:
            return "traceable";
        case Traceability::comparable:
            return "comparable";
        case Traceability::indication:
            return "indication";
    }
    return "";
}

std::string_view name_of(Stage stage) {
    return stage == Stage::as_found ? "as found" : "as left";
}

}  // namespace padtrim::record
