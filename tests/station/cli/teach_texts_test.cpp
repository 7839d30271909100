#include "station/cli/teach_texts.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "station/answers/json.hpp"

namespace padtrim::cli {
namespace {

using metrology::Spot;
using testing::HasSubstr;

Spot spot(double x, double y) {
    return {Millimetre(x), Millimetre(y)};
}

TEST(TeachLines, AreReadStrictly) {
    EXPECT_EQ(read_teach_line("x 1.5").by.x, Millimetre(1.5));
    EXPECT_EQ(read_teach_line("y -2").by.y, Millimetre(-2.0));
    EXPECT_EQ(read_teach_line("z +0.25").by.z, Millimetre(0.25));
    EXPECT_EQ(read_teach_line("z 3").act, TeachAct::step);
    for (const char* wrong : {"x", "x one", "x 1 2", "x 1mm", "x nan", "x inf", "w 1", "write it",
                              "find", "x ++1", "go"})
        EXPECT_EQ(read_teach_line(wrong).act, TeachAct::unknown) << wrong;
    EXPECT_EQ(read_teach_line("").act, TeachAct::nothing);
    EXPECT_EQ(read_teach_line("clear").act, TeachAct::clear);
    EXPECT_EQ(read_teach_line("all").act, TeachAct::all);
    for (const char* fright : {"STOP", "Stop", "stop"})
        EXPECT_EQ(read_teach_line(fright).act, TeachAct::stop) << fright;
    EXPECT_EQ(read_teach_line("Find Key A").key, "Key A") << "a name keeps its case";
}

TEST(TeachLines, NameKeysWithBlanksAndWhereToStart) {
    EXPECT_EQ(read_teach_line("find power").key, "power");
    EXPECT_FALSE(read_teach_line("find power").here);
    EXPECT_EQ(read_teach_line("find front left here").key, "front left");
    EXPECT_TRUE(read_teach_line("find front left here").here);
}

TEST(TaughtTexts, TellTheOriginAndHowWellTheKeysAgree) {
    TaughtNest taught;
    taught.origin_before = spot(20, 40);
    EXPECT_THAT(taught_lines(taught)[0], HasSubstr("No key"));
    metrology::FoundCentre found;
    found.centre = spot(43.8, 68.8);
    taught.keys.push_back({"power", spot(22, 30), found.centre});
    taught.centres.push_back(found);
    EXPECT_THAT(taught_lines(taught).back(), HasSubstr("One key does not tell"));
    found.centre = spot(197.8, 70.4);
    taught.keys.push_back({"boost", spot(176, 30), found.centre});
    taught.centres.push_back(found);
    const auto lines = taught_lines(taught);
    EXPECT_THAT(lines[0],
                HasSubstr("origin X 21.80, Y 39.60 mm from 2 keys (before: 20.00, 40.00)"));
    EXPECT_THAT(lines[1], HasSubstr("0.80 mm"));
    EXPECT_THAT(lines.back(), HasSubstr("lies turned"));
    const auto json = taught_json(taught, "p.toml");
    EXPECT_NEAR(json.at("origin_x_mm").as_double(), 21.8, 1e-9);
    EXPECT_EQ(json.at("keys").as_array().size(), 2U);
    EXPECT_EQ(answers::text_of(json.at("written")), "\"p.toml\"");
}

TEST(TaughtTexts, TellACentreWithItsDistanceFromTheProfile) {
    metrology::FoundCentre found;
    found.centre = spot(43.8, 68.8);
    found.repeat = Millimetre(-0.03);
    EXPECT_THAT(centre_text("power", found, spot(42.0, 70.0)),
                HasSubstr("+1.80 and -1.20 from where the profile has it"));
}

}  // namespace
}  // namespace padtrim::cli
