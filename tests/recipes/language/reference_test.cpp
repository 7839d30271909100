#include "recipes/language/reference.hpp"

#include <cstdlib>
#include <fstream>
#include <iterator>

#include <gtest/gtest.h>

#include "recipes/language/step_declarations.hpp"

namespace padtrim::language {
namespace {

// The page in docs/. To renew all three: PADTRIM_RENEW_REFERENCE=1 test_recipes_language.
void expect_page(const std::string& name, const std::string& text) {
    const std::string path = PADTRIM_SOURCE_DIR "/docs/" + name;
    if (std::getenv("PADTRIM_RENEW_REFERENCE") != nullptr) std::ofstream(path) << text;
    std::ifstream file(path, std::ios::binary);
    const std::string kept{std::istreambuf_iterator<char>(file), {}};
    EXPECT_EQ(kept, text) << path << " is stale; renew it as the comment in this test says";
}

TEST(RecipeReference, PageIsWhatTheDeclarationsSay) {
    expect_page("recipe-reference.md", recipe_reference_markdown());
}

TEST(RegisterMapReference, PageIsWhatTheLayoutSays) {
    expect_page("register-map-reference.md", register_map_reference_markdown());
}

TEST(FixtureReference, PageIsWhatTheLayoutSays) {
    expect_page("fixture-reference.md", fixture_reference_markdown());
}

TEST(RecipeReference, NamesEveryStepWithItsChecksAndLimits) {
    const auto text = recipe_reference_markdown();
    for (const auto& step : step_declarations()) {
        EXPECT_NE(text.find("## " + std::string(step.name) + "\n"), std::string::npos);
        for (const auto& check : step.checks) {
            EXPECT_NE(text.find("| " + std::string(check.name) + " |"), std::string::npos);
            EXPECT_FALSE(check.meaning.empty()) << check.name;
            EXPECT_FALSE(check.per.empty()) << check.name;
        }
    }
}

TEST(StepDeclarations, StandInTheOrderOfTheirBodies) {
    const auto& all = step_declarations();
    ASSERT_EQ(all.size(), std::variant_size_v<StepBody>);
    for (std::size_t i = 0; i < all.size(); ++i) EXPECT_EQ(all[i].initial.index(), i);
}

TEST(StepDeclarations, FindTheCheckOfALimit) {
    const auto& fit = declaration_of(StepBody(GainOffsetStep{}));
    ASSERT_NE(check_with_limit(fit, "gain"), nullptr);
    EXPECT_EQ(check_with_limit(fit, "gain")->unit, "counts/pF");
    EXPECT_EQ(check_with_limit(fit, "gain")->claim, Claim::traceable);
    EXPECT_EQ(check_with_limit(fit, "response"), nullptr);
    EXPECT_EQ(check_with_limit(fit, ""), nullptr);
}

}  // namespace
}  // namespace padtrim::language
