#include "station/main/chart_acts.hpp"

#include <algorithm>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>

#include "db/ledger/reader.hpp"
#include "station/answers/chart_freezing.hpp"
#include "station/answers/frozen_charts.hpp"
#include "station/answers/printable.hpp"
#include "station/main/waited_for.hpp"

namespace padtrim {
namespace {

using web::Decision;
using web::Outcome;
using ChartsToKeep = std::vector<record::FrozenChart>;

constexpr std::size_t longest_reason = 2000;

Decision not_kept(const journal::StoreFault& fault) {
    return {Outcome::refused, fault.what, "Nothing was kept."};
}

std::string replied_json(std::int64_t alarm, const std::optional<record::AlarmReply>& reply) {
    return answers::text_of(
        boost::json::object{{"alarm", alarm}, {"reply", answers::reply_json(reply)}});
}

Decision replied(ledger::Ledger& ledger, const std::string& records,
                 const web::AlarmReplyRequest& request, record::WallTime now) {
    const auto reader = ledger::Reader::open(records);
    if (!reader) return not_kept(reader.error());
    const auto alarms = (*reader)->chart_alarms(false);
    if (!alarms) return not_kept(alarms.error());
    const auto alarm = std::find_if(alarms->begin(), alarms->end(),
                                    [&](const auto& one) { return one.id == request.alarm; });
    const std::string number = std::to_string(request.alarm);
    if (alarm == alarms->end())
        return {Outcome::unknown, "There is no alarm " + number + " in these records.",
                "GET /api/quality/alarms?all=yes lists them."};
    const record::AlarmReply reply{now, request.who,
                                   answers::printable(request.why, longest_reason)};
    const auto kept = waited_for(ledger.reply_to_alarm(request.alarm, reply));
    if (!kept) return not_kept(kept.error());
    return {Outcome::accepted,
            "The reply to alarm " + number + " is kept (" + answers::printable(reply.who, 64) +
                "): " + answers::printable(reply.why, 200),
            "", replied_json(request.alarm, alarm->reply), replied_json(request.alarm, reply)};
}

// For the audit: numbers say which charts were in force, for none is ever edited.
journal::Stored<std::string> in_force_json(ledger::Reader& reader, const ChartsToKeep& of) {
    const auto charts = reader.frozen_charts();
    if (!charts) return charts.error();
    boost::json::array numbers;
    for (const auto number : answers::in_force_at(*charts, of)) numbers.push_back(number);
    return answers::text_of(
        boost::json::object{{"recipe", answers::text(of.front().recipe)},
                            {"revision", answers::text(of.front().recipe_revision)},
                            {"charts", std::move(numbers)}});
}

Decision kept_with_recipe(ledger::Ledger& ledger, ledger::Reader& reader,
                          const ChartsToKeep& charts) {
    const auto before = in_force_json(reader, charts);
    if (!before) return not_kept(before.error());
    const auto kept = waited_for(ledger.freeze_charts(charts));
    if (!kept) return not_kept(kept.error());
    const auto after = in_force_json(reader, charts);
    return {Outcome::accepted, answers::frozen_sentence(charts), "", *before,
            after ? *after : std::string()};
}

Decision frozen(ledger::Ledger& ledger, const std::string& records,
                const web::FreezeRequest& request, record::WallTime now) {
    const auto reader = ledger::Reader::open(records);
    if (!reader) return not_kept(reader.error());
    const auto read = answers::read_wish(**reader, request.words);
    if (!read) return not_kept(read.error());
    if (!read->problem.empty()) return {Outcome::bad, read->problem, ""};
    auto wish = request.charts;
    wish.values = answers::values_of(read->wish, request.stage);
    const auto charts = answers::control_answer(**reader, wish);
    if (!charts) return not_kept(charts.error());
    const auto freezing =
        answers::freezing_of(request.words, wish, *charts, request.who,
                             answers::printable(request.why, longest_reason), now);
    if (!freezing.wrong.empty()) return {Outcome::refused, freezing.wrong, ""};
    return kept_with_recipe(ledger, **reader, freezing.charts);
}

}  // namespace

std::function<Decision()> alarm_reply_of(ledger::Ledger& ledger, std::string records,
                                         web::AlarmReplyRequest request, record::WallTime now) {
    return [&ledger, records = std::move(records), request = std::move(request), now] {
        return replied(ledger, records, request, now);
    };
}

std::function<Decision()> chart_freezing_of(ledger::Ledger& ledger, std::string records,
                                            web::FreezeRequest request, record::WallTime now) {
    return [&ledger, records = std::move(records), request = std::move(request), now] {
        return frozen(ledger, records, request, now);
    };
}

}  // namespace padtrim
