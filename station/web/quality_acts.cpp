#include "station/web/quality_acts.hpp"

#include <algorithm>
#include <array>
#include <limits>

#include "station/answers/dispositions.hpp"
#include "station/answers/names.hpp"
#include "station/web/chart_question.hpp"
#include "station/web/decided.hpp"
#include "station/web/loopback_guard.hpp"
#include "station/web/members.hpp"

namespace padtrim::web {
namespace {

Response dispose(const Request& request, StationControl& station) {
    Members members(request.body);
    DisposeRequest asked;
    std::string to;
    asked.who = request.person;
    members.take("who", asked.who);
    members.take("serial", asked.serial);
    members.take("run", asked.run);
    members.take("to", to);
    members.take("why", asked.why);
    if (!request.person.empty()) asked.who = request.person;
    const auto decision = answers::decision_named(to);
    std::string wrong = members.wrong();
    if (wrong.empty() && asked.serial.empty() && asked.run == 0)
        wrong = "Which unit? \"serial\" is empty, and no \"run\" stands for it.";
    if (wrong.empty() && !decision)
        wrong = "\"to\" has to be released, rework, scrap or quarantined.";
    if (wrong.empty())
        wrong = answers::wrong_with_signature(asked.who, asked.why, answers::SignedBy::call);
    if (!wrong.empty())
        return problem(
            400, wrong,
            "Send {\"serial\": \"NUMBER\", \"run\": 418, \"to\": \"rework\", \"why\": \"TEXT\", "
            "\"who\": \"NAME\"}.");
    asked.to = *decision;
    return done_beside(station.disposal(std::move(asked)), station.events().last());
}

Response reply_to_alarm(const Request& request, StationControl& station) {
    Members members(request.body);
    AlarmReplyRequest asked;
    members.take("who", asked.who);
    members.take("alarm", asked.alarm);
    members.take("why", asked.why);
    if (!request.person.empty()) asked.who = request.person;
    std::string wrong = members.wrong();
    if (wrong.empty() && asked.alarm == 0) wrong = "Which alarm? \"alarm\" is missing.";
    if (wrong.empty())
        wrong = answers::wrong_with_signature(asked.who, asked.why, answers::SignedBy::call);
    if (!wrong.empty())
        return problem(400, wrong, "Send {\"alarm\": 7, \"why\": \"TEXT\", \"who\": \"NAME\"}.");
    return done_beside(station.alarm_reply(std::move(asked)), station.events().last());
}

// The charts are reckoned once more, so it waits in the line of questions.
Response freeze(const Request& request, StationControl& station) {
    Question question = Question::of_body(request.body);
    FreezeRequest asked;
    asked.who = question.text("who").value_or("");
    asked.why = question.text("why").value_or("");
    asked.stage = stage_of(question);
    asked.charts = chart_wish(question);
    asked.charts.use_frozen = false;  // new limits are those of values, not of the chart in force
    asked.words = question.words();
    if (!request.person.empty()) asked.who = request.person;
    std::string wrong = question.wrong();
    if (wrong.empty())
        wrong = answers::wrong_with_signature(asked.who, asked.why, answers::SignedBy::call);
    if (!wrong.empty())
        return problem(400, wrong,
                       "Send the chart's own question and {\"why\": \"TEXT\", \"who\": \"NAME\"}: "
                       "{\"check\": \"gain\", \"baseline\": 50, \"why\": \"first month\"}.");
    Response response = done_beside(station.freezing(std::move(asked)), station.events().last());
    response.act = false;
    return response;
}

Response tell_result(const Request& request, StationControl& station) {
    constexpr auto missing = std::numeric_limits<std::uint32_t>::max();
    Members members(request.body);
    SamplingResultRequest asked;
    asked.nonconforming = missing;
    members.take("who", asked.who);
    members.take("plan", asked.plan);
    members.take("lot", asked.lot);
    members.take("nonconforming", asked.nonconforming);
    if (!request.person.empty()) asked.who = request.person;
    std::string wrong = members.wrong();
    if (wrong.empty() && (asked.plan == 0 || asked.lot.empty()))
        wrong = "Which lot of which plan? \"plan\" or \"lot\" is missing.";
    if (wrong.empty() && asked.nonconforming == missing)
        wrong = "How many units did not conform? \"nonconforming\" is missing.";
    if (wrong.empty()) wrong = answers::wrong_with_name("person", asked.who);
    if (!wrong.empty())
        return problem(400, wrong,
                       "Send {\"plan\": 1, \"lot\": \"2231\", \"nonconforming\": 0, \"who\": "
                       "\"NAME\"}.");
    return done_beside(station.sampling_result(std::move(asked)), station.events().last());
}

struct ActAt {
    std::string_view path;
    QualityAct act;
};
constexpr std::array quality_acts = {
    ActAt{"/api/quality/dispose", dispose}, ActAt{"/api/quality/alarm", reply_to_alarm},
    ActAt{"/api/quality/freeze", freeze}, ActAt{"/api/quality/sampling-result", tell_result}};

}  // namespace

QualityAct quality_act(std::string_view path) {
    const auto act = std::find_if(quality_acts.begin(), quality_acts.end(),
                                  [&](const ActAt& one) { return one.path == path; });
    return act == quality_acts.end() ? nullptr : act->act;
}

}  // namespace padtrim::web
