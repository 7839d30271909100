// Reading files and single documents; what a document's shorthands stand for.
#include "recipes/language/load.hpp"

#include <algorithm>
#include <chrono>
#include <filesystem>
#include <fstream>
#include <iterator>

#include <gtest/gtest.h>
#include <sys/stat.h>

#include "recipes/language/register_extent.hpp"

namespace padtrim::language {
namespace {

const std::string folder = PADTRIM_SOURCE_DIR "/tests/recipes/broken/";

std::string content(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

FixtureProfile fixture_with(const std::string& from, const std::string& to) {
    std::string text = content(folder + "good-fixture.toml");
    const auto at = text.find(from);
    EXPECT_NE(at, std::string::npos) << from;
    text.replace(at, from.size(), to);
    const auto read = read_fixture_profile(text, "fixture.toml");
    EXPECT_TRUE(read.value.has_value()) << document::text_of(read.diagnostics);
    return read.value.value_or(FixtureProfile{});
}

TEST(LoadPlan, SaysWhichFilesItCannotRead) {
    const auto loaded = load_plan({folder + "nowhere.toml", folder, folder + "good-fixture.toml"});
    EXPECT_EQ(loaded.plan, nullptr);
    ASSERT_EQ(loaded.diagnostics.size(), 2U);
    EXPECT_EQ(loaded.diagnostics[0].file, folder + "nowhere.toml");
    EXPECT_TRUE(loaded.diagnostics[0].message.starts_with("this file cannot be read"));
    EXPECT_EQ(loaded.diagnostics[1].file, folder);
}

TEST(LoadPlan, DoesNotWaitForPipesAndDevices) {
    const auto pipe = (std::filesystem::path(testing::TempDir()) / "padtrim-pipe").string();
    std::filesystem::remove(pipe);
    ASSERT_EQ(mkfifo(pipe.c_str(), 0600), 0);
    for (const auto& path : {pipe, std::string("/dev/zero")}) {
        const auto text = read_text(path);
        EXPECT_FALSE(text.value.has_value());
        ASSERT_EQ(text.diagnostics.size(), 1U);
        EXPECT_EQ(text.diagnostics[0].message, "this file cannot be read: it is no regular file");
    }
    std::filesystem::remove(pipe);
}

TEST(LoadPlan, RefusesAFileThatIsFarTooLarge) {
    const auto path = std::filesystem::path(testing::TempDir()) / "padtrim-large.toml";
    std::ofstream(path) << std::string(5U << 20U, '#');
    const auto loaded = load_plan({path, folder + "good-map.toml", folder + "good-fixture.toml"});
    std::filesystem::remove(path);
    ASSERT_EQ(loaded.diagnostics.size(), 1U);
    EXPECT_EQ(loaded.diagnostics[0].message, "this file is larger than 4 MiB");
}

TEST(LoadPlan, CollectsProblemsOfAllThreeDocuments) {
    const auto loaded = load_plan({folder + "recipe-scans-zero.toml", folder + "map-no-commit.toml",
                                   folder + "fixture-coil-twice.toml"});
    ASSERT_EQ(loaded.diagnostics.size(), 3U) << document::text_of(loaded.diagnostics);
    EXPECT_NE(loaded.diagnostics[0].file, loaded.diagnostics[1].file);
    EXPECT_NE(loaded.diagnostics[1].file, loaded.diagnostics[2].file);
}

TEST(ReadRecipe, GivesDefaultsForWhatIsLeftOut) {
    const auto read = read_recipe(content(folder + "good-recipe.toml"), "recipe.toml");
    ASSERT_TRUE(read.value.has_value());
    const auto& steps = read.value->steps;
    ASSERT_EQ(steps.size(), 8U);
    EXPECT_EQ(steps[1].name, "contact check");
    EXPECT_EQ(steps[1].on_failure, OnFailure::stop);
    EXPECT_EQ(std::get<ContactStep>(steps[1].body).scans, ContactStep{}.scans);
    EXPECT_EQ(std::get<NoiseStep>(steps[3].body).scans, NoiseStep{}.scans);
    EXPECT_TRUE(std::get<VerifyStep>(steps[7].body).finger);
    EXPECT_FALSE(std::get<TouchStep>(steps[4].body).signal_to_noise.limited());
    EXPECT_EQ(std::get<GainOffsetStep>(steps[2].body).gain,
              (Interval<CountsPerPicofarad>{CountsPerPicofarad(330.0), CountsPerPicofarad(470.0)}));
}

TEST(ReadRegisterMap, DerivesTheCellsOfReadingsTrimsAndReport) {
    const auto read = read_register_map(content(folder + "good-map.toml"), "map.toml");
    ASSERT_TRUE(read.value.has_value());
    EXPECT_EQ(read.value->raw_counts.cells, 2);
    EXPECT_EQ(read.value->gain_trim.where.cells, 2);
    EXPECT_EQ(read.value->touch_report.cells, 2);
    EXPECT_EQ(read.value->touch_report.cell, Cell::bits);
    EXPECT_EQ(read.value->commit[0].table, RegisterTable::coil);
    EXPECT_FALSE(read.value->commit_done.has_value());
}

TEST(ReadRegisterMap, HandsTheDocumentsOrderToItsRegisters) {
    std::string text = content(folder + "good-map.toml");
    text.insert(text.find("[panel]"), "word_order = \"low first\"\n\n");
    text += "commit_done = { input = 60 }\n";
    text.replace(text.find("cell = \"u32\""), 12, "cell = \"u32\", word_order = \"high first\"");
    const auto read = read_register_map(text, "map.toml");
    ASSERT_TRUE(read.value.has_value()) << document::text_of(read.diagnostics);
    EXPECT_EQ(read.value->corrected_counts.word_order, Order::low_first);
    EXPECT_EQ(read.value->commit_done->word_order, Order::low_first);
    EXPECT_EQ(read.value->scan_counter.word_order, Order::high_first);
    EXPECT_EQ(read.value->corrected_counts.byte_order, Order::high_first);
}

TEST(ReadRegisterMap, CountsNodesAsChannels) {
    const std::string path = PADTRIM_SOURCE_DIR "/fixtures/units/entry-keypad-mutual.toml";
    const auto read = read_register_map(content(path), "map.toml");
    ASSERT_TRUE(read.value.has_value()) << document::text_of(read.diagnostics);
    EXPECT_EQ(read.value->sensing, Sensing::mutual);
    EXPECT_EQ(read.value->channels, 12);
    const auto& keys = read.value->keys;
    const auto eight =
        std::find_if(keys.begin(), keys.end(), [](const Key& key) { return key.name == "8"; });
    ASSERT_NE(eight, keys.end());
    EXPECT_EQ(eight->channels, (std::vector<std::uint16_t>{2 * 3 + 1}));  // T2 R1 of four by three
}

TEST(ReadRegisterMap, GivesEachSliderAndWheelAPosition) {
    std::string text = content(folder + "good-map.toml");
    text.replace(text.find("channels = 2"), 12, "channels = 3");
    text.replace(text.find("channels = [1]"), 14, "kind = \"slider\"\nchannels = [1, 2]");
    text += "\n[position]\nregister = { input = 200 }\nfull = 255\n";
    const auto read = read_register_map(text, "map.toml");
    ASSERT_TRUE(read.value.has_value()) << document::text_of(read.diagnostics);
    EXPECT_EQ(read.value->position->where.cells, 1);
    EXPECT_EQ(read.value->position->full, 255);
    EXPECT_EQ(read.value->position->none, 65535);
}

TEST(ReadFixtureProfile, TakesTargetsForTheFinger) {
    const auto fixture =
        fixture_with("[equipment]",
                     "[[target]]\nname = \"palm\"\ndiameter = \"40 mm\"\ncoil = 30\n\n[equipment]");
    ASSERT_NE(fixture.target("palm"), nullptr);
    EXPECT_EQ(fixture.target("palm")->kind, TargetKind::conductive);
    EXPECT_EQ(fixture.target("palm")->coil, 30);
    EXPECT_EQ(fixture.target("fist"), nullptr);
}

TEST(ReadFixtureProfile, ExpandsWiringByRule) {
    const auto fixture = fixture_with("first_coil = 4\n", "first_coil = 10\nchannel_stride = 3\n");
    const auto* step = fixture.equipment.step(1, 1, "R3");
    ASSERT_NE(step, nullptr);
    EXPECT_EQ(step->coil, 13);
    EXPECT_EQ(step->value, Picofarad(1.989));
    EXPECT_EQ(step->expanded_uncertainty, Picofarad(0.007));
    EXPECT_EQ(step->common_relative, 0.0006);
    EXPECT_EQ(fixture.equipment.fixture_part(1, 1)->value, Picofarad(0.402));
    EXPECT_EQ(fixture.equipment.steps.size(), 10U);
}

TEST(ReadFixtureProfile, LetsAnExplicitStepWinOverTheRule) {
    const auto fixture =
        fixture_with("[equipment.fixture_part]",
                     "[[equipment.step]]\nnest = 1\nchannel = 1\nreference = \"R5\"\ncoil = 20\n"
                     "value = \"1.6 pF\"\nexpanded_uncertainty = \"0.02 pF\"\n\n"
                     "[[equipment.part]]\nnest = 1\nchannel = 0\nvalue = \"0.5 pF\"\n"
                     "expanded_uncertainty = \"0.02 pF\"\n\n[equipment.fixture_part]");
    EXPECT_EQ(fixture.equipment.steps.size(), 10U);
    EXPECT_EQ(fixture.equipment.step(1, 1, "R5")->coil, 20);
    EXPECT_EQ(fixture.equipment.step(1, 1, "R5")->value, Picofarad(1.6));
    EXPECT_EQ(fixture.equipment.step(1, 0, "R5")->value, Picofarad(1.507));
    EXPECT_EQ(fixture.equipment.fixture_part(1, 0)->value, Picofarad(0.5));
}

TEST(ReadFixtureProfile, HandsTheDocumentsLineToItsPorts) {
    const auto fixture = fixture_with("[relays]\nport = \"relays\"",
                                      "[line]\nbaud = 19200\nretries = 1\n\n[relays]\n"
                                      "port = { path = \"relays\", line = { baud = 9600 } }");
    EXPECT_EQ(fixture.nests[0].port.line.baud, 19200U);
    EXPECT_EQ(fixture.finger->port.line.retries, 1U);
    EXPECT_EQ(fixture.relays.port.path, "relays");
    EXPECT_EQ(fixture.relays.port.line.baud, 9600U);
    EXPECT_EQ(fixture.relays.port.line.retries, 1U);
}

TEST(ReadFixtureProfile, LetsRelaysAndClimateShareABusAtTwoAddresses) {
    const auto fixture = fixture_with("port = \"climate\"", "port = \"relays\"\naddress = 9");
    EXPECT_EQ(fixture.climate->port, fixture.relays.port);
}

TEST(ReadFixtureProfile, TakesARelayBoardThatTalksScpi) {
    const auto fixture = fixture_with("inputs = 4\n",
                                      "inputs = 4\n[relays.scpi]\nidentity = \"Works,RB-64\"\n"
                                      "first_channel = 101\n"
                                      "input_request = \"DIG:INP? {channels}\"\n");
    ASSERT_TRUE(fixture.relays.scpi.has_value());
    EXPECT_EQ(*fixture.relays.scpi, (ScpiBoard{"Works,RB-64", 101, "DIG:INP? {channels}", 1}));
    EXPECT_FALSE(fixture_with("inputs = 4", "inputs = 4").relays.scpi.has_value());
}

TEST(ReadFixtureProfile, TakesAPortOverTheNetwork) {
    const auto fixture = fixture_with(
        "port = \"relays\"",
        "port = { tcp = \"relays.line4:5025\", line = { response_timeout = \"1 s\" } }");
    EXPECT_TRUE(fixture.relays.port.tcp);
    EXPECT_EQ(fixture.relays.port.path, "relays.line4:5025");
    EXPECT_EQ(fixture.relays.port.line.response_timeout, std::chrono::seconds(1));
    EXPECT_FALSE(fixture.finger->port.tcp);
}

TEST(TcpName, IsAHostAndAPort) {
    EXPECT_EQ(tcp_name("relays:5025"), (TcpName{"relays", 5025}));
    EXPECT_EQ(tcp_name("[::1]:65535"), (TcpName{"::1", 65535}));
    for (const char* text : {"", "relays", "relays:", ":5025", "relays:0", "relays:65536",
                             "relays:50 ", "::1:5025", "[]:1", "a b:1", "relays:-1"})
        EXPECT_FALSE(tcp_name(text)) << text;
}

TEST(FixtureProfile, FindsNestsStepsAndPartsOrSaysThereAreNone) {
    const auto fixture = fixture_with("number = 1", "number = 7");
    EXPECT_EQ(fixture.nest(7), &fixture.nests[0]);
    EXPECT_EQ(fixture.nest(1), nullptr);
    EXPECT_EQ(fixture.equipment.step(7, 0, "R9"), nullptr);
    EXPECT_EQ(fixture.equipment.step(7, 2, "R1"), nullptr);
    EXPECT_EQ(fixture.equipment.fixture_part(1, 0), nullptr);
}

TEST(AddressesOf, FollowCellsAndStride) {
    const Register packed{RegisterTable::input, 10, Cell::i32, 2, 0};
    EXPECT_EQ(addresses_of(packed), (std::vector<std::uint32_t>{10, 11, 12, 13}));
    const Register strided{RegisterTable::input, 10, Cell::u16, 3, 4};
    EXPECT_EQ(addresses_of(strided), (std::vector<std::uint32_t>{10, 14, 18}));
    const Register text{RegisterTable::input, 10, Cell::ascii, 5, 0};
    EXPECT_EQ(last_address(text), 12U);
    const Register bits{RegisterTable::holding, 10, Cell::bits, 17, 0};
    EXPECT_EQ(last_address(bits), 11U);
    const Register coils{RegisterTable::coil, 10, Cell::bits, 17, 0};
    EXPECT_EQ(last_address(coils), 26U);
}

TEST(RangeOf, IsThatOfTheCellsIntegers) {
    // Two's complement, 16 and 32 bits.
    EXPECT_EQ(range_of(Cell::u16).high, 65535.0);
    EXPECT_EQ(range_of(Cell::i16).low, -32768.0);
    EXPECT_EQ(range_of(Cell::u32).high, 4294967295.0);
    EXPECT_EQ(range_of(Cell::i32).low, -2147483648.0);
    EXPECT_EQ(range_of(Cell::ascii).high, 0.0);
}

}  // namespace
}  // namespace padtrim::language
