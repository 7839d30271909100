// Injected causes by the bench's physics are in tests/causes; here each conclusion by hand.
#include "db/quality/channel_causes.hpp"

#include <gtest/gtest.h>

namespace padtrim::quality {
namespace {

using Kind = ChannelCauseKind;
// A fit through open and references of 1 and 3 pF moves so when one is larger (about).
const std::vector<ReferenceEffect> references{{"R1", 0.10, 0.02}, {"R2", 0.17, -0.08}};

std::vector<ChangeCell> cells_of(double nest_1, double standard_a, double product, double u) {
    std::vector<ChangeCell> cells;
    for (const char* specimen : {"A", "B", "C", ""})
        for (const std::uint16_t nest : {std::uint16_t{1}, std::uint16_t{2}})
            cells.push_back({specimen, nest,
                             (nest == 1 ? nest_1 : 0.0) +
                                 (specimen == std::string("A") ? standard_a : 0.0) +
                                 (specimen == std::string() ? product : 0.0),
                             u});
    return cells;
}
ChannelWatch watch(double gain, double offset, double standard = 0.0, double over = 0.0) {
    ChannelWatch watch;
    watch.references = references;
    watch.gain = cells_of(gain, standard, 0.0, 1e-4);
    watch.offset = cells_of(offset, 0.0, 0.0, 1e-4);
    watch.touch = cells_of(0.0, standard, over, 1e-3);
    return watch;
}

TEST(ChannelCauses, TellAReferenceFromStrayByItsDirection) {
    const auto stray = *channel_causes(watch(0.0, 0.05));
    ASSERT_EQ(stray.causes.size(), 1u);
    EXPECT_EQ(stray.causes[0].kind, Kind::stray);
    EXPECT_EQ(stray.causes[0].nest, 1);
    EXPECT_NEAR(stray.causes[0].size, 0.05, 1e-9);
    // R2 larger by 0.03 pF.
    const auto reference = *channel_causes(watch(0.03 * 0.17, -0.03 * 0.08));
    ASSERT_EQ(reference.causes.size(), 1u);
    EXPECT_EQ(reference.causes[0].kind, Kind::reference);
    EXPECT_EQ(reference.causes[0].references, std::vector<std::string>{"R2"});
    const auto both = *channel_causes(watch(0.03 * 0.17, 0.05));
    ASSERT_EQ(both.causes.size(), 1u);
    EXPECT_EQ(both.causes[0].kind, Kind::reference_and_stray);
    EXPECT_TRUE(both.distinguishable);
}

TEST(ChannelCauses, TellAnAgeingStandardOnceAndGlueAsTheProducts) {
    const auto standard = *channel_causes(watch(0.0, 0.0, -0.02));
    ASSERT_EQ(standard.causes.size(), 1u);
    EXPECT_EQ(standard.causes[0].kind, Kind::standard);
    EXPECT_EQ(standard.causes[0].standard, "A");
    EXPECT_EQ(standard.causes[0].quantity, "gain");
    const auto glue = *channel_causes(watch(0.0, 0.0, 0.0, -0.05));
    ASSERT_EQ(glue.causes.size(), 1u);
    EXPECT_EQ(glue.causes[0].kind, Kind::over_electrode);
    // The finger: touch response of everything, and nothing else.
    auto worn = watch(0.0, 0.0);
    for (auto& cell : worn.touch) cell.value = -0.05;
    ASSERT_EQ(channel_causes(worn)->causes.size(), 1u);
    EXPECT_EQ(channel_causes(worn)->causes[0].kind, Kind::finger);
    // Electronics: gain and touch response of the product together.
    auto weak = watch(0.0, 0.0, 0.0, -0.05);
    for (auto& cell : weak.gain)
        if (cell.specimen.empty()) cell.value = -0.05;
    const auto causes = *channel_causes(weak);
    ASSERT_EQ(causes.causes.size(), 1u);
    EXPECT_EQ(causes.causes[0].kind, Kind::product_line);
}

TEST(ChannelCauses, AdmitWhatGainAloneCannotTell) {
    auto gain_only = watch(0.02, 0.0);
    gain_only.offset.clear();
    const auto causes = *channel_causes(gain_only);
    ASSERT_EQ(causes.causes.size(), 1u);
    EXPECT_EQ(causes.causes[0].kind, Kind::reference_or_stray);
    const auto nothing = *channel_causes(watch(0.0, 0.0));
    EXPECT_FALSE(nothing.changed);
    EXPECT_TRUE(nothing.distinguishable);
    EXPECT_TRUE(nothing.causes.empty());
    EXPECT_EQ(channel_causes({}).error(), statistics::Flaw::too_few_points);
    EXPECT_EQ(channel_causes(watch(0, 0), NAN).error(), statistics::Flaw::out_of_domain);
}

TEST(WatchOf, TakesChangesRelativeToTheBaselineAndOffsetInPicofarad) {
    const std::vector<SpecimenSeries> series{
        {"A", 1, {{399, 401}, {404}}, {{1999, 2001}, {2020}}, {{300, 302}, {301}}},
        {"", 1, {{380, 420}, {410}}, {}, {}}};
    const auto watch = watch_of(series, references);
    ASSERT_EQ(watch.gain.size(), 2u);
    EXPECT_NEAR(watch.gain[0].value, 0.01, 1e-12);
    ASSERT_EQ(watch.offset.size(), 1u);
    EXPECT_NEAR(watch.offset[0].value, 0.05, 1e-12) << "20 counts at 400 counts/pF";
    EXPECT_NEAR(watch.correlation, 1.0, 1e-12);
    EXPECT_EQ(watch.touch.size(), 1u);
}

}  // namespace
}  // namespace padtrim::quality
