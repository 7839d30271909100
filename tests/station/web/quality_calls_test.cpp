// The quality calls on a ledger with known units. What they answer is tested where it is made
// (tests/station/answers); here that filters reach it, that CSV and sheet hold the same numbers,
// and that what is wrong is refused. CSV as in RFC 4180.
#include "station/web/quality_calls.hpp"

#include <boost/asio/io_context.hpp>
#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "recipes/language/load.hpp"
#include "station/answers/chart.hpp"
#include "station/answers/control_answer.hpp"
#include "station/answers/frozen_charts.hpp"
#include "station/answers/sampling_answer.hpp"
#include "tests/station/answers/bench_ledger.hpp"
#include "tests/station/answers/quality_ledger.hpp"

namespace padtrim::web {
namespace {

using record::Verdict;
using ::testing::HasSubstr;

const std::vector<std::string> all_paths = {"overview",    "choices", "yield",       "failures",
                                            "capability",  "chart",   "drift",       "gauge",
                                            "gauge-steps", "trace",   "dispositions"};

class QualityCalls : public ::testing::Test {
  protected:
    void SetUp() override {
        const auto text = language::plan_text(*test_support::hob_plan());
        for (const char* lot : {"L-1", "L-2"}) {
            ledger.lot(lot, false, text);
            for (int i = 0; i < 30; ++i) add(std::string(lot) + "-" + std::to_string(i), i);
        }
    }
    // Three of each lot fail at key hob 1.
    void add(const std::string& serial, int i) {
        const bool fails = i % 10 == 9;
        ledger.unit({serial,
                     {{"gain", 400.0 + i % 5 + (fails ? 40.0 : 0.0), record::Stage::as_found,
                       "hob 1", 380.0, 420.0, fails ? Verdict::fail : Verdict::pass}},
                     static_cast<std::uint16_t>(1 + i % 4),
                     fails ? Verdict::fail : Verdict::pass,
                     100 + 10 * i});
    }
    Response ask(const std::string& path, const std::string& query = "") {
        const auto call = quality_call("/api/quality/" + path);
        if (call == nullptr) throw std::runtime_error("no call " + path);
        return call(ledger.reader(), query);
    }
    answers::Json json(const std::string& path, const std::string& query = "") {
        const auto response = ask(path, query);
        EXPECT_EQ(response.status, 200U) << path << ": " << response.body;
        return answers::parse_json(response.body).value();
    }
    test_support::QualityLedger ledger;
};

TEST_F(QualityCalls, AnswerAsNumbersSheetsAndTables) {
    for (const auto& path : all_paths) {
        EXPECT_TRUE(json(path).is_object()) << path;
        if (path == "choices") continue;
        EXPECT_TRUE(json(path, "format=sheet").at("charts").is_array()) << path;
        const auto csv = ask(path, "format=csv");
        EXPECT_EQ(csv.status, 200U) << path;
        EXPECT_EQ(csv.content_type, "text/csv; charset=utf-8");
        EXPECT_THAT(csv.body, HasSubstr("\r\n")) << path;
    }
    EXPECT_EQ(ask("lot", "lot=L-1").status, 200U);
    EXPECT_EQ(ask("lot", "lot=L-9").status, 404U);
    EXPECT_EQ(ask("in-doubt", "station=S1").status, 200U);
    EXPECT_EQ(ask("in-doubt").status, 400U);
    EXPECT_EQ(ask("in-doubt", "station=S9").status, 400U);
    EXPECT_EQ(ask("in-doubt", "station=S1&episode=0").status, 400U);
    EXPECT_EQ(ask("alarms").status, 200U);
    EXPECT_EQ(ask("trace", "serial=L-1-3").status, 200U);
    EXPECT_EQ(ask("trace", "serial=nobody").status, 404U);
    EXPECT_EQ(quality_call("/api/quality/nothing"), nullptr);
}

TEST_F(QualityCalls, CountOnlyWhatTheyAreNarrowedTo) {
    const auto units = [&](const std::string& query) {
        return json("yield", query).at("whole").at("count").at("units").to_number<int>();
    };
    EXPECT_EQ(units(""), 60);
    EXPECT_EQ(units("lot=L-2"), 30);
    EXPECT_EQ(units("lot=L-2&nest=1"), 8);
    EXPECT_EQ(json("failures", "lot=L-1").at("places").at(0).at("first_failing").to_number<int>(),
              3);
    EXPECT_EQ(json("yield", "by=nest").at("yields").as_array().size(), 4U);
    EXPECT_THAT(ask("capability", "key=warm").body, HasSubstr("No key 'warm' in these records"));
    EXPECT_FALSE(json("capability", "key=hob%201").at("places").as_array().empty());
    EXPECT_EQ(json("chart", "check=gain&baseline=20&charts=1").at("baseline").to_number<int>(), 20);
}

// Every table of a sheet, read back from its CSV.
TEST_F(QualityCalls, TellTheSameNumbersAsCsv) {
    const auto sheet = json("chart", "check=gain&format=sheet");
    const auto& chart = sheet.at("charts").at(0);
    const std::string id(chart.at("id").as_string());
    const std::string csv = ask("chart", "check=gain&format=csv&figure=" + id).body;
    const auto& rows = chart.at("table").at("rows").as_array();
    EXPECT_EQ(std::count(csv.begin(), csv.end(), '\n'),
              static_cast<std::ptrdiff_t>(rows.size()) + 1);
    for (const auto& row : rows) {
        const double value = row.at(2).at("value").to_number<double>();
        EXPECT_THAT(csv, HasSubstr("," + answers::exact(value) + ","));
    }
    EXPECT_EQ(ask("chart", "check=gain&format=csv&figure=no-such").status, 404U);
}

TEST_F(QualityCalls, RefuseWhatMakesNoSense) {
    for (const auto& path : all_paths) {
        EXPECT_EQ(ask(path, "lott=L-1").status, 400U) << path;
        EXPECT_EQ(ask(path, "since=yesterday").status, 400U) << path;
        EXPECT_EQ(ask(path, "lot=L-9").status, 400U) << path;
        EXPECT_THAT(ask(path, "lot=%3Cscript%3E").body, HasSubstr("No lot '<script>'")) << path;
    }
    EXPECT_EQ(ask("yield", "by=moon").status, 400U);
    EXPECT_EQ(ask("yield", "compare=L-1&with=L-9").status, 400U);
    EXPECT_EQ(ask("yield", "compare=L-1&with=L-2").status, 200U);
    EXPECT_EQ(ask("yield", "compare=L-1").status, 400U);
    EXPECT_THAT(ask("yield", "compare=L-1").body, HasSubstr("'with' is missing"));
    EXPECT_THAT(ask("yield", "with=L-1").body, HasSubstr("'compare' is missing"));
    EXPECT_EQ(ask("chart", "kind=pie").status, 400U);
    EXPECT_EQ(ask("chart", "format=xml").status, 400U);
    EXPECT_EQ(ask("dispositions", "which=lost").status, 400U);
}

// A frozen chart is drawn until somebody says how one is to be made, as on the command line.
TEST_F(QualityCalls, DrawTheFrozenChartUnlessOneIsAskedForAnew) {
    answers::ControlWish wish;
    wish.use_frozen = false;
    wish.values.check = "gain";
    auto charts = answers::charts_to_freeze(answers::control_answer(ledger.reader(), wish).value(),
                                            wish, "qa", "first month", support::at_second(900));
    ASSERT_FALSE(charts.empty());
    boost::asio::io_context context;
    ASSERT_TRUE(support::await(context, ledger.ledger().freeze_charts(std::move(charts))));
    const auto frozen = [&](const std::string& more) {
        return !json("chart", "check=gain" + more).at("places").at(0).at("frozen").is_null();
    };
    EXPECT_TRUE(frozen(""));
    EXPECT_TRUE(frozen("&anew=no"));
    for (const char* said :
         {"&anew=yes", "&kind=individuals", "&baseline=0", "&size=5", "&rules=beyond-limits",
          "&lambda=0.1", "&width=3", "&slack=0.5", "&decision=5"})
        EXPECT_FALSE(frozen(said)) << said;
}

TEST_F(QualityCalls, ListTheAlarmsOfFrozenChartsUntilSomebodyReplies) {
    answers::ControlWish wish;
    wish.use_frozen = false;
    wish.values.check = "gain";
    auto charts = answers::charts_to_freeze(answers::control_answer(ledger.reader(), wish).value(),
                                            wish, "qa", "first month", support::at_second(900));
    boost::asio::io_context context;
    ASSERT_TRUE(support::await(context, ledger.ledger().freeze_charts(std::move(charts))));
    const auto open = [&](const std::string& query = "") {
        return json("alarms", query).at("alarms").as_array().size();
    };
    EXPECT_EQ(open(), 0U);
    add("late", 4);
    ledger.unit(
        {"far", {{"gain", 700.0, record::Stage::as_found, "hob 1"}}, 1, Verdict::fail, 990});
    ASSERT_TRUE(support::await(context, answers::look_and_keep(ledger.ledger(), ledger.reader(),
                                                               support::at_second(2000))));
    const auto found = json("alarms");
    const auto first = found.at("alarms").at(0);
    EXPECT_EQ(first.at("serial").as_string(), "far");
    EXPECT_TRUE(first.at("reply").is_null());
    EXPECT_EQ(json("overview").at("alarms").to_number<std::size_t>(), open());
    const auto before = open();
    ASSERT_TRUE(support::await(
        context, ledger.ledger().reply_to_alarm(first.at("alarm").to_number<std::int64_t>(),
                                                {support::at_second(2001), "Q", "pin"})));
    EXPECT_EQ(open(), before - 1);
    EXPECT_EQ(open("all=no"), before - 1);
    EXPECT_EQ(open("all=yes"), before);
    EXPECT_EQ(json("alarms", "all").at("alarms").at(0).at("reply").at("who").as_string(), "Q");
    const auto csv = ask("alarms", "all=yes&format=csv").body;
    EXPECT_THAT(csv, HasSubstr("Q: pin"));
    EXPECT_EQ(std::count(csv.begin(), csv.end(), '\n'), static_cast<std::ptrdiff_t>(before) + 1);
    EXPECT_EQ(ask("alarms", "all=perhaps").status, 400U);
    EXPECT_EQ(ask("alarms", "lot=L-1").status, 400U) << "alarms are of every lot";
    EXPECT_EQ(ask("alarms", "format=csv&figure=none").status, 404U);
}

// Gains are 400 to 404, five in turn, and those that fail 40 more.
TEST_F(QualityCalls, TryLimitsThatAreNotInForce) {
    const auto place = json("capability", "check=gain&low=401.5&high=404.5").at("places").at(0);
    EXPECT_EQ(place.at("low").to_number<double>(), 401.5);
    EXPECT_EQ(place.at("below").to_number<int>(), 24) << "400 and 401 of each five";
    EXPECT_EQ(place.at("above").to_number<int>(), 6) << "those that fail";
    EXPECT_TRUE(json("capability", "check=gain").at("places").at(0).at("below").is_null());
    const auto sheet = ask("capability", "check=gain&high=404.5&format=sheet").body;
    EXPECT_THAT(sheet, HasSubstr("As if the limits were"));
    EXPECT_THAT(sheet, HasSubstr("0 below, 6 above"));
    EXPECT_THAT(ask("capability", "check=gain&high=404.5&format=csv").body,
                HasSubstr("values outside"));
    EXPECT_THAT(ask("capability", "low=1").body, HasSubstr("send check=NAME"));
    EXPECT_THAT(ask("capability", "check=gain&low=5&high=5").body, HasSubstr("not below"));
    for (const char* wrong : {"low=1", "check=&high=1", "check=gain&low=5&high=4",
                              "check=gain&low=x", "check=gain&high=nan", "check=gain&low=1&low=2"})
        EXPECT_EQ(ask("capability", wrong).status, 400U) << wrong;
}

TEST_F(QualityCalls, TellSamplingPlansOfAProductAndAStep) {
    EXPECT_TRUE(json("sampling").at("plans").as_array().empty());
    boost::asio::io_context context;
    record::SamplingPlan plan;
    plan.product = "panel";
    plan.step = "hover";
    plan.level = "II";
    plan.at = support::at_second(900);
    plan.who = "qa";
    plan.why = "slow";
    const auto id = support::await(context, ledger.ledger().keep_sampling_plan(plan)).value();
    plan.id = id;
    const auto lot = answers::lot_to_sample(plan, "L-1", 500, support::at_second(901)).value();
    ASSERT_TRUE(support::await(context, ledger.ledger().keep_sampled_lot(id, lot)));
    const auto told = json("sampling", "product=panel&step=hover").at("plans").at(0);
    EXPECT_EQ(told.at("next_severity").as_string(), "normal");
    EXPECT_TRUE(told.at("lots").at(0).at("nonconforming").is_null());
    EXPECT_TRUE(json("sampling", "step=other").at("plans").as_array().empty());
    EXPECT_THAT(ask("sampling", "format=csv").body, HasSubstr("not told yet"));
    EXPECT_EQ(ask("sampling", "lot=L-1").status, 400U);
}

TEST_F(QualityCalls, OfferTheNamesThatTheRecordsHold) {
    const auto choices = json("choices");
    EXPECT_EQ(choices.at("lots").as_array().size(), 2U);
    EXPECT_EQ(choices.at("checks").at(0).as_string(), "gain");
    EXPECT_EQ(choices.at("keys").at(0).as_string(), "hob 1");
    EXPECT_EQ(choices.at("nests").as_array().size(), 4U);
}

}  // namespace
}  // namespace padtrim::web
