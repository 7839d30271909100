// One layout, read, written and listed.
#include "recipes/document/fields.hpp"

#include <gtest/gtest.h>

#include "recipes/document/field_list.hpp"
#include "recipes/document/field_reader.hpp"
#include "recipes/document/field_writer.hpp"
#include "recipes/document/toml.hpp"

namespace padtrim::sample {

enum class Colour { grey, blue };

struct Part {
    std::string name;
    std::uint8_t size = 3;
    friend bool operator==(const Part&, const Part&) = default;
};

struct Thing {
    std::string name;
    bool loud = false;
    std::uint16_t number = 7;
    double share = 0.5;
    Picofarad load{1.5};
    std::vector<Kilohertz> tones;
    Interval<Counts> allowed;
    Colour colour = Colour::grey;
    std::string day;
    std::vector<std::string> words;
    std::vector<std::uint16_t> places;
    std::chrono::milliseconds wait{20};
    std::optional<std::uint16_t> extra;
    Part part;
    std::vector<Part> parts;
    friend bool operator==(const Thing&, const Thing&) = default;
};

}  // namespace padtrim::sample

template <>
struct padtrim::document::Words<padtrim::sample::Colour> {
    static constexpr std::string_view words[] = {"grey", "blue"};
};

namespace padtrim::sample {

using document::Fields;
using document::may;
using document::must;

void describe(Fields& f, Part& part) {
    f.add(must("name", "of the part"), part.name);
    f.add(may("size", "of the part"), part.size, document::between(1, 9));
}

void describe(Fields& f, Thing& thing) {
    f.add(must("name", "of the thing"), thing.name);
    f.add(may("loud", "or not"), thing.loud);
    f.add(may("number", "whole"), thing.number);
    f.add(may("share", "real"), thing.share, document::between(0, 1));
    f.add(may("load", "capacitance"), thing.load, document::above(0));
    f.add(may("tones", "several"), thing.tones);
    f.add(may("allowed", "limit"), thing.allowed);
    f.add(may("colour", "choice"), thing.colour);
    f.date(may("day", "date"), thing.day);
    f.add(may("words", "texts"), thing.words);
    f.add(may("places", "wholes"), thing.places);
    f.add(may("wait", "time"), thing.wait);
    f.add(may("extra", "or none"), thing.extra);
    f.add(may("part", "one"), thing.part);
    f.add(may("parts", "several"), thing.parts);
}

namespace {

struct Read {
    Thing thing;
    std::vector<std::string> messages;
};

Read read(const std::string& text) {
    document::Document doc("a.toml", text);
    Read result;
    document::read_fields(doc, doc.root(), "",
                          [&](Fields& fields) { describe(fields, result.thing); });
    for (const auto& each : doc.diagnostics()) result.messages.push_back(each.message);
    return result;
}

std::string write(Thing thing) {
    document::FieldWriter writer;
    describe(writer, thing);
    return document::toml_text(writer.take());
}

Thing full_thing() {
    Thing thing;
    thing.name = "a \"b\"";
    thing.loud = true;
    thing.number = 65535;
    thing.share = 0.1 + 0.2;
    thing.load = Picofarad(1.0 / 3.0);
    thing.tones = {Kilohertz(250.0), Kilohertz(400.5)};
    thing.allowed = {Counts(-1.5), {}};
    thing.colour = Colour::blue;
    thing.day = "2026-03-31";
    thing.words = {"x", "y z"};
    thing.places = {0, 9};
    thing.wait = std::chrono::milliseconds(15);
    thing.extra = 4;
    thing.part = {"p", 9};
    thing.parts = {{"q", 1}, {"r", 2}};
    return thing;
}

TEST(Fields, ReadBackWhatTheyWrote) {
    const auto text = write(full_thing());
    const auto back = read(text);
    EXPECT_TRUE(back.messages.empty()) << back.messages.front();
    EXPECT_EQ(back.thing, full_thing()) << text;
    EXPECT_EQ(write(back.thing), text);
}

TEST(Fields, KeepDefaultsOfWhatIsLeftOut) {
    const auto back = read("name = \"x\"\npart = { name = \"p\" }\n");
    EXPECT_TRUE(back.messages.empty());
    Thing expected;
    expected.name = "x";
    expected.part.name = "p";
    EXPECT_EQ(back.thing, expected);
}

TEST(Fields, WriteDefaultsOut) {
    Thing thing;
    thing.name = "x";
    const auto text = write(thing);
    for (const char* line :
         {"loud = false\n", "number = 7\n", "share = 0.5\n", "load = \"1.5 pF\"\n",
          "colour = \"grey\"\n", "wait = \"20 ms\"\n", "words = []\n"})
        EXPECT_NE(text.find(line), std::string::npos) << line << text;
    EXPECT_EQ(text.find("extra"), std::string::npos);
    EXPECT_EQ(text.find("allowed"), std::string::npos);
}

struct Wrong {
    const char* line;
    const char* message;
};

class WrongField : public testing::TestWithParam<Wrong> {};

TEST_P(WrongField, IsToldAndKeepsItsDefault) {
    const auto back = read(std::string("name = \"x\"\n") + GetParam().line + '\n');
    ASSERT_EQ(back.messages.size(), 1U) << GetParam().line;
    EXPECT_EQ(back.messages.front(), GetParam().message);
    Thing expected;
    expected.name = "x";
    EXPECT_EQ(back.thing, expected);
}

INSTANTIATE_TEST_SUITE_P(
    Kinds, WrongField,
    testing::Values(
        Wrong{"loud = 1", "\"loud\" is a whole number; true or false is wanted here"},
        Wrong{"number = 65536", "65536 is out of range for \"number\""},
        Wrong{"number = -1", "-1 is out of range for \"number\""},
        Wrong{"number = 7.5", "\"number\" is a number; a whole number is wanted here"},
        Wrong{"share = 1.5", "1.5 is out of range for \"share\""},
        Wrong{"share = 2", "2 is out of range for \"share\""},
        Wrong{"share = nan", "nan is out of range for \"share\""},
        Wrong{"share = \"half\"", "\"share\" is a text; a number is wanted here"},
        Wrong{"load = 2", "2 has no unit; a capacitance in pF is wanted here"},
        Wrong{"load = \"0 pF\"", "0 pF is out of range for \"load\""},
        Wrong{"load = [1]", "\"load\" is a list; a capacitance in pF is wanted here"},
        Wrong{"tones = 250", "250 has no unit; a frequency in kHz is wanted here"},
        Wrong{"allowed = 5", "5 has no unit; a reading in counts is wanted here"},
        Wrong{"colour = \"gray\"", "\"gray\" is no choice for \"colour\""},
        Wrong{"colour = 1", "\"colour\" is a whole number; one of grey, blue is wanted here"},
        Wrong{"day = \"2026-03-31\"", "\"day\" is a text; a date without quotes is wanted here"},
        Wrong{"words = \"x\"", "\"words\" is a text; a list of texts is wanted here"},
        Wrong{"words = [\"x\", 1]",
              "\"words\" has a whole number in its list; texts are wanted here"},
        Wrong{"places = [0, 70000]", "70000 is out of range for \"places[1]\""},
        Wrong{"places = [0, 1.5]",
              "\"places\" has a number in its list; whole numbers are wanted here"},
        Wrong{"wait = \"-1 ms\"", "-1 ms is out of range for \"wait\""},
        Wrong{"part = 1", "\"part\" is a whole number; a table is wanted here"},
        Wrong{"parts = [1]", "\"parts\" has something else than tables in its list"},
        Wrong{"parts = { name = \"q\" }", "\"parts\" is a table; a list of tables is wanted here"},
        Wrong{"colours = \"grey\"", "unknown key \"colours\""}));

TEST(Fields, TakeABrokenOptionForGiven) {
    const auto back = read("name = \"x\"\nextra = \"y\"\n");
    EXPECT_EQ(back.messages,
              std::vector<std::string>{"\"extra\" is a text; a whole number is wanted here"});
    EXPECT_TRUE(back.thing.extra.has_value());
}

TEST(Fields, TellEveryProblemAtOnce) {
    const auto back = read("loud = 1\nnumber = -1\n[[parts]]\nnmae = \"q\"\nsize = 10\n");
    EXPECT_EQ(back.messages,
              (std::vector<std::string>{"\"name\" is missing",
                                        "\"loud\" is a whole number; true or false is wanted here",
                                        "-1 is out of range for \"number\"", "unknown key \"nmae\"",
                                        "10 is out of range for \"size\""}));
}

TEST(Fields, TellANearMissOfAMissingKeyOnce) {
    EXPECT_EQ(read("nmae = \"x\"\n").messages, std::vector<std::string>{"unknown key \"nmae\""});
}

TEST(FieldList, NamesEveryKeyWithFormAndDefault) {
    Thing thing;
    const auto table = document::list_fields([&](Fields& fields) { describe(fields, thing); });
    const auto row = [&](const std::string& key) {
        for (const auto& each : table.rows)
            if (each.key == key) return each;
        ADD_FAILURE() << key;
        return document::FieldRow{};
    };
    EXPECT_TRUE(row("name").required);
    EXPECT_EQ(row("load").form, "quantity in pF above 0 pF");
    EXPECT_EQ(row("load").initial, "1.5 pF");
    EXPECT_EQ(row("extra").initial, "");
    EXPECT_EQ(row("parts[].size").form, "whole number 1 to 9");
    EXPECT_EQ(row("parts[].size").initial, "3");
    EXPECT_EQ(row("colour").form, "one of: grey, blue");
    EXPECT_EQ(row("wait").initial, "20 ms");
}

}  // namespace
}  // namespace padtrim::sample
