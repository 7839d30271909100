#include "station/cli/report_texts.hpp"

#include <gtest/gtest.h>

#include "station/answers/printable.hpp"
#include "station/cli/table.hpp"
#include "tests/station/answers/stored_lot.hpp"

namespace padtrim::cli {
namespace {

using record::Disposition;
using record::Verdict;
using test_support::StoredLot;

std::string whole(const Lines& lines) {
    std::string text;
    for (const auto& line : lines) text += line + '\n';
    return text;
}

std::string summary_of(StoredLot& lot, std::size_t width = 100) {
    const auto report = answers::lot_report(lot.reader(), "L-1").value();
    return whole(
        summary_text(*report, {lot.file(), "run.log", "padtrim"}, {width, Colours::plain}));
}

TEST(SummaryText, AnswersWhatAPersonAsksAfterALot) {
    StoredLot lot;
    lot.unit("A1", Verdict::pass);
    lot.unit("A2", Verdict::fail, Disposition::rework, "Check the glue at key 8.");
    const std::string text = summary_of(lot);
    const std::string file = lot.file();
    for (const std::string part :
         {"Lot L-1 · 2 units", "┃╳", "loaded 2 = pass 1 + fail 1", "First-pass yield 50.0 %",
          "812.40(30)", "1500.2(15)", "A2", "Because of fail.", "> Check the glue at key 8.",
          file.c_str(), "run.log", "padtrim unit A2 --records"}) {
        EXPECT_NE(text.find(part), std::string::npos) << part << '\n' << text;
    }
}

TEST(SummaryText, SaysNothingOfFailuresWhenAllPassed) {
    StoredLot lot;
    lot.unit("A1", Verdict::pass);
    const std::string text = summary_of(lot);
    EXPECT_EQ(text.find("What did not pass"), std::string::npos) << text;
    EXPECT_NE(text.find("padtrim unit A1"), std::string::npos) << text;
}

TEST(SummaryText, ShortensALongListOfUnits) {
    StoredLot lot;
    for (int i = 0; i < 9; ++i) {
        lot.unit("B" + std::to_string(i), Verdict::fail, Disposition::rework, "Same.");
    }
    const std::string text = summary_of(lot);
    EXPECT_NE(text.find("B0, B1, B2, B3, ... (9)"), std::string::npos) << text;
}

TEST(SummaryText, OddSerialsStayOnTheirLineAndObeyNothing) {
    for (const auto& serial : support::odd_serials()) {
        StoredLot lot;
        lot.unit(serial, Verdict::fail, Disposition::rework);
        for (const char c : summary_of(lot)) {
            EXPECT_TRUE(c == '\n' || static_cast<unsigned char>(c) >= 0x20);
        }
    }
}

TEST(UnitText, TellsVerdictReasonTrimsAndChecks) {
    StoredLot lot;
    lot.unit("A1", Verdict::fail, Disposition::rework, "Check the glue at key 8.");
    const auto history = answers::unit_history(lot.reader(), "A1").value();
    const std::string text = whole(unit_text(history, {100, Colours::plain}));
    for (const char* part :
         {"A1 · 1 run", "FAIL, rework", "Because of fail.", "> Check the glue at key 8.", "nest 1",
          "2031-03-04 00:00 UTC", "812.40(30)", "as found", "after power off", "at least 700",
          "gain and offset", "Traceable to the references: gain"}) {
        EXPECT_NE(text.find(part), std::string::npos) << part << '\n' << text;
    }
}

TEST(UnitText, ShowsTheWorstPlaceOfACheckOrAllOfThem) {
    StoredLot lot;
    lot.unit("A1", Verdict::pass);
    const auto history = answers::unit_history(lot.reader(), "A1").value();
    EXPECT_NE(whole(unit_text(history, {})).find("pass, worst of 2"), std::string::npos);
    EXPECT_EQ(whole(unit_text(history, {}, Checks::all)).find("worst of"), std::string::npos);
}

TEST(UnitText, ListsOnlyWhatDidNotPassOfOlderRuns) {
    StoredLot lot;
    lot.unit("A1", Verdict::pass);
    lot.unit("A1", Verdict::pass);
    const auto history = answers::unit_history(lot.reader(), "A1").value();
    const std::string text = whole(unit_text(history, {100, Colours::plain}));
    EXPECT_EQ(text.find("verdict\n"), text.rfind("verdict\n")) << text;
}

TEST(DetailsText, SaysWhatCouldNotBeDerived) {
    StoredLot lot;
    lot.unit("A1", Verdict::pass);
    auto history = answers::unit_history(lot.reader(), "A1").value();
    history.runs[0].plan = nullptr;
    const auto& run = history.runs[0];
    const std::string text = whole(details_text(answers::unit_details(run, {}), run, {}));
    EXPECT_NE(text.find("its plan cannot be read any more"), std::string::npos) << text;
}

TEST(CheckText, CountsProblemsAndShowsTheirPlace) {
    answers::DocumentsCheck check;
    check.diagnostics = {{"r.toml", 3, 1, "no such key", "Did you mean recipe?", "recipy = 1"}};
    const std::string text = whole(check_text(check, {}));
    EXPECT_NE(text.find("r.toml:3:1: no such key"), std::string::npos) << text;
    EXPECT_NE(text.find("1 problem"), std::string::npos) << text;
}

TEST(Table, AlignsColumnsByWhatIsSeen) {
    const auto lines =
        table_lines({{"key", "µ"}, {"long name", "12"}}, {Side::left, Side::right}, 1);
    EXPECT_EQ(lines[0], " key         µ");
    EXPECT_EQ(lines[1], " long name  12");
}

}  // namespace
}  // namespace padtrim::cli
