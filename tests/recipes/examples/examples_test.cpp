// Every shipped document is read here and loads without a word.
#include <gtest/gtest.h>

#include "recipes/language/load.hpp"

namespace padtrim::language {
namespace {

std::string source(const std::string& path) {
    return PADTRIM_SOURCE_DIR "/" + path;
}

class HobPanel : public testing::TestWithParam<const char*> {
  protected:
    Loaded load() const {
        return load_plan({source("recipes/examples/hob-panel-8.toml"),
                          source("fixtures/units/hob-panel-8.toml"),
                          source(std::string("fixtures/profiles/") + GetParam() + ".toml")});
    }
};

TEST_P(HobPanel, LoadsWithoutDiagnostics) {
    const auto loaded = load();
    EXPECT_EQ(document::text_of(loaded.diagnostics), "");
    ASSERT_NE(loaded.plan, nullptr);
}

INSTANTIATE_TEST_SUITE_P(Fixtures, HobPanel,
                         testing::Values("hob-line-4-nests", "hob-bench-1-nest", "hob-line-1-nest",
                                         "hob-line-2-nests-shared-bus"));

TEST(ShippedDocuments, LoadWithoutDiagnostics) {
    for (const auto& [unit, fixture] :
         {std::pair{"lamp-panel-slider-wheel", "lamp-bench-1-nest"},
          std::pair{"lamp-panel-slider-wheel", "lamp-line-1-nest-scpi"},
          std::pair{"door-panel-proximity", "door-bench-1-nest"},
          std::pair{"entry-keypad-mutual", "entry-bench-1-nest"}}) {
        const std::string name(unit);
        const auto loaded =
            load_plan({source("recipes/examples/" + name + ".toml"),
                       source("fixtures/units/" + name + ".toml"),
                       source("fixtures/profiles/" + std::string(fixture) + ".toml")});
        EXPECT_EQ(document::text_of(loaded.diagnostics), "");
        ASSERT_NE(loaded.plan, nullptr) << unit;
        EXPECT_EQ(plan_text(*read_plan(plan_text(*loaded.plan)).plan), plan_text(*loaded.plan));
    }
}

}  // namespace
}  // namespace padtrim::language
