#include "recipes/language/taught_places.hpp"

#include <algorithm>
#include <cmath>
#include <filesystem>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "recipes/language/load.hpp"

namespace padtrim::language {
namespace {

using testing::HasSubstr;

std::string text_of(const std::filesystem::path& path) {
    return *text_of_file(path.string());
}

TEST(TaughtPlaces, ChangesOneOriginOfEveryShippedProfileAndNothingElse) {
    int profiles = 0;
    for (const auto& file :
         std::filesystem::directory_iterator(PADTRIM_SOURCE_DIR "/fixtures/profiles")) {
        const std::string name = file.path().filename();
        const std::string before = text_of(file.path());
        auto wanted = *read_fixture_profile(before, name).value;
        const auto out =
            profile_with_origin(before, name, 1, Millimetre(21.37), Millimetre(39.508));
        ASSERT_EQ(out.problem, "") << name;
        wanted.nests[0].origin_x = Millimetre(21.37);
        wanted.nests[0].origin_y = Millimetre(39.51);
        EXPECT_EQ(*read_fixture_profile(out.text, name).value, wanted) << name;
        EXPECT_THAT(out.text, HasSubstr("# "));
        // Put back, it is the old text but for how the two numbers are written.
        const auto* old = read_fixture_profile(before, name).value->nest(1);
        const auto again = profile_with_origin(out.text, name, 1, old->origin_x, old->origin_y);
        EXPECT_EQ(std::count(again.text.begin(), again.text.end(), '#'),
                  std::count(before.begin(), before.end(), '#'));
        ++profiles;
    }
    EXPECT_GE(profiles, 5);
}

TEST(TaughtPlaces, KeepsARemarkOnTheSameLine) {
    std::string text = text_of(PADTRIM_SOURCE_DIR "/fixtures/profiles/hob-bench-1-nest.toml");
    text.replace(text.find("origin_x = \"20 mm\""), 18, "origin_x = \"20 mm\"   # by hand");
    const auto out = profile_with_origin(text, "p.toml", 1, Millimetre(21.5), Millimetre(40.0));
    EXPECT_THAT(out.text, HasSubstr("origin_x = \"21.50 mm\"   # by hand"));
}

TEST(TaughtPlaces, RefusesWhatItCannotWrite) {
    const std::string text = text_of(PADTRIM_SOURCE_DIR "/fixtures/profiles/hob-bench-1-nest.toml");
    EXPECT_THAT(profile_with_origin(text, "p.toml", 2, Millimetre(1), Millimetre(1)).problem,
                HasSubstr("a nest 2"));
    EXPECT_THAT(profile_with_origin("no = ", "p.toml", 1, Millimetre(1), Millimetre(1)).problem,
                HasSubstr("not a sound"));
    const Millimetre none(std::nan(""));
    EXPECT_THAT(profile_with_origin(text, "p.toml", 1, none, Millimetre(40)).problem,
                HasSubstr("cannot be written"));
}

}  // namespace
}  // namespace padtrim::language
