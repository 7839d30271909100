#include "recipes/language/coil_uses.hpp"

#include <algorithm>

#include <gtest/gtest.h>

#include "recipes/language/load.hpp"
#include "recipes/language/step_needs.hpp"

namespace padtrim::language {
namespace {

FixtureProfile profile_named(const std::string& name) {
    const std::string path = PADTRIM_SOURCE_DIR "/fixtures/profiles/" + name + ".toml";
    return read_fixture_profile(*text_of_file(path), path).value.value();
}

std::size_t uses_with(const std::vector<CoilUse>& uses, const std::string& words) {
    return static_cast<std::size_t>(std::count_if(uses.begin(), uses.end(), [&](const auto& use) {
        return use.what.find(words) != std::string::npos;
    }));
}

TEST(CoilUses, NameEveryCoilOfAFixtureOnce) {
    const FixtureProfile fixture = profile_named("hob-line-1-nest");
    const auto uses = coil_uses(fixture);
    for (std::size_t i = 0; i < uses.size(); ++i)
        for (std::size_t k = 0; k < i; ++k) EXPECT_NE(uses[i].coil, uses[k].coil) << uses[i].what;
    EXPECT_EQ(uses_with(uses, " on nest 1, channel "), fixture.equipment.steps.size());
    EXPECT_EQ(uses_with(uses, "lamp"), 3U);
    for (const CoilUse& use : uses) EXPECT_EQ(use.pins, use.what == "pins of nest 1") << use.what;
}

TEST(CoilUses, HoldTheMetersRelaysToo) {
    const auto fixture = profile_named("lamp-line-1-nest-scpi");
    const auto uses = coil_uses(fixture);
    EXPECT_EQ(uses_with(uses, "standard"), 2U);
    EXPECT_EQ(uses_with(uses, "the meter's tip"),
              fixture.nests.size() * fixture.equipment.channels());
}

// What a worn finger changes, and what it cannot.
TEST(ChecksOfTheFinger, AreThoseOfStepsThatCannotDoWithoutIt) {
    for (const char* check :
         {"touch response", "crosstalk", "operating distance", "position error"})
        EXPECT_TRUE(is_of_finger(check)) << check;
    for (const char* check : {"gain", "offset", "noise", "gain error", "contact", "reply time"})
        EXPECT_FALSE(is_of_finger(check)) << check;
}

}  // namespace
}  // namespace padtrim::language
