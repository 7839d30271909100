#include "station/answers/upkeep_answer.hpp"

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <gtest/gtest.h>

#include "tests/support/lot_samples.hpp"

namespace padtrim::answers {
namespace {

using namespace std::chrono_literals;
using support::at_second;

record::Downtime down(const std::string& reason, std::int64_t began,
                      std::optional<std::int64_t> ended) {
    record::Downtime one;
    one.station = "S1";
    one.reason = reason;
    one.who = "M";
    one.began = at_second(began);
    if (ended) one.ended = at_second(*ended);
    return one;
}

TEST(DowntimeAnswer, AddsUpByReasonLongestFirst) {
    const auto answer =
        downtime_answer({down("glass", 0, 60), down("finger", 100, 400), down("glass", 500, 530)},
                        {}, {}, at_second(1000));
    ASSERT_EQ(answer.totals.size(), 2u);
    EXPECT_EQ(answer.totals[0].reason, "finger");
    EXPECT_EQ(answer.totals[0].lasted, 300s);
    EXPECT_EQ(answer.totals[1].times, 2u);
    EXPECT_EQ(answer.totals[1].lasted, 90s);
    EXPECT_EQ(sheet_of(answer).tables.at(1).rows.size(), 3u);
    EXPECT_EQ(to_json(answer).at("totals").at(0).at("lasted_ms").to_number<int>(), 300000);
}

TEST(DowntimeAnswer, CountsOnlyWhatLiesInThePeriod) {
    const auto answer =
        downtime_answer({down("glass", 0, 100)}, at_second(40), at_second(70), at_second(1000));
    EXPECT_EQ(answer.totals.at(0).lasted, 30s);
}

TEST(DowntimeAnswer, LetsWhatIsNotOverLastUntilNow) {
    const auto answer = downtime_answer({down("glass", 0, {})}, {}, {}, at_second(45));
    EXPECT_EQ(answer.totals.at(0).lasted, 45s);
    EXPECT_EQ(sheet_of(answer).tables[1].rows[0][1].text, "not over");
    EXPECT_TRUE(to_json(answer).at("downtimes").at(0).at("ended").is_null());
    EXPECT_EQ(sheet_of(downtime_answer({}, {}, {}, at_second(0))).sentences.size(), 1u);
}

TEST(Removals, AreListedWithWhoAndWhy) {
    record::Removal removal;
    removal.who = "M";
    removal.why = "two years";
    removal.runs = 12;
    removal.bytes = 3400;
    const std::vector<record::Removal> removals = {removal};
    EXPECT_EQ(to_json(removals).at("removals").at(0).at("runs").to_number<int>(), 12);
    EXPECT_EQ(sheet_of(removals).tables.at(0).rows.at(0).at(5).text, "two years");
}

}  // namespace
}  // namespace padtrim::answers
