#include "station/answers/chain_answer.hpp"

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <gtest/gtest.h>

#include "tests/station/answers/quality_ledger.hpp"

namespace padtrim::answers {
namespace {

TEST(ChainAnswer, SaysThatUntouchedRecordsAreSound) {
    test_support::QualityLedger ledger;
    ledger.lot("L-1");
    ledger.unit({"A", {{"gain", 1.0}}});
    ledger.unit({"B", {{"gain", 2.0}}});
    const auto report = ledger::verify_records(ledger.file()).value();
    const auto json = to_json(report);
    EXPECT_TRUE(json.at("sound").as_bool());
    EXPECT_EQ(json.at("runs").to_number<int>(), 2);
    EXPECT_TRUE(json.at("findings").as_array().empty());
    const auto sheet = sheet_of(report);
    EXPECT_NE(sheet.title.find("are those that the station wrote"), std::string::npos);
    EXPECT_TRUE(sheet.tables.empty());
}

TEST(ChainAnswer, NamesEachRecordThatDoesNotFit) {
    ledger::ChainReport report;
    report.links = 5;
    report.runs = 4;
    report.before = 2;
    report.ahead = 1;
    report.findings = {{ledger::ChainFault::changed, 3, 17, "Run 17 is not as it was."},
                       {ledger::ChainFault::tail_cut, 0, std::nullopt, "The tail is gone."}};
    report.not_listed = 7;
    const auto sheet = sheet_of(report);
    EXPECT_NE(sheet.title.find("NOT"), std::string::npos);
    ASSERT_EQ(sheet.tables.at(0).rows.size(), 2u);
    EXPECT_EQ(sheet.tables[0].rows[0][2].text, "17");
    EXPECT_EQ(sheet.tables[0].rows[1][2].text, "-");
    std::string all;
    for (const auto& sentence : sheet.sentences) all += sentence + "\n";
    for (const char* part : {"before the chain began: 2", "key file is not here",
                             "behind by 1 link", "7 findings more"})
        EXPECT_NE(all.find(part), std::string::npos) << part << "\n" << all;
    const auto json = to_json(report);
    EXPECT_FALSE(json.at("sound").as_bool());
    EXPECT_TRUE(json.at("findings").at(1).at("run").is_null());
}

TEST(ChainAnswer, FoldsRunsThatWerePutInOneAfterAnother) {
    ledger::ChainReport report;
    const auto put_in = [&](record::RunId run) {
        report.findings.push_back({ledger::ChainFault::inserted, 0, run,
                                   "run " + std::to_string(run) + " is in no link: it was put in"});
    };
    for (const record::RunId run : {5, 6, 7, 9, 10}) put_in(run);
    report.findings.push_back({ledger::ChainFault::inserted, 0, 11,
                               "disposition 2 of run 11 is in no link: it was put in"});
    put_in(12);
    const auto rows = sheet_of(report).tables.at(0).rows;
    ASSERT_EQ(rows.size(), 4u);
    EXPECT_EQ(rows[0][2].text, "5 to 7");
    EXPECT_EQ(rows[0][3].text, "each of runs 5 to 7 is in no link: it was put in");
    EXPECT_EQ(rows[1][2].text, "9 to 10");
    EXPECT_EQ(rows[2][2].text, "11");
    EXPECT_EQ(rows[3][3].text, "run 12 is in no link: it was put in");
    EXPECT_EQ(to_json(report).at("findings").as_array().size(), 7u) << "programs get each";
}

}  // namespace
}  // namespace padtrim::answers
