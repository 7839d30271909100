// Every fault comes to what is right, and docs/faults.md shows it as it is.
#include <fstream>
#include <sstream>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/faults/fault_rows.hpp"
#include "tests/faults/shift_rows.hpp"

namespace padtrim::faults {

void PrintTo(const Fault& fault, std::ostream* out) {
    *out << fault.name;
}

void PrintTo(const ShiftFault& fault, std::ostream* out) {
    *out << fault.name;
}

namespace {

class EachFault : public testing::TestWithParam<Fault> {};

TEST_P(EachFault, ComesToTheVerdictAndTheMessageThatAreRight) {
    const Fault& fault = GetParam();
    const Outcome out = outcome_of(fault);
    EXPECT_EQ(out.verdict, fault.verdict) << out.message;
    EXPECT_EQ(out.disposition, fault.disposition) << out.message;
    EXPECT_EQ(out.lot_goes_on, fault.lot_goes_on) << out.lot_says;
    EXPECT_THAT(out.message + " " + out.next_step, testing::HasSubstr(fault.says));
    EXPECT_TRUE(out.runs_again);
}

INSTANTIATE_TEST_SUITE_P(All, EachFault, testing::ValuesIn(faults()));

class EachShiftFault : public testing::TestWithParam<ShiftFault> {};

TEST_P(EachShiftFault, ComesToTheDecisionAndTheMessageThatAreRight) {
    const auto check = shift_check_under(GetParam());
    EXPECT_EQ(check.decision, GetParam().decision) << check.cause;
    EXPECT_THAT(check.cause + " " + check.next_step, testing::HasSubstr(GetParam().says));
}

INSTANTIATE_TEST_SUITE_P(All, EachShiftFault, testing::ValuesIn(shift_faults()));

TEST(FaultTable, StandsInTheDocsAsItIs) {
    std::ifstream in(std::string(PADTRIM_SOURCE_DIR) + "/docs/faults.md");
    std::ostringstream page;
    page << in.rdbuf();
    EXPECT_EQ(page.str(), faults_page())
        << "docs/faults.md is stale: run `fault_table > docs/faults.md`.";
}

}  // namespace
}  // namespace padtrim::faults
