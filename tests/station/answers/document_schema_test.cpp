// What tests/schema checks with a general-purpose validator is here looked at by itself.
#include "station/answers/document_schema.hpp"

#include <algorithm>

#include <boost/json/parse.hpp>
#include <gtest/gtest.h>

#include "recipes/language/step_declarations.hpp"

namespace padtrim::answers {
namespace {

const boost::json::value* at(const Json& json, const char* pointer) {
    boost::system::error_code missing;
    return json.find_pointer(pointer, missing);
}

TEST(DocumentSchema, HasADefinitionOfEveryStepWithItsParametersAndLimits) {
    const auto schema = document_schema(DocumentKind::recipe);
    for (const auto& step : language::step_declarations()) {
        std::string name(step.name);
        std::replace(name.begin(), name.end(), ' ', '-');
        const auto* own = at(schema, ("/$defs/step-" + name + "/properties").c_str());
        ASSERT_NE(own, nullptr) << name;
        EXPECT_EQ(own->at("do").at("const").as_string(), step.name);
        for (const auto& check : step.checks)
            if (!check.limit_key.empty()) {
                EXPECT_TRUE(
                    own->at("limits").at("properties").as_object().contains(check.limit_key))
                    << name << ' ' << check.limit_key;
            }
    }
}

TEST(DocumentSchema, KeepsTheWordsOfAChoice) {
    const auto schema = document_schema(DocumentKind::fixture_profile);
    const auto* coupling = at(schema, "/properties/coupling/enum");
    ASSERT_NE(coupling, nullptr);
    EXPECT_EQ(coupling->as_array(), (boost::json::array{"contact", "plate"}));
}

TEST(DocumentSchema, RefersOnlyToWhatItDefines) {
    for (const auto kind :
         {DocumentKind::recipe, DocumentKind::register_map, DocumentKind::fixture_profile}) {
        const auto schema = document_schema(kind);
        const std::string text = text_of(schema);
        const std::string mark = "\"#/$defs/";
        for (auto found = text.find(mark); found != std::string::npos;
             found = text.find(mark, found + 1)) {
            const auto begin = found + mark.size();
            const auto name = text.substr(begin, text.find('"', begin) - begin);
            EXPECT_EQ(name.find(' '), std::string::npos);
            EXPECT_NE(at(schema, ("/$defs/" + name).c_str()), nullptr) << name;
        }
    }
}

TEST(DocumentSchema, ReadsBackFromItsPrettyText) {
    const auto schema = document_schema(DocumentKind::register_map);
    EXPECT_EQ(boost::json::parse(pretty_text(schema)), schema);
    EXPECT_EQ(pretty_text(boost::json::object{{"a", boost::json::array{1, 2}}, {"b", nullptr}}),
              "{\n  \"a\": [\n    1,\n    2\n  ],\n  \"b\": null\n}");
}

}  // namespace
}  // namespace padtrim::answers
