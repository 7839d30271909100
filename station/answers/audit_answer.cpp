#include "station/answers/audit_answer.hpp"

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>

#include "station/answers/json.hpp"
#include "station/answers/printable.hpp"

namespace padtrim::answers {
namespace {

// What was kept as JSON is told as JSON; anything else as the text that it is.
Json kept_json(const std::string& kept) {
    auto json = parse_json(kept);
    return json ? std::move(*json) : text(kept);
}

}  // namespace

Json to_json(const std::vector<record::AuditEntry>& entries) {
    boost::json::array list;
    for (const auto& entry : entries)
        list.push_back(boost::json::object{{"id", entry.id},
                                           {"station", text(entry.station)},
                                           {"at", iso_8601(entry.at)},
                                           {"who", text(entry.who)},
                                           {"role", text(entry.role)},
                                           {"address", text(entry.address)},
                                           {"act", text(entry.act)},
                                           {"asked", text(entry.asked)},
                                           {"status", entry.status},
                                           {"before", kept_json(entry.before)},
                                           {"after", kept_json(entry.after)}});
    return boost::json::object{{"entries", std::move(list)}};
}

Sheet sheet_of(const std::vector<record::AuditEntry>& entries) {
    Sheet sheet;
    sheet.title = "Audit";
    if (entries.empty()) {
        sheet.sentences.emplace_back("Nothing was changed over HTTP.");
        return sheet;
    }
    Table table{"",
                {{"at", "", false},
                 {"who", "", false},
                 {"role", "", false},
                 {"from", "", false},
                 {"act", "", false},
                 {"answer", "", true},
                 {"asked", "", false},
                 {"before", "", false},
                 {"after", "", false}},
                {}};
    for (const auto& entry : entries)
        table.rows.push_back({iso_8601(entry.at), printable(entry.who, 40),
                              printable(entry.role, 20), printable(entry.address, 40),
                              printable(entry.act, 60), count_cell(entry.status),
                              printable(entry.asked, 120), printable(entry.before, 200),
                              printable(entry.after, 200)});
    sheet.tables.push_back(std::move(table));
    return sheet;
}

}  // namespace padtrim::answers
