// What the quality team sets and is told through the program: frozen charts, alarms, sampling.
#include <boost/asio/io_context.hpp>
#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "db/ledger/ledger.hpp"
#include "station/answers/json.hpp"
#include "tests/station/cli/program_fixture.hpp"
#include "tests/support/await.hpp"
#include "tests/support/lot_samples.hpp"

namespace padtrim {
namespace {

using test_support::program;
using ::testing::HasSubstr;

class QualityProgram : public test_support::Program {
  protected:
    // Units of one lot with these gains.
    void store(const std::vector<double>& gains) {
        boost::asio::io_context context;
        const auto done = [&](auto task) { return support::await(context, std::move(task)); };
        auto ledger = std::move(
            ledger::Ledger::open(records, context.get_executor(), ledger::Writing::inline_calls)
                .value());
        const auto lot = done(ledger->open_lot(support::sample_lot("L-1"))).value();
        for (const double gain : gains) {
            auto start = support::sample_run(lot, "U" + std::to_string(++units_));
            start.at = support::at_second(10 * units_);
            const auto run = done(ledger->start_run(start)).value();
            auto unit = support::sample_unit();
            unit.finished = support::at_second(10 * units_ + 1);
            unit.result.checks.resize(1);
            auto& check = unit.result.checks[0];
            check.step = "gain and offset";
            check.check = "gain";
            check.value = gain;
            check.stage = record::Stage::as_found;
            ASSERT_TRUE(done(ledger->finish(run, unit)));
        }
        ASSERT_TRUE(done(ledger->close_lot(lot, support::at_second(9000))));
    }
    int asked(test_support::Words words) {
        words.insert(words.begin(), program);
        words.insert(words.end(), {"--records", records});
        return run(words);
    }
    answers::Json told() const { return *answers::parse_json(said); }

  private:
    int units_ = 0;
};

TEST_F(QualityProgram, FreezesAChartTellsItsAlarmsAndTakesReplies) {
    store({400, 401, 399, 400.5, 399.5, 401, 400, 399, 400.4, 400.1});
    EXPECT_EQ(asked({"chart", "--check", "gain", "--freeze", "--who", "qa"}), 2);
    EXPECT_THAT(complained, HasSubstr("--why"));
    ASSERT_EQ(asked({"chart", "--check", "gain", "--freeze", "--who", "qa", "--why", "month one"}),
              0)
        << complained;
    EXPECT_THAT(said, HasSubstr("1 chart frozen for recipe eight keys, revision 3."));
    EXPECT_EQ(asked({"alarms"}), 0) << complained;
    store({400, 430});
    EXPECT_EQ(asked({"alarms", "--json"}), 1);
    const auto alarms = told().at("alarms").as_array();
    ASSERT_EQ(alarms.size(), 2u) << said;
    const auto number = std::to_string(alarms.at(1).at("alarm").to_number<int>());
    EXPECT_EQ(asked({"alarms", "--reply", number, "--who", "qa"}), 2) << "no reason";
    EXPECT_EQ(asked({"alarms", "--reply", number, "--who", "qa", "--why", "pin", "--json"}), 0);
    EXPECT_EQ(told().at("alarms").as_array().size(), 1u);
    EXPECT_EQ(asked({"chart", "--check", "gain", "--nest", "1", "--freeze", "--who", "qa", "--why",
                     "one nest"}),
              2);
    EXPECT_THAT(complained, HasSubstr("Leave nest, station and fixture out."));
    ASSERT_EQ(asked({"chart", "--check", "gain", "--json"}), 0);
    EXPECT_EQ(told().at("places").at(0).at("frozen").at("why").as_string(), "month one");
    ASSERT_EQ(asked({"chart", "--check", "gain", "--json", "--anew"}), 0);
    EXPECT_TRUE(told().at("places").at(0).at("frozen").is_null());
    EXPECT_EQ(asked({"verify-records"}), 0) << said;
}

TEST_F(QualityProgram, GivesOtherProgramsWholeTablesWithIntegers) {
    store({400, 401, 399, 400.5});
    ASSERT_EQ(asked({"chart", "--check", "gain", "--csv"}), 0) << complained;
    EXPECT_THAT(said, HasSubstr("what,step,check,key,channel,frequency,stage,line,point,at,value"));
    EXPECT_THAT(said, HasSubstr(",moving range,"));
    ASSERT_EQ(asked({"chart", "--kind", "occurrences", "--csv"}), 0) << complained;
    EXPECT_THAT(said, HasSubstr("failed checks a unit,L-1,"));
    ASSERT_EQ(asked({"yield", "--rolled", "--csv"}), 0) << complained;
    EXPECT_THAT(said, HasSubstr("stage,step,check,key,tried,passed,yield,low,high"));
    EXPECT_THAT(said, HasSubstr("\"all, rolled\""));
    ASSERT_EQ(asked({"capability", "--check", "gain", "--json"}), 0) << complained;
    EXPECT_EQ(said.find("E0"), std::string::npos) << "no whole number has an exponent";
    EXPECT_EQ(asked({"capability", "--check", "gain", "--low", "nan"}), 2);
    EXPECT_THAT(complained, HasSubstr("--low: has to be a finite number, not nan"));
}

TEST_F(QualityProgram, ComparesWithReferencesAndJudgesALotByVariables) {
    store({720, 721, 719, 720.5, 719.5, 721});
    const std::string masters = folder.file("masters.csv");
    EXPECT_EQ(asked({"gauge", "--bias", "--references", masters, "--check", "gain"}), 2);
    EXPECT_THAT(complained, HasSubstr("Is it there?"));
    std::ofstream(masters) << "serial,value\nU1,399\nU2,400\nU3,nothing\n";
    EXPECT_EQ(asked({"gauge", "--bias", "--references", masters, "--check", "gain"}), 2);
    EXPECT_THAT(complained, HasSubstr("Line 4 has 'nothing'"));
    std::ofstream(masters) << "U1,719\nU2,720\nU3,718\n";
    ASSERT_EQ(asked({"gauge", "--bias", "--references", masters, "--check", "gain", "--json"}), 0)
        << complained;
    EXPECT_EQ(told().at("references").to_number<int>(), 3);
    EXPECT_EQ(asked({"gauge", "--agreement", "S1", "S1"}), 2);
    ASSERT_EQ(asked({"gauge", "--agreement", "S1", "S2", "--json"}), 0) << complained;
    // The sample's lower limit is 700.
    ASSERT_EQ(asked({"sampling", "--judge-lot", "L-1", "--check", "gain", "--k", "3", "--json"}), 0)
        << complained << said;
    EXPECT_EQ(asked({"sampling", "--judge-lot", "L-1", "--check", "gain"}), 1) << "too few values";
    EXPECT_THAT(said, HasSubstr("are needed"));
    EXPECT_EQ(asked({"sampling", "--judge-lot", "L-9", "--check", "gain"}), 2);
    EXPECT_EQ(asked({"sampling", "--judge-lot", "L-1", "--check", "moon"}), 2);
    EXPECT_EQ(asked({"sampling", "--judge-lot", "L-1", "--check", "gain", "--good", "7"}), 2);
    EXPECT_THAT(complained, HasSubstr("--good has to be below --bad"));
}

TEST_F(QualityProgram, SaysWhichUnitsOfALotGetASlowStep) {
    store({400, 401, 399});
    EXPECT_EQ(asked({"sampling", "--lot", "L-2", "--size", "500"}), 2);
    EXPECT_THAT(complained, HasSubstr("padtrim sampling --set"));
    EXPECT_EQ(asked({"sampling", "--set", "--product", "panel", "--step", "hover", "--aql", "1.1",
                     "--who", "qa", "--why", "slow"}),
              2);
    ASSERT_EQ(asked({"sampling", "--set", "--product", "panel", "--step", "hover", "--aql", "1",
                     "--who", "qa", "--why", "slow"}),
              0)
        << complained;
    ASSERT_EQ(asked({"sampling", "--lot", "L-2", "--size", "500", "--json"}), 0) << complained;
    // Letter H at level II: 50 units, accepted with one (ISO 2859-1, from memory).
    const auto lot = told().at("plans").at(0).at("lots").at(0);
    EXPECT_EQ(lot.at("units").as_array().size(), 50u);
    EXPECT_EQ(lot.at("accept").to_number<int>(), 1);
    EXPECT_EQ(asked({"sampling", "--lot", "L-2", "--found", "2"}), 2) << "no name";
    ASSERT_EQ(asked({"sampling", "--lot", "L-2", "--found", "2", "--who", "qa"}), 0) << complained;
    EXPECT_THAT(said, HasSubstr("2 nonconforming: refused"));
}

}  // namespace
}  // namespace padtrim
