#include <limits>

#include <boost/json/object.hpp>
#include <gtest/gtest.h>

#include "station/answers/event_log.hpp"
#include "station/answers/json.hpp"

namespace padtrim::answers {
namespace {

using namespace std::chrono_literals;

engine::Event unit_finished() {
    engine::UnitFinished event;
    event.nest = 2;
    event.serial = "A\"\n\x01";
    event.result.verdict = record::Verdict::inconclusive;
    event.result.disposition = record::Disposition::quarantined;
    event.result.reason = "why";
    event.result.next_step = "what";
    event.result.formula_version = "1";
    record::CheckResult check;
    check.step = "touch";
    check.check = "response";
    check.key = "8";
    check.channel = 7;
    check.frequency = -1;
    check.stage = record::Stage::as_left;
    check.value = 212.25;
    check.unit = "counts";
    check.standard_uncertainty = 9.5;
    check.coverage_factor = 2.1;
    check.expanded_uncertainty = 19.95;
    check.low = 250.0;
    check.margin = -1.8875;
    check.verdict = record::Verdict::fail;
    check.traceability = record::Traceability::comparable;
    check.note = "note";
    event.result.checks = {check, check};
    event.result.lines = {{7, 1, "8", 401.5, 2010.25, 0.5, 1.5, -0.25, 1.0, 3.0, 41.5}};
    event.count = {9, 5, 1, 1, 1, 1};
    return event;
}

std::vector<engine::Event> one_of_each() {
    engine::RunSettled settled;
    settled.run.run = 12;
    settled.run.lot_name = "L0";
    settled.run.serial = "S";
    settled.run.nest = 3;
    settled.run.stage = record::WriteStage::committed;
    settled.disposition = record::Disposition::quarantined;
    settled.reason = "cut off";
    return {
        engine::LotOpened{"L", {1, 1, 0, 0, 0, 0}},
        settled,
        engine::NestWaiting{1, "Load the next unit."},
        engine::PersonAsked{1, "A1", "Is the label straight?", "label.png"},
        engine::UnitIdentified{2, "S"},
        engine::StepProgress{2, "S", "touch", "4", 3, 8, 9500ms, "the finger"},
        unit_finished(),
        engine::UnitSetAside{
            4, "T", "of an earlier lot", "Take it out.", false, {3, 1, 0, 0, 0, 2}},
        engine::FaultSeen{1,
                          {"touch", "no answer", "finger", "It is silent.", record::Blame::unit}},
        engine::NestPaused{3, "It calls for help."},
        engine::NestResumed{3},
        engine::KeysJudged{2, "S", std::get<engine::UnitFinished>(unit_finished()).result.checks},
        engine::LotClosed{{2, 1, 1, 0, 0, 0}, "no more units"}};
}

// Another process that reads the JSON must see what this one saw: compared by the JSON text, which
// holds every member.
TEST(EventJson, ComesBackAsItWasSaid) {
    const auto events = one_of_each();
    ASSERT_EQ(events.size(), std::variant_size_v<engine::Event>);
    for (const auto& event : events) {
        const std::string text = text_of(to_json(event));
        const auto parsed = parse_json(text);
        ASSERT_TRUE(parsed) << text;
        const auto back = event_from_json(*parsed);
        ASSERT_TRUE(back) << text;
        EXPECT_EQ(back->index(), event.index());
        EXPECT_EQ(text_of(to_json(*back)), text);
        EXPECT_EQ(line_of(*back), line_of(event));
    }
}

TEST(EventJson, KeepsEveryMemberOfAResult) {
    const auto event = unit_finished();
    const auto back = event_from_json(*parse_json(text_of(to_json(event))));
    ASSERT_TRUE(back);
    EXPECT_EQ(std::get<engine::UnitFinished>(*back).result,
              std::get<engine::UnitFinished>(event).result);
}

TEST(EventJson, RefusesWhatIsNoEvent) {
    for (const char* text : {"{}", "[]", "null", "3", "{\"event\":\"lunch\"}", "{\"event\":7}"}) {
        EXPECT_FALSE(event_from_json(*parse_json(text))) << text;
    }
}

TEST(EventJson, SurvivesMembersOfTheWrongKind) {
    const auto json = parse_json(
        "{\"event\":\"unit finished\",\"nest\":-1,\"serial\":[],\"result\":{\"checks\":[1,null,{}],"
        "\"lines\":7,\"verdict\":\"perhaps\"},\"count\":{\"loaded\":1e99}}");
    const auto event = event_from_json(*json);
    ASSERT_TRUE(event);
    const auto& finished = std::get<engine::UnitFinished>(*event);
    EXPECT_EQ(finished.result.verdict, record::Verdict::no_verdict);
    EXPECT_EQ(finished.result.checks.size(), 3u);
    EXPECT_EQ(finished.count.loaded, 0u);
}

TEST(Json, WritesNoNumberThatJsonLacks) {
    EXPECT_TRUE(number(std::numeric_limits<double>::infinity()).is_null());
    EXPECT_TRUE(number(std::numeric_limits<double>::quiet_NaN()).is_null());
    EXPECT_EQ(text_of(number(0.5)), "5E-1");
}

TEST(Json, RefusesNestingThatWouldOverflowAStack) {
    EXPECT_FALSE(parse_json(std::string(100'000, '[')));
    EXPECT_FALSE(parse_json("{\"a\":1"));
}

// ISO 8601; 1 234 567 890 s after the epoch was 2009-02-13T23:31:30Z (POSIX, common knowledge).
TEST(Json, StampsTimeInUtc) {
    EXPECT_EQ(iso_8601(record::WallTime(1234567890120ms)), "2009-02-13T23:31:30.120Z");
    EXPECT_EQ(iso_8601(record::WallTime(0ms)), "1970-01-01T00:00:00.000Z");
}

TEST(StatusJson, CarriesTheSentenceAndEveryNest) {
    StationStatus status;
    for (const auto& event : one_of_each()) apply(status, event);
    const auto json = to_json(status);
    EXPECT_EQ(json.at("sentence").as_string(), next_sentence(status));
    EXPECT_EQ(json.at("nests").as_array().size(), status.nests.size());
    EXPECT_EQ(json.at("tape").as_array().size(), status.tape.size());
    EXPECT_EQ(json.at("count").at("loaded").to_number<int>(), 2);
}

TEST(EventLog, NumbersEventsAndSaysWhatALateFollowerMissed) {
    EventLog log(3);
    EXPECT_EQ(log.last(), 0u);
    EXPECT_EQ(log.missed(0), 0u);
    for (std::uint16_t nest = 1; nest <= 5; ++nest) log.add(engine::UnitIdentified{nest, "S"});
    EXPECT_EQ(log.last(), 5u);
    ASSERT_EQ(log.after(3).size(), 2u);
    EXPECT_EQ(log.after(3).front().number, 4u);
    EXPECT_EQ(log.missed(0), 2u);
    EXPECT_EQ(log.missed(4), 0u);
    EXPECT_TRUE(log.after(5).empty());
}

}  // namespace
}  // namespace padtrim::answers
