#include "station/answers/report.hpp"

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>

namespace padtrim::answers {

Json to_json(const Report& report) {
    boost::json::array block, sheets;
    for (const auto& [name, value] : report.block)
        block.push_back(boost::json::object{{"name", text(name)}, {"value", text(value)}});
    for (const auto& sheet : report.sheets) sheets.push_back(to_json(sheet));
    return boost::json::object{
        {"title", text(report.title)}, {"block", std::move(block)}, {"sheets", std::move(sheets)}};
}

}  // namespace padtrim::answers
