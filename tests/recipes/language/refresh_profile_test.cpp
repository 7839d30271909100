#include "recipes/language/refresh_profile.hpp"

#include <fstream>
#include <iterator>
#include <sstream>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "recipes/language/load.hpp"

namespace padtrim::language {
namespace {

using ::testing::HasSubstr;

std::string shipped_text(const std::string& name) {
    std::ifstream file(PADTRIM_SOURCE_DIR "/fixtures/profiles/" + name + ".toml", std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

EquipmentRecord record_of(const std::string& text) {
    return read_fixture_profile(text, "a.toml").value->equipment;
}

// As a characterisation would change it.
EquipmentRecord moved(EquipmentRecord record) {
    record.certificate = "step record \"27\"";
    record.characterised_on = "2027-01-04";
    record.recalibration_due = "2028-01-04";
    record.temperature = Celsius(21.5);
    for (auto& step : record.steps) {
        step.value = Picofarad(step.value.value() * 1.01 + 1e-7);
        step.expanded_uncertainty = Picofarad(0.00921);
        step.common_relative = 0.0007;
    }
    for (auto& part : record.fixture_parts) part.value = part.value + Picofarad(0.01);
    return record;
}

std::vector<std::string> comments_of(const std::string& text) {
    std::vector<std::string> comments;
    std::istringstream lines(text);
    for (std::string line; std::getline(lines, line);)
        if (const auto at = line.find('#'); at != std::string::npos)
            comments.push_back(line.substr(at));
    return comments;
}

class EveryShippedProfile : public testing::TestWithParam<const char*> {};

TEST_P(EveryShippedProfile, TakesNewValuesAndKeepsItsComments) {
    const std::string text = shipped_text(GetParam());
    const EquipmentRecord wanted = moved(record_of(text));
    const auto out = refreshed_profile(text, "a.toml", wanted);
    ASSERT_EQ(out.problem, "");
    EXPECT_EQ(comments_of(out.text), comments_of(text));
    const EquipmentRecord got = record_of(out.text);
    EXPECT_EQ(got.certificate, wanted.certificate);
    EXPECT_EQ(got.recalibration_due, "2028-01-04");
    EXPECT_EQ(got.temperature, Celsius(21.5));
    for (std::size_t at = 0; at < got.steps.size(); ++at) {
        EXPECT_NEAR(got.steps[at].value.value(), wanted.steps[at].value.value(), 5.01e-5);
        EXPECT_NEAR(got.steps[at].expanded_uncertainty.value(), 0.0093, 1e-9);  // rounded up
        EXPECT_EQ(got.steps[at].common_relative, 0.0007);
    }
}

TEST_P(EveryShippedProfile, StaysAsItIsWithItsOwnRecord) {
    const std::string text = shipped_text(GetParam());
    const auto out = refreshed_profile(text, "a.toml", record_of(text));
    ASSERT_EQ(out.problem, "");
    EXPECT_EQ(record_of(out.text), record_of(text));
}

INSTANTIATE_TEST_SUITE_P(All, EveryShippedProfile,
                         testing::Values("hob-line-4-nests", "hob-line-2-nests-shared-bus",
                                         "hob-bench-1-nest", "hob-line-1-nest",
                                         "lamp-line-1-nest-scpi", "door-bench-1-nest",
                                         "entry-bench-1-nest"));

TEST(RefreshedProfile, PutsExplicitEntriesInTheirPlace) {
    std::string text = shipped_text("hob-bench-1-nest");
    text +=
        "\n[[equipment.step]]  # mended by hand\nnest = 1\nchannel = 2\nreference = \"R2\"\n"
        "coil = 10\nvalue = '1.1 pF'\nexpanded_uncertainty = \"0.02 pF\"  # wide\n";
    const auto before = record_of(text);
    const auto out = refreshed_profile(text, "a.toml", moved(before));
    ASSERT_EQ(out.problem, "");
    EXPECT_THAT(out.text, HasSubstr("value = \"1.1110 pF\""));
    EXPECT_THAT(out.text, HasSubstr("\"0.0093 pF\"  # wide\ncommon_relative = 0.0007\n"));
}

TEST(RefreshedProfile, SaysWhenALayoutDoesNotTakeTheValues) {
    std::string text = shipped_text("hob-bench-1-nest");
    const auto at = text.find("certificate = \"");
    const auto end = text.find('\n', at);
    text.replace(at, end - at, "certificate = \"\"\"step\nrecord\"\"\"");
    const auto out = refreshed_profile(text, "a.toml", moved(record_of(text)));
    EXPECT_EQ(out.text, "");
    EXPECT_THAT(out.problem, HasSubstr("a.toml"));
}

TEST(RefreshedProfile, RefusesATextThatIsNoProfile) {
    EXPECT_THAT(refreshed_profile("x = 1", "a.toml", {}).problem, HasSubstr("not a sound"));
}

}  // namespace
}  // namespace padtrim::language
