#include "station/answers/rolled_throughput.hpp"

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <gtest/gtest.h>

#include "tests/station/answers/quality_ledger.hpp"

namespace padtrim::answers {
namespace {

using record::Stage;
using record::Verdict;

test_support::StoredValue value(const std::string& check, bool fails,
                                Stage stage = Stage::as_found) {
    return {check, fails ? 3.0 : 1.0, stage, "K1", 0.0, 2.0, fails ? Verdict::fail : Verdict::pass};
}

// 0.98 x 0.95 x 0.99 x 0.97 = 0.8940393 (definition from memory, exact arithmetic): four checks of
// a hundred units, of which 2, 5, 1 and 3 fail.
TEST(RolledThroughput, IsTheProductOfTheChecksYields) {
    test_support::QualityLedger ledger;
    ledger.lot("L-1");
    for (int i = 0; i < 100; ++i)
        ledger.unit({"U" + std::to_string(i),
                     {value("gain", i < 2), value("offset", i < 5), value("noise", i < 1),
                      value("touch", i < 3), value("gain", i < 50, Stage::as_left)},
                     1,
                     i < 5 ? Verdict::fail : Verdict::pass,
                     10 * i});
    const auto all = rolled_throughput(ledger.reader(), {}).value();
    ASSERT_EQ(all.size(), 2u);
    EXPECT_EQ(all[0].stage, Stage::as_found);
    EXPECT_NEAR(all[0].rolled.value, 0.8940393, 1e-12);
    EXPECT_EQ(all[0].steps.front().check, "offset") << "the least yield first";
    EXPECT_NEAR(all[1].rolled.value, 0.5, 1e-12) << "as left is apart";
    const auto json = to_json(all);
    EXPECT_NEAR(json.at(0).at("value").to_number<double>(), 0.8940393, 1e-12);
    EXPECT_EQ(json.at(0).at("checks").as_array().size(), 4u);
    EXPECT_EQ(rolled_steps(all).rows.size(), 4u + 1 + 1 + 1);
    QualityWish one;
    one.check = "noise";
    EXPECT_NEAR(rolled_throughput(ledger.reader(), one)->front().rolled.value, 0.99, 1e-12);
}

TEST(RolledThroughput, CountsFirstTriesAndLeavesOutWhatHasNoLimits) {
    test_support::QualityLedger ledger;
    ledger.lot("L-1");
    for (int i = 0; i < 10; ++i)
        ledger.unit({"U" + std::to_string(i),
                     {value("gain", i < 4), {"temperature", 25.0}},
                     1,
                     i < 4 ? Verdict::fail : Verdict::pass,
                     10 * i});
    for (int i = 0; i < 4; ++i)
        ledger.unit(
            {"U" + std::to_string(i), {value("gain", false)}, 1, Verdict::pass, 1000 + 10 * i});
    const auto all = rolled_throughput(ledger.reader(), {}).value();
    ASSERT_EQ(all.size(), 1u);
    ASSERT_EQ(all[0].steps.size(), 1u);
    EXPECT_EQ(all[0].steps[0].passed.part, 6u);
    EXPECT_EQ(all[0].steps[0].passed.whole, 10u);
}

TEST(RolledThroughput, IsNotToldWhereNothingWasChecked) {
    test_support::QualityLedger ledger;
    ledger.lot("L-1");
    EXPECT_TRUE(rolled_throughput(ledger.reader(), {})->empty());
    EXPECT_TRUE(rolled_table({}).rows.empty());
}

}  // namespace
}  // namespace padtrim::answers
