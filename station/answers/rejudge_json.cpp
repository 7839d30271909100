// The answer of rejudge as JSON.
#include <boost/json/array.hpp>
#include <boost/json/object.hpp>

#include "station/answers/documents_check.hpp"
#include "station/answers/rejudge.hpp"

namespace padtrim::answers {
namespace {

using Array = boost::json::array;
using Object = boost::json::object;
using answers::to_json;

Json to_json(const TriedYield& tried) {
    return Object{{"first_pass", tried.first_pass},
                  {"final_pass", tried.final_pass},
                  {"first_open", tried.first_open},
                  {"final_open", tried.final_open}};
}

Json to_json(const CheckYield& line) {
    return Object{{"step", line.step},
                  {"check", line.check},
                  {"key", text(line.key)},
                  {"stage", name_of(line.stage)},
                  {"units", line.units},
                  {"stored_pass", line.stored_pass},
                  {"pass", line.pass},
                  {"fail", line.fail},
                  {"inconclusive", line.inconclusive}};
}

Json to_json(const ChangedRun& run) {
    return Object{{"run", run.run},          {"serial", text(run.serial)},
                  {"lot", text(run.lot)},    {"stored", name_of(run.stored)},
                  {"now", name_of(run.now)}, {"open", run.open},
                  {"what", text(run.what)}};
}

template <class T>
Array list_of(const std::vector<T>& things) {
    Array list;
    for (const auto& each : things) list.push_back(to_json(each));
    return list;
}

}  // namespace

Json to_json(const Rejudged& answer) {
    return Object{{"recipe", text(answer.recipe)},
                  {"recipe_revision", text(answer.recipe_revision)},
                  {"formula_version", answer.formula_version},
                  {"runs", answer.runs},
                  {"drafts", answer.drafts},
                  {"other_product", answer.other_product},
                  {"unreadable", answer.unreadable},
                  {"unfit", answer.unfit},
                  {"misfits", list_of(answer.misfits)},
                  {"same", answer.same},
                  {"other_formulas", answer.other_formulas},
                  {"unexplained", answer.unexplained},
                  {"units", answer.units},
                  {"stored", to_json(answer.stored)},
                  {"now", to_json(answer.now)},
                  {"limit_checks", answer.limit_checks},
                  {"from_values", answer.from_values},
                  {"checks", list_of(answer.checks)},
                  {"changed", list_of(answer.changed)}};
}

}  // namespace padtrim::answers
