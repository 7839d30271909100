// The header compiled as C99 by gcc, and its correction beside the station's, bit for bit.
#include "station/answers/unit_header.hpp"

#include <array>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <random>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "fixtures/codec/registers.hpp"
#include "recipes/language/correction.hpp"
#include "recipes/language/register_extent.hpp"
#include "recipes/language/words.hpp"
#include "tests/fixtures/bench/bench_client.hpp"
#include "tests/station/engine/bench_rig.hpp"
#include "tests/support/temporary_folder.hpp"

namespace padtrim::answers {
namespace {

using language::Cell;
using language::Order;
using language::Register;
using language::RegisterMap;
using ::testing::HasSubstr;

struct RawReading {
    std::int64_t raw = 0, gain = 0, offset = 0;
};
// What the C program answers to one reading: the correction, the two words that hold it in the
// image of the corrected counts, and what get makes of them.
struct CAnswer {
    std::int64_t corrected = 0, first_word = 0, second_word = 0, read_back = 0;
};

constexpr const char* c_program = R"(#include "unit.h"
#include <stdio.h>
int main(void)
{
    int64_t in[3];
    while (fread(in, sizeof in[0], 3, stdin) == 3) {
        uint16_t image[64] = {0};
        int64_t out[4];
        uint16_t trims[64] = {0};
        unit_raw_put(image, 1, (RAW)in[0]);
        unit_gain_trim_put(trims, 0, (GAIN)in[1]);
        unit_offset_trim_put(trims + 32, 0, (OFFSET)in[2]);
        out[0] = (int64_t)unit_correct(unit_raw_get(image, 1), unit_gain_trim_get(trims, 0),
                                       unit_offset_trim_get(trims + 32, 0));
        image[0] = image[1] = image[2] = image[3] = 0;
        unit_corrected_put(image, 1, (CORRECTED)out[0]);
        out[1] = (int64_t)image[UNIT_CORRECTED_STRIDE];
        out[2] = (int64_t)image[UNIT_CORRECTED_STRIDE + 1];
        out[3] = (int64_t)unit_corrected_get(image, 1);
        fwrite(out, sizeof out[0], 4, stdout);
    }
    return 0;
}
)";

std::string type_of(Cell cell) {
    const bool is_signed = cell == Cell::i16 || cell == Cell::i32;
    const std::string bits = language::registers_of(cell) == 1 ? "16" : "32";
    return (is_signed ? "int" : "uint") + bits + "_t";
}

// The header of a map, compiled with a program around it. Undefined behaviour traps.
class CompiledHeader {
  public:
    explicit CompiledHeader(const RegisterMap& map) {
        std::ofstream(folder_.file("unit.h")) << header_text(map, "unit", "0");
        std::ofstream(folder_.file("unit.c")) << c_program;
        const std::string command =
            "cd '" + folder_.path().string() +
            "' && gcc -std=c99 -Wall -Wextra -Werror -pedantic -Wconversion -Wno-sign-conversion "
            "-O1 -fsanitize=undefined -fsanitize-undefined-trap-on-error -DRAW=" +
            type_of(map.raw_counts.cell) + " -DGAIN=" + type_of(map.gain_trim.where.cell) +
            " -DOFFSET=" + type_of(map.offset_trim.where.cell) +
            " -DCORRECTED=" + type_of(map.corrected_counts.cell) + " -o unit unit.c";
        compiled_ = std::system(command.c_str()) == 0;
    }
    [[nodiscard]] bool compiled() const { return compiled_; }

    std::vector<CAnswer> answers(const std::vector<RawReading>& readings) {
        std::ofstream in(folder_.file("in"), std::ios::binary);
        in.write(reinterpret_cast<const char*>(readings.data()),
                 static_cast<std::streamsize>(readings.size() * sizeof(RawReading)));
        in.close();
        const std::string command =
            "cd '" + folder_.path().string() + "' && exec ./unit < in > out";
        if (std::system(command.c_str()) != 0) return {};
        std::vector<CAnswer> answers(readings.size());
        std::ifstream out(folder_.file("out"), std::ios::binary);
        out.read(reinterpret_cast<char*>(answers.data()),
                 static_cast<std::streamsize>(answers.size() * sizeof(CAnswer)));
        if (!out) return {};
        return answers;
    }

  private:
    support::TemporaryFolder folder_;
    bool compiled_ = false;
};

// Anywhere in the cell, at its ends, and (two in three) where units live.
std::int64_t draw(std::mt19937_64& random, Cell cell, double typical) {
    const language::HeldRange range = language::range_of(cell);
    const auto choice = random() % 12;
    if (choice == 0) return static_cast<std::int64_t>(range.low);
    if (choice == 1) return static_cast<std::int64_t>(range.high);
    if (choice < 4) {
        std::uniform_int_distribution<std::int64_t> all(static_cast<std::int64_t>(range.low),
                                                        static_cast<std::int64_t>(range.high));
        return all(random);
    }
    const double near = typical * std::uniform_real_distribution<>(0.5, 1.5)(random);
    return static_cast<std::int64_t>(std::clamp(near, range.low, range.high));
}

std::vector<RawReading> drawn_readings(const RegisterMap& map, std::size_t count) {
    std::mt19937_64 random(20);
    std::vector<RawReading> readings(count);
    for (RawReading& each : readings) {
        each.raw = draw(random, map.raw_counts.cell, 9000.0);
        each.gain = draw(random, map.gain_trim.where.cell,
                         std::ldexp(1.0, static_cast<int>(map.gain_trim.fraction_bits)));
        each.offset = draw(random, map.offset_trim.where.cell,
                           std::ldexp(2000.0, static_cast<int>(map.offset_trim.fraction_bits)));
    }
    return readings;
}

void expect_agreement(const RegisterMap& map, const std::vector<RawReading>& readings) {
    CompiledHeader header(map);
    ASSERT_TRUE(header.compiled()) << header_text(map, "unit", "0");
    const auto answers = header.answers(readings);
    ASSERT_EQ(answers.size(), readings.size());
    const language::Correction correction(map);
    std::size_t wrong = 0;
    for (std::size_t i = 0; i < readings.size(); ++i) {
        const auto& [raw, gain, offset] = readings[i];
        const std::int64_t ours = correction(raw, gain, offset);
        std::array<std::uint16_t, 64> words{};
        ASSERT_TRUE(codec::put_integer(map.corrected_counts, words, 1, ours));
        const std::size_t at = map.corrected_counts.stride != 0
                                   ? map.corrected_counts.stride
                                   : language::registers_of(map.corrected_counts.cell);
        const bool same = answers[i].corrected == ours && answers[i].read_back == ours &&
                          answers[i].first_word == words[at] &&
                          answers[i].second_word == words[at + 1];
        if (!same && ++wrong < 5) {
            ADD_FAILURE() << "raw " << raw << ", gain " << gain << ", offset " << offset << ": C "
                          << answers[i].corrected << ", station " << ours;
        }
    }
    EXPECT_EQ(wrong, 0U);
}

RegisterMap small_demo_map() {
    RegisterMap map = test_support::demo_register_map();
    map.raw_counts.cells = map.corrected_counts.cells = 8;  // fits the program's image
    return map;
}

TEST(UnitHeader, AgreesWithTheStationOverAMillionReadings) {
    const RegisterMap map = small_demo_map();
    expect_agreement(map, drawn_readings(map, 1'000'000));
}

TEST(UnitHeader, AgreesForOtherCellsOrdersAndWidths) {
    for (const Cell corrected : {Cell::u16, Cell::i16, Cell::u32, Cell::i32}) {
        for (const unsigned bits : {0U, 3U, 16U, 30U}) {
            RegisterMap map = small_demo_map();
            SCOPED_TRACE(std::string(language::word_of(corrected)) + ", " + std::to_string(bits));
            map.corrected_counts.cell = corrected;
            map.corrected_counts.stride = bits == 3 ? 3 : 0;
            map.corrected_counts.word_order = bits == 16 ? Order::low_first : Order::high_first;
            map.corrected_counts.byte_order = bits == 30 ? Order::low_first : Order::high_first;
            map.raw_counts.cell = bits > 3 ? Cell::u32 : Cell::i16;
            map.gain_trim.where.cell = bits > 3 ? Cell::i32 : Cell::u16;
            map.gain_trim.where.word_order = Order::low_first;
            map.gain_trim.fraction_bits = bits;
            map.offset_trim.where.cell = bits > 16 ? Cell::i32 : Cell::i16;
            map.offset_trim.fraction_bits = bits;
            map.nominal_offset = Counts(bits == 3 ? -1234.3 : 2000.0);
            expect_agreement(map, drawn_readings(map, 20'000));
        }
    }
}

// What the product computes is what a station's trims do to its raw counts.
TEST(UnitHeader, AgreesWithBenchUnitsThatHoldTheStationsTrims) {
    engine::testing::BenchRig rig(test_support::demo_plan(), [] {
        bench::BenchOptions options;
        options.units = 2;
        options.seed = 5;
        return options;
    }());
    ASSERT_EQ(rig.run().count.pass, 2U);
    const record::TrimsRead trims = rig.last_run(1)->intent->to_write;

    bench::BenchClient client;
    const RegisterMap& map = client.map();
    client.load();
    for (const auto& write : map.unlock) client.write(write.address, write.value);
    for (std::uint16_t channel = 0; channel < map.channels; ++channel) {
        const auto at = [channel](const language::TrimFormat& format) {
            return static_cast<std::uint16_t>(format.where.address + channel);
        };
        client.write(at(map.gain_trim), static_cast<std::uint16_t>(trims.gain[channel]));
        client.write(at(map.offset_trim), static_cast<std::uint16_t>(trims.offset[channel]));
    }
    client.test_mode(true);
    ASSERT_EQ(client.values(map.gain_trim.where)->front(), trims.gain.front());
    std::vector<RawReading> readings;
    std::vector<std::int64_t> corrected;
    for (int scan = 0; scan < 250; ++scan) {
        const auto raw = client.scan();
        const auto product = client.values(map.corrected_counts).value();
        for (std::size_t i = 0; i < raw.size(); ++i) {
            const std::size_t channel = i / map.frequencies.size();
            readings.push_back({raw[i], trims.gain[channel], trims.offset[channel]});
            corrected.push_back(product[i]);
        }
    }
    CompiledHeader header(map);
    ASSERT_TRUE(header.compiled());
    const auto firmware = header.answers(readings);
    ASSERT_EQ(firmware.size(), 4000U);
    for (std::size_t i = 0; i < firmware.size(); ++i) {
        ASSERT_EQ(firmware[i].corrected, corrected[i]) << i;
    }
    // With the station's trims a unit that feels nothing but its pins is near its nominal offset.
    EXPECT_NEAR(static_cast<double>(corrected[0]), map.nominal_offset.value(), 4000.0);
}

// From memory: ties away from zero as in C's llround(); the sums are worked by hand.
TEST(UnitHeader, RoundsHalvesAwayFromZeroAndStopsAtTheRegistersEnds) {
    RegisterMap map = test_support::demo_register_map();
    map.gain_trim.fraction_bits = 1;
    map.offset_trim.fraction_bits = 0;
    map.nominal_offset = Counts(0.0);
    map.corrected_counts.cell = Cell::i16;
    const language::Correction correction(map);
    EXPECT_EQ(correction(3, 1, 0), 2);   //  1.5
    EXPECT_EQ(correction(0, 1, 3), -2);  // -1.5
    EXPECT_EQ(correction(0, 1, 1), -1);  // -0.5
    EXPECT_EQ(correction(5, 1, 0), 3);   //  2.5
    EXPECT_EQ(correction(4, 1, 0), 2);   //  2
    EXPECT_EQ(correction(65535, 2, 0), 32767);
    EXPECT_EQ(correction(0, 65535, 30000), -32768);
    EXPECT_EQ(correction(32767, 2, 0), 32767);
}

TEST(UnitHeader, NamesAddressesFormatsAndSequences) {
    const std::string text = header_text(test_support::demo_register_map(), "demo_panel_8", "abc");
    for (const char* line :
         {"#define DEMO_PANEL_8_MAP_SHA256 \"abc\"", "#define DEMO_PANEL_8_RAW_ADDRESS 35",
          "#define DEMO_PANEL_8_RAW_READ_FUNCTION 4", "#define DEMO_PANEL_8_GAIN_TRIM_ADDRESS 64",
          "#define DEMO_PANEL_8_GAIN_TRIM_MAXIMUM INT64_C(32604)",
          "#define DEMO_PANEL_8_UNLOCK_1_VALUE 0x5AA5u", "#define DEMO_PANEL_8_COMMIT_TIME_MS 15",
          "static inline int16_t demo_panel_8_correct(uint16_t raw, uint16_t gain, int16_t "
          "offset)"})
        EXPECT_THAT(text, HasSubstr(line));
}

TEST(UnitHeader, LetsNoNameOfTheMapEndAComment) {
    RegisterMap map = small_demo_map();
    map.product = "a */ #error \" \\ \n b";
    map.keys[0].name = "*/ ?\?/ \xC3\xA4";
    EXPECT_TRUE(CompiledHeader(map).compiled());
}

TEST(UnitHeader, GivesTheFormsOfLinesForAProductThatTalksInText) {
    const auto made =
        unit_header(std::string(PADTRIM_SOURCE_DIR) + "/fixtures/units/hood-panel-4.toml");
    ASSERT_TRUE(made.header);
    for (const char* line : {"#define HOOD_PANEL_4_RAW_ASK \"raw\\?\"",
                             "#define HOOD_PANEL_4_RAW_ASK_REPLY \"raw {values}\"",
                             "#define HOOD_PANEL_4_UNLOCK_0_SAY \"unlock 7315\"",
                             "#define HOOD_PANEL_4_GAIN_TRIM_SET \"gain trim {channel} = {value}\"",
                             "static inline int32_t hood_panel_4_correct("})
        EXPECT_THAT(made.header->text, HasSubstr(line));
    EXPECT_EQ(made.header->text.find("_ADDRESS"), std::string::npos) << "it has no registers";
    const support::TemporaryFolder folder;
    std::ofstream(folder.file("unit.h")) << made.header->text;
    EXPECT_EQ(
        std::system(("printf '#include \"" + folder.file("unit.h") +
                     "\"\\nint main(void) { return 0; }\\n' | gcc -std=c99 -Wall -Wextra -Werror "
                     "-pedantic -fsyntax-only -x c -")
                        .c_str()),
        0);
}

TEST(UnitHeader, MakesNamesThatCTakes) {
    EXPECT_EQ(c_name("Hob Panel 8"), "hob_panel_8");
    EXPECT_EQ(c_name("8-key / panel"), "unit_8_key_panel");
    EXPECT_EQ(c_name("***"), "unit");
}

TEST(UnitHeader, IsMadeFromAMapOrSaysWhatIsWrongWithIt) {
    const std::string root = PADTRIM_SOURCE_DIR;
    const auto good = unit_header(root + "/fixtures/units/hob-panel-8.toml");
    ASSERT_TRUE(good.header);
    EXPECT_EQ(good.header->name, "hob_panel_8");
    EXPECT_EQ(good.header->map_hash.size(), 64U);
    EXPECT_EQ(to_json(*good.header).at("name").as_string(), "hob_panel_8");
    const auto recipe = unit_header(root + "/recipes/examples/hob-panel-8.toml");
    EXPECT_FALSE(recipe.header);
    EXPECT_FALSE(recipe.diagnostics.empty());
    EXPECT_FALSE(unit_header("no/such.toml").header);
}

}  // namespace
}  // namespace padtrim::answers
