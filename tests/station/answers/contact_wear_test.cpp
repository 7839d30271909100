#include "station/answers/contact_wear.hpp"

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/support/demo_documents.hpp"

namespace padtrim::answers {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

language::FixtureProfile rated_profile() {
    auto fixture = test_support::demo_fixture_profile();
    fixture.contact_lives = language::ContactLives{1'000'000, 100'000};
    return fixture;
}

const WornContact& of_coil(const WearAnswer& wear, std::uint16_t coil) {
    for (const auto& contact : wear.contacts)
        if (contact.coil == coil) return contact;
    throw std::logic_error("no such coil");
}

TEST(ContactWear, NamesWhatEachCoilSwitchesMostWornFirst) {
    const auto wear = wear_of(rated_profile(), {{3, 1000, {}, "", ""}, {40, 50'000, {}, "", ""}});
    EXPECT_EQ(wear.contacts.front().coil, 40);
    EXPECT_EQ(wear.contacts.front().use, "pins of nest 1");
    EXPECT_DOUBLE_EQ(*wear.contacts.front().pin_share, 0.5);
    EXPECT_DOUBLE_EQ(*wear.contacts.front().share, 0.05);
    EXPECT_EQ(of_coil(wear, 3).use, "R1 on nest 1, channel 3");
    EXPECT_FALSE(of_coil(wear, 3).pin_share);
    EXPECT_EQ(of_coil(wear, 41).operations, 0U);
    EXPECT_THAT(wear.warnings, IsEmpty());
}

TEST(ContactWear, WarnsFromNinetyPercentOn) {
    EXPECT_THAT(wear_of(rated_profile(), {{40, 89'999, {}, "", ""}}).warnings, IsEmpty());
    const auto pins = wear_of(rated_profile(), {{40, 90'000, {}, "", ""}});
    EXPECT_THAT(pins.warnings,
                ElementsAre(HasSubstr("The pins of nest 1 touched 90000 times, 90.0 %")));
    EXPECT_THAT(pins.warnings[0], HasSubstr("padtrim wear --replaced 40"));
    const auto relay = wear_of(rated_profile(), {{3, 900'000, {}, "", ""}});
    EXPECT_THAT(relay.warnings, ElementsAre(HasSubstr("The relay of coil 3 (R1 on nest 1")));
}

TEST(ContactWear, TellsCountsAloneWithoutRatedLives) {
    auto fixture = rated_profile();
    fixture.contact_lives.reset();
    const auto wear = wear_of(fixture, {{40, 1'000'000'000, {}, "", ""}});
    EXPECT_FALSE(wear.contacts.front().share);
    EXPECT_THAT(wear.warnings, IsEmpty());
    EXPECT_TRUE(to_json(wear).at("pin_life").is_null());
}

}  // namespace
}  // namespace padtrim::answers
