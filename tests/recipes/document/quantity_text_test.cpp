#include "recipes/document/quantity_text.hpp"

#include <gtest/gtest.h>

#include "recipes/document/unit_table.hpp"

namespace padtrim::document {
namespace {

double value_of(std::string_view text, std::string_view unit) {
    const auto parsed = parse_quantity(text, unit);
    EXPECT_TRUE(parsed) << text << ": " << parsed.error().message;
    return parsed ? *parsed : -1e99;
}

std::string message_of(std::string_view text, std::string_view unit) {
    const auto parsed = parse_quantity(text, unit);
    EXPECT_FALSE(parsed) << text;
    return parsed.error().message;
}

Limit limit_of(std::string_view text, std::string_view unit) {
    const auto parsed = parse_limit(text, unit);
    EXPECT_TRUE(parsed) << text << ": " << parsed.error().message;
    return parsed ? *parsed : Limit{};
}

TEST(Quantity, IsANumberAndItsUnit) {
    EXPECT_EQ(value_of("2.2 pF", "pF"), 2.2);
    EXPECT_EQ(value_of("15 ms", "ms"), 15.0);
    EXPECT_EQ(value_of("-1.5 %", "%"), -1.5);
    EXPECT_EQ(value_of("+3 mm", "mm"), 3.0);
    EXPECT_EQ(value_of("1e3 counts", "counts"), 1000.0);
    EXPECT_EQ(value_of("  2.2   pF ", "pF"), 2.2);
    EXPECT_EQ(value_of("2.2pF", "pF"), 2.2);
    EXPECT_EQ(value_of("5%", "%"), 5.0);
}

TEST(Quantity, ConvertsPrefixesOfItsUnit) {
    // SI prefixes, SI Brochure (BIPM, 9th edition), table 7.
    EXPECT_EQ(value_of("2200 fF", "pF"), 2.2);
    EXPECT_EQ(value_of("1.5 nF", "pF"), 1500.0);
    EXPECT_EQ(value_of("0.5 s", "ms"), 500.0);
    EXPECT_EQ(value_of("250 us", "ms"), 0.25);
    EXPECT_EQ(value_of("250 \u00b5s", "ms"), 0.25);
    EXPECT_EQ(value_of("2 min", "ms"), 120000.0);
    EXPECT_EQ(value_of("1.1 cm", "mm"), 11.0);
    EXPECT_EQ(value_of("500 um", "mm"), 0.5);
    EXPECT_EQ(value_of("1.2 m/s", "mm/s"), 1200.0);
    EXPECT_EQ(value_of("600 mm/min", "mm/s"), 10.0);
    EXPECT_EQ(value_of("1 MHz", "kHz"), 1000.0);
    EXPECT_EQ(value_of("32768 Hz", "kHz"), 32.768);
    EXPECT_EQ(value_of("1 kohm", "ohm"), 1000.0);
    EXPECT_EQ(value_of("4.7 k\u03a9", "ohm"), 4700.0);
    EXPECT_EQ(value_of("23 \u00b0C", "degC"), 23.0);
    EXPECT_EQ(value_of("0.4 counts/fF", "counts/pF"), 400.0);
}

TEST(Quantity, OfDimensionOneHasNoUnit) {
    EXPECT_EQ(value_of("5", "1"), 5.0);
    EXPECT_EQ(message_of("5 pF", "1"),
              "\"pF\" measures a capacitance in pF; a plain number is wanted here");
}

TEST(Quantity, OfAnotherDimensionSaysBoth) {
    EXPECT_EQ(message_of("15 ms", "pF"),
              "\"ms\" measures a time in ms; a capacitance in pF is wanted here");
    const auto parsed = parse_quantity("15 mm", "ms");
    EXPECT_EQ(parsed.error().mend, "Give the value in ms.");
}

TEST(Quantity, WithoutUnitSaysWhichOne) {
    const auto parsed = parse_quantity("15", "ms");
    EXPECT_EQ(parsed.error().message, "\"15\" has no unit; a time in ms is wanted here");
    EXPECT_EQ(parsed.error().mend, "Write the unit behind it: \"15 ms\".");
}

TEST(Quantity, WithAnUnknownUnitSuggestsTheNearest) {
    const auto parsed = parse_quantity("400 count/pF", "counts/pF");
    EXPECT_EQ(parsed.error().message,
              "\"count/pF\" is no unit; a gain in counts/pF is wanted here");
    EXPECT_EQ(parsed.error().mend, "Did you mean \"counts/pF\"?");
}

TEST(Quantity, RefusesWhatIsNoNumber) {
    for (const char* text : {"", " ", "pF", "nan pF", "inf pF", "1e999 pF", "0x10 pF", "--1 pF",
                             "1.2.3 pF", "1,5 pF", "1 2 pF", "+-1 pF", "1e308 nF"})
        EXPECT_FALSE(parse_quantity(text, "pF")) << text;
}

TEST(Quantities, ShareOneUnit) {
    const auto parsed = parse_quantities("0.498 0.512 0.503 pF", "pF");
    ASSERT_TRUE(parsed);
    EXPECT_EQ(*parsed, (std::vector<double>{0.498, 0.512, 0.503}));
    EXPECT_EQ(*parse_quantities("250kHz", "kHz"), std::vector<double>{250.0});
    EXPECT_EQ(*parse_quantities("1 2 3", "1"), (std::vector<double>{1.0, 2.0, 3.0}));
}

TEST(Quantities, SayWhichWordIsWrong) {
    EXPECT_EQ(parse_quantities("0.5 half pF", "pF").error().message, "\"half\" is not a number");
    EXPECT_EQ(parse_quantities("0.5 0.6", "pF").error().message,
              "\"0.5\" has no unit; a capacitance in pF is wanted here");
    EXPECT_FALSE(parse_quantities("", "pF"));
    EXPECT_FALSE(parse_quantities("pF", "pF"));
}

TEST(Limit, HasTwoSidesOrOne) {
    EXPECT_EQ(limit_of("380 to 430 counts/pF", "counts/pF"), (Limit{380.0, 430.0}));
    EXPECT_EQ(limit_of("-2 to 2 %", "%"), (Limit{-2.0, 2.0}));
    EXPECT_EQ(limit_of("at least 250 counts", "counts"), (Limit{250.0, {}}));
    EXPECT_EQ(limit_of("at most 8 counts", "counts"), (Limit{{}, 8.0}));
    EXPECT_EQ(limit_of("at least 5", "1"), (Limit{5.0, {}}));
    EXPECT_EQ(limit_of("1 to 2", "1"), (Limit{1.0, 2.0}));
}

TEST(Limit, MayGiveEachSideItsOwnUnit) {
    EXPECT_EQ(limit_of("900 fF to 1.1 pF", "pF"), (Limit{0.9, 1.1}));
    EXPECT_EQ(limit_of("900 to 1100 fF", "pF"), (Limit{0.9, 1.1}));
}

TEST(Limit, ThatHoldsNothingIsRefused) {
    EXPECT_EQ(parse_limit("430 to 380 counts", "counts").error().message,
              "this limit is empty: nothing lies between 430 counts and 380 counts");
    EXPECT_FALSE(parse_limit("1 to 1 pF", "pF"));
}

TEST(Limit, InAnotherFormShowsTheForms) {
    for (const char* text :
         {"", "5 counts", "< 5 counts", "5 .. 6 counts", "to 5 counts", "5 to", "5 to counts",
          "at least", "at about 5 counts", "1 to 2 to 3 counts", "1 counts counts to 5 counts"}) {
        const auto parsed = parse_limit(text, "counts");
        ASSERT_FALSE(parsed) << text;
        EXPECT_FALSE(parsed.error().mend.empty()) << text;
    }
    EXPECT_EQ(parse_limit("< 5 counts", "counts").error().mend,
              "Write \"1 to 2 counts\", \"at least 1 counts\" or \"at most 2 counts\".");
}

TEST(Limit, InAnotherUnitIsRefused) {
    EXPECT_FALSE(parse_limit("1 to 2 ms", "pF"));
    EXPECT_FALSE(parse_limit("1 ms to 2 pF", "pF"));
    EXPECT_FALSE(parse_limit("1 to 2", "pF"));
}

TEST(Texts, ReadBackAsTheSameValues) {
    for (const double value : {0.0, 2.2, -1.0 / 3.0, 1e-9, 4e12, 0.1 + 0.2, 123456789.0}) {
        EXPECT_EQ(value_of(quantity_text(value, "pF"), "pF"), value);
        EXPECT_EQ(limit_of(limit_text({value, {}}, "%"), "%").low, value);
        EXPECT_EQ(limit_of(limit_text({{}, value}, "1"), "1").high, value);
        EXPECT_EQ(limit_of(limit_text({value, value + 1e9}, "mm"), "mm").low, value);
        EXPECT_EQ(*parse_quantities(quantities_text({value, 1.0}, "pF"), "pF"),
                  (std::vector<double>{value, 1.0}));
    }
}

TEST(UnitTable, KnowsEveryDimensionByItsBase) {
    for (const char* base : {"pF", "counts", "counts/pF", "mm", "mm/s", "ms", "degC", "ppm/K", "%",
                             "%RH", "kHz", "ohm"}) {
        ASSERT_NE(find_unit(base), nullptr) << base;
        EXPECT_EQ(find_unit(base)->base, base);
        EXPECT_EQ(find_unit(base)->times / find_unit(base)->over, 1.0) << base;
        EXPECT_EQ(dimension_of(base).find("a quantity"), std::string::npos) << base;
        for (const auto name : units_like(base)) EXPECT_EQ(find_unit(name)->base, base);
    }
    EXPECT_EQ(find_unit("furlong"), nullptr);
}

}  // namespace
}  // namespace padtrim::document
