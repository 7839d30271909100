// Changes between documents, in words.
#include "recipes/language/changes.hpp"

#include <algorithm>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "recipes/language/load.hpp"
#include "tests/support/demo_documents.hpp"

namespace padtrim::language {
namespace {

using test_support::demo_recipe;
using ::testing::ElementsAre;
using ::testing::IsEmpty;

template <class Body>
Body& body_in(Recipe& recipe) {
    for (Step& step : recipe.steps)
        if (auto* body = std::get_if<Body>(&step.body)) return *body;
    throw std::logic_error("no such step");
}

std::vector<std::string> sentences(const Changes& changes) {
    std::vector<std::string> words;
    for (const Change& change : changes) words.push_back(change.sentence);
    return words;
}

TEST(DocumentChanges, AreNoneBetweenEqualDocuments) {
    EXPECT_THAT(changes_between(*test_support::demo_plan(), *test_support::demo_plan()), IsEmpty());
}

struct LimitCase {
    Interval<Counts> after;
    ChangeKind kind;
    const char* verb;
};

TEST(DocumentChanges, SayWhetherALimitIsWiderOrTighter) {
    for (const LimitCase& each :
         {LimitCase{{Counts(200), Counts(500)}, ChangeKind::limit_widened, "widened"},
          LimitCase{{Counts(200), Counts(600)}, ChangeKind::limit_widened, "widened"},
          LimitCase{{Counts(250), std::nullopt}, ChangeKind::limit_widened, "widened"},
          LimitCase{{Counts(260), Counts(500)}, ChangeKind::limit_tightened, "tightened"},
          LimitCase{{Counts(260), Counts(600)}, ChangeKind::limit_shifted, "shifted"},
          LimitCase{{std::nullopt, Counts(400)}, ChangeKind::limit_shifted, "shifted"}}) {
        Recipe after = demo_recipe();
        body_in<TouchStep>(after).response = each.after;
        const Changes changes = changes_between(demo_recipe(), after);
        ASSERT_EQ(changes.size(), 1U);
        EXPECT_EQ(changes[0].kind, each.kind);
        EXPECT_NE(changes[0].sentence.find(each.verb), std::string::npos) << changes[0].sentence;
        EXPECT_EQ(changes[0].before, "250 to 500 counts");
        EXPECT_EQ(changes[0].place, "step touch");
    }
}

TEST(DocumentChanges, SpeakInSentences) {
    Recipe after = demo_recipe();
    after.revision = "B";
    body_in<NoiseStep>(after).noise.high = Counts(8);
    body_in<NoiseStep>(after).scans = 32;
    body_in<TouchStep>(after).signal_to_noise = {};
    EXPECT_THAT(
        sentences(changes_between(demo_recipe(), after)),
        ElementsAre("Revision was changed: A before, B now.",
                    "In step noise scans was changed: 64 before, 32 now.",
                    "In step noise the limit on noise was widened: 0 to 5 counts before, 0 to 8 "
                    "counts now.",
                    "In step touch the limit on signal to noise was removed: it was at least 5."));
}

TEST(DocumentChanges, FollowStepsByTheirNames) {
    Recipe after = demo_recipe();
    auto& steps = after.steps;
    const auto noise = std::find_if(steps.begin(), steps.end(),
                                    [](const Step& step) { return step.name == "noise"; });
    Step quiet = *noise;
    quiet.name = "noise again";
    steps.erase(noise);                                                // removed
    std::rotate(steps.begin(), steps.begin() + 1, steps.begin() + 2);  // identify behind contacts
    steps.push_back(quiet);                                            // added
    const Changes changes = changes_between(demo_recipe(), after);
    ASSERT_EQ(changes.size(), 3U);
    EXPECT_EQ(changes[0].sentence, "Step noise was removed.");
    EXPECT_EQ(changes[1].sentence, "Step noise again was added after step verify.");
    EXPECT_EQ(changes[2].kind, ChangeKind::step_moved);
}

TEST(DocumentChanges, CoverRegisterMapAndFixture) {
    Plan after = *test_support::demo_plan();
    after.map.gain_trim.maximum = 1.5;
    after.map.keys[2].x = Millimetre(99);
    after.fixture.equipment.certificate = "demo 2";
    after.fixture.equipment.steps.pop_back();
    const Changes changes = changes_between(*test_support::demo_plan(), after);
    ASSERT_EQ(changes.size(), 4U) << ::testing::PrintToString(sentences(changes));
    EXPECT_EQ(changes[0].document, "register map");
    EXPECT_EQ(changes[0].place, "key key 3");
    EXPECT_EQ(changes[1].what, "trims.gain.maximum");
    EXPECT_EQ(changes[2].document, "fixture profile");
}

TEST(DocumentChanges, DoNotSeeADefaultThatWasSpeltOut) {
    const std::string head =
        "padtrim_recipe = 1\nname = 'r'\nrevision = 'A'\nproduct = 'p'\n[[step]]\ndo = "
        "'identify'\n[[step]]\ndo = 'noise'\n"
        "limits.noise = 'at most 5 counts'\n";
    const auto plain = read_recipe(head, "a"), spelt = read_recipe(head + "scans = 64\n", "b");
    ASSERT_TRUE(plain.value && spelt.value) << document::text_of(spelt.diagnostics);
    EXPECT_THAT(changes_between(*plain.value, *spelt.value), IsEmpty());
}

}  // namespace
}  // namespace padtrim::language
