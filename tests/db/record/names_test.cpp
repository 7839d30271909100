// The words that rows, reports and screens use for enumerations: each has one, none is shared, and
// they are those of docs/ledger.md.
#include <set>
#include <string_view>

#include <gtest/gtest.h>

#include "db/record/run.hpp"
#include "db/record/unit_result.hpp"

namespace padtrim::record {
namespace {

template <class Enum>
std::set<std::string_view> words_up_to(Enum last) {
    std::set<std::string_view> words;
    for (int i = 0; i <= static_cast<int>(last); ++i) words.insert(name_of(static_cast<Enum>(i)));
    return words;
}

using Words = std::set<std::string_view>;

TEST(RecordNames, AreThoseOfTheLedgersPage) {
    EXPECT_EQ(words_up_to(Verdict::no_verdict),
              (Words{"pass", "fail", "inconclusive", "no verdict"}));
    EXPECT_EQ(words_up_to(Disposition::quarantined),
              (Words{"undecided", "released", "rework", "scrap", "quarantined"}));
    EXPECT_EQ(words_up_to(Traceability::indication),
              (Words{"traceable", "comparable", "indication"}));
    EXPECT_EQ(words_up_to(Stage::as_left), (Words{"as found", "as left"}));
    EXPECT_EQ(words_up_to(WriteStage::verified),
              (Words{"untouched", "intended", "written", "read back", "committed", "power-cycled",
                     "verified"}));
}

TEST(RecordNames, PutWriteStagesInTheOrderOfTheWriteBack) {
    EXPECT_LT(WriteStage::untouched, WriteStage::intended);
    EXPECT_LT(WriteStage::intended, WriteStage::written);
    EXPECT_LT(WriteStage::written, WriteStage::read_back);
    EXPECT_LT(WriteStage::read_back, WriteStage::committed);
    EXPECT_LT(WriteStage::committed, WriteStage::power_cycled);
    EXPECT_LT(WriteStage::power_cycled, WriteStage::verified);
}

}  // namespace
}  // namespace padtrim::record
