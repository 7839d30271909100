#include "station/web/record_calls.hpp"

#include <algorithm>
#include <array>
#include <charconv>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>

#include "db/ledger/reader.hpp"
#include "station/answers/audit_answer.hpp"
#include "station/answers/raw_readings.hpp"
#include "station/answers/releases.hpp"
#include "station/answers/unit_history.hpp"
#include "station/web/loopback_guard.hpp"
#include "station/web/quality_calls.hpp"
#include "station/web/query.hpp"

namespace padtrim::web {
namespace {

using answers::Json;

Response told(const Json& body) {
    return {200, answers::text_of(body), ""};
}

Response releases(ledger::Reader& reader, const std::string&) {
    const auto all = reader.releases();
    if (!all) return not_readable(all.error());
    boost::json::array list;
    for (const auto& release : *all) list.push_back(answers::to_json(release));
    return told(boost::json::object{{"releases", std::move(list)}});
}

Response unit(ledger::Reader& reader, const std::string& query) {
    const auto serial = query_value(query, "serial");
    if (!serial || serial->empty())
        return problem(400, "Which unit?", "Send serial=NUMBER in the query.");
    const auto history = answers::unit_history(reader, *serial);
    if (!history) return not_readable(history.error());
    if (history->runs.empty())
        return problem(404, "The records do not know this unit.", "Check the serial number.");
    return told(answers::to_json(*history));
}

Response observations(ledger::Reader& reader, const std::string& query) {
    const std::string text = query_value(query, "run").value_or("");
    record::RunId run = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), run);
    if (error != std::errc{} || end != text.data() + text.size())
        return problem(400, "Which run?", "Send run=NUMBER in the query.");
    const auto stored = reader.stored_run(run);
    if (!stored) return not_readable(stored.error());
    if (!*stored || !(*stored)->observations)
        return problem(404, "There are no observations of this run.",
                       "Only runs that ended have them.");
    return told(answers::to_json(*(*stored)->observations));
}

Response audit(ledger::Reader& reader, const std::string& query) {
    record::AuditFilter filter;
    filter.who = query_value(query, "who");
    if (const auto text = query_value(query, "before")) {
        std::int64_t before = 0;
        const auto [end, error] =
            std::from_chars(text->data(), text->data() + text->size(), before);
        if (error != std::errc{} || end != text->data() + text->size())
            return problem(400, "\"before\" has to be the number of an entry.",
                           "Send the number of the last entry that you have.");
        filter.before = before;
    }
    const auto entries = reader.audit(filter);
    return entries ? told(answers::to_json(*entries)) : not_readable(entries.error());
}

struct Call {
    std::string_view path;
    RecordAnswer answer;
};
constexpr std::array calls = {Call{"/api/releases", releases}, Call{"/api/unit", unit},
                              Call{"/api/observations", observations}, Call{"/api/audit", audit}};

RecordAnswer answer_at(std::string_view path) {
    const auto call =
        std::find_if(calls.begin(), calls.end(), [&](const Call& one) { return one.path == path; });
    return call == calls.end() ? quality_call(path) : call->answer;
}

}  // namespace

std::optional<Response> record_answer(const Request& request, const std::string& records) {
    const RecordAnswer answer = answer_at(request.path);
    if (answer == nullptr) return std::nullopt;
    if (request.method != "GET") {
        Response wrong = problem(405, "This call wants GET.", "docs/commands.md lists the calls.");
        wrong.allow = "GET";
        return wrong;
    }
    Response response;
    response.later = [answer, records, query = request.query] {
        const auto reader = ledger::Reader::open(records);
        return reader ? answer(**reader, query) : not_readable(reader.error());
    };
    return response;
}

}  // namespace padtrim::web
