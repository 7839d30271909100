// The plan's text: canonical, complete, and read back to an equal plan.
#include <cmath>
#include <fstream>
#include <iterator>

#include <gtest/gtest.h>

#include "recipes/language/load.hpp"
#include "tests/support/demo_documents.hpp"

namespace padtrim::language {
namespace {

PlanPtr hob_plan(const char* fixture = "hob-line-4-nests") {
    const std::string source = PADTRIM_SOURCE_DIR "/";
    auto loaded = load_plan({source + "recipes/examples/hob-panel-8.toml",
                             source + "fixtures/units/hob-panel-8.toml",
                             source + "fixtures/profiles/" + fixture + ".toml"});
    EXPECT_EQ(document::text_of(loaded.diagnostics), "");
    return loaded.plan;
}

void expect_equal(const Plan& a, const Plan& b) {
    EXPECT_TRUE(a.recipe == b.recipe);
    EXPECT_TRUE(a.map == b.map);
    EXPECT_TRUE(a.fixture == b.fixture);
}

std::string content(const std::string& fixture) {
    std::ifstream file(PADTRIM_SOURCE_DIR "/fixtures/profiles/" + fixture + ".toml");
    return {std::istreambuf_iterator<char>(file), {}};
}

void replace(std::string& text, const std::string& from, const std::string& to) {
    const auto at = text.find(from);
    ASSERT_NE(at, std::string::npos) << from;
    text.replace(at, from.size(), to);
}

// A plan of the demo documents with a change of its own.
template <class Change>
PlanPtr changed(Change change) {
    Plan plan = *test_support::demo_plan({});
    change(plan);
    return make_plan(plan.recipe, plan.map, plan.fixture);
}

PlanPtr unchanged() {
    return changed([](Plan&) {});
}

class PlanOf : public testing::TestWithParam<const char*> {};

TEST_P(PlanOf, FixtureReadsBackEqual) {
    const auto plan = hob_plan(GetParam());
    const auto back = read_plan(plan_text(*plan));
    ASSERT_NE(back.plan, nullptr) << document::text_of(back.diagnostics);
    expect_equal(*back.plan, *plan);
    EXPECT_EQ(back.plan->hash, plan->hash);
    EXPECT_EQ(plan_text(*back.plan), plan_text(*plan));
}

INSTANTIATE_TEST_SUITE_P(Shipped, PlanOf,
                         testing::Values("hob-line-4-nests", "hob-bench-1-nest", "hob-line-1-nest",
                                         "hob-line-2-nests-shared-bus"));

TEST(Plan, OfStructsMadeInCodeReadsBackEqual) {
    for (const bool shared : {false, true}) {
        const auto demo = test_support::demo_plan({.nests = 3, .shared_bus = shared});
        const auto plan = make_plan(demo->recipe, demo->map, demo->fixture);
        const auto back = read_plan(plan_text(*plan));
        ASSERT_NE(back.plan, nullptr) << document::text_of(back.diagnostics);
        expect_equal(*back.plan, *plan);
        EXPECT_EQ(back.plan->hash, plan->hash);
    }
}

TEST(Plan, WithEveryOptionLeftOutReadsBackEqual) {
    const auto plan = changed([](Plan& p) {
        p.fixture.finger.reset();
        p.fixture.climate.reset();
        p.fixture.interlocks = {};
        p.map.commit_done.reset();
        p.map.unlock.clear();
        p.map.restart.clear();
        for (auto& nest : p.fixture.nests) {
            nest.advance_coil.reset();
            nest.present_input.reset();
        }
        for (auto& key : p.map.keys) key.neighbours.clear();
    });
    const auto back = read_plan(plan_text(*plan));
    ASSERT_NE(back.plan, nullptr) << document::text_of(back.diagnostics);
    expect_equal(*back.plan, *plan);
}

TEST(Plan, WithEveryValueUnlikeItsDefaultReadsBackEqual) {
    const auto plan = changed([](Plan& p) {
        p.recipe.decision = {DecisionKind::simple, 0.1};
        for (auto& step : p.recipe.steps) step.on_failure = OnFailure::go_on;
        std::get<WriteTrimsStep>(p.recipe.steps[5].body) = {TrimTarget::touch, Counts(350.5)};
        std::get<VerifyStep>(p.recipe.steps[7].body).finger = false;
        std::get<TouchStep>(p.recipe.steps[4].body).keys = {"key 1"};
        p.map.raw_counts.word_order = Order::low_first;
        p.map.raw_counts.byte_order = Order::low_first;
        p.map.raw_counts.stride = 3;
        p.map.keys[0].kind = KeyKind::slider;
        p.map.commit.push_back({RegisterTable::coil, 7, 1, std::chrono::milliseconds(3)});
        p.map.test_mode_on = 5;
        p.map.test_mode_off = 6;
        p.fixture.coupling = Coupling::plate;
        p.fixture.return_path = ReturnPath::floating;
        p.fixture.relays.switching = Switching::one_channel;
        p.fixture.relays.port.line = {9600, Parity::odd, 2, std::chrono::milliseconds(77), 5};
        p.fixture.relays.scpi = ScpiBoard{"Works,RB-64", 101, "DIG:INP? {channels}", 201};
        p.fixture.nests[0].port = {"panel:4001", p.fixture.nests[0].port.line, true};
        p.fixture.finger->greeting = "HELLO \"X\" \\d+";
        p.fixture.equipment.steps[3].coverage_factor = 2.13;
    });
    const auto back = read_plan(plan_text(*plan));
    ASSERT_NE(back.plan, nullptr) << document::text_of(back.diagnostics);
    expect_equal(*back.plan, *plan);
}

TEST(PlanHash, IsTheSameForTheSameDocuments) {
    EXPECT_EQ(hob_plan()->hash, hob_plan()->hash);
    EXPECT_EQ(hob_plan()->hash.size(), 64U);
}

TEST(PlanHash, ChangesWithAnyPartOfThePlan) {
    const auto hash = unchanged()->hash;
    EXPECT_NE(hash, changed([](Plan& p) { p.recipe.revision = "B"; })->hash);
    EXPECT_NE(hash,
              changed([](Plan& p) { p.map.boot_time += std::chrono::milliseconds(1); })->hash);
    EXPECT_NE(hash, changed([](Plan& p) {
                        auto& value = p.fixture.equipment.steps[7].value;
                        value = Picofarad(std::nextafter(value.value(), 10.0));
                    })->hash);
    EXPECT_NE(hash, changed([](Plan& p) {
                        std::get<NoiseStep>(p.recipe.steps[3].body).noise.high = Counts(6.0);
                    })->hash);
}

TEST(PlanHash, DoesNotDependOnHowADocumentWasWritten) {
    const auto first = read_fixture_profile(content("hob-bench-1-nest"), "a");
    std::string other = content("hob-bench-1-nest");
    replace(other, "series_resistor = \"470 ohm\"", "series_resistor = '0.47 kohm' # the same");
    replace(other, "retries = 2\n", "");
    replace(other, "settle = \"20 ms\"", "settle = \"0.02 s\"");
    const auto second = read_fixture_profile(other, "b");
    ASSERT_TRUE(first.value && second.value) << document::text_of(second.diagnostics);
    const auto demo = test_support::demo_plan({});
    EXPECT_EQ(make_plan(demo->recipe, demo->map, *first.value)->hash,
              make_plan(demo->recipe, demo->map, *second.value)->hash);
}

TEST(ReadPlan, KeepsTheHashOfTheTextItWasGiven) {
    const std::string text = plan_text(*unchanged()) + "# a hand was here\n";
    const auto back = read_plan(text);
    ASSERT_NE(back.plan, nullptr);
    EXPECT_EQ(back.plan->hash, hash_of(text));
    EXPECT_NE(back.plan->hash, unchanged()->hash);
}

TEST(ReadPlan, RefusesWhatIsNoPlan) {
    for (const std::string text : {"", "x", "padtrim_recipe = 1\n", "padtrim_plan = 2\n",
                                   "padtrim_plan = 1\n", "padtrim_plan = 1\nrecipe = 5\n"}) {
        const auto back = read_plan(text);
        EXPECT_EQ(back.plan, nullptr) << text;
        EXPECT_FALSE(back.diagnostics.empty()) << text;
    }
}

// Cut off anywhere, a plan is refused with a place, and never half read.
TEST(ReadPlan, RefusesATextCutOffAtAnyLine) {
    const std::string text = plan_text(*unchanged());
    for (auto end = text.find('\n'); end + 1 < text.size(); end = text.find('\n', end + 1)) {
        const auto back = read_plan(text.substr(0, end));
        ASSERT_EQ(back.plan, nullptr) << end;
        ASSERT_FALSE(back.diagnostics.empty()) << end;
    }
}

// FIPS 180-4 examples: SHA-256 of "abc" and of the empty message (digits from memory of the
// published example computations).
TEST(Hash, IsSha256InHex) {
    EXPECT_EQ(hash_of("abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    EXPECT_EQ(hash_of(""), "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
}

}  // namespace
}  // namespace padtrim::language
