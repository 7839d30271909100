#include "db/ledger/observation_blob.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/support/lot_samples.hpp"
#include "tests/support/random_observations.hpp"

namespace padtrim::ledger {
namespace {

using record::Observations;
using support::RandomObservations;
using support::sample_observations;
using testing::HasSubstr;

std::string refusal(const Bytes& blob) {
    const auto unpacked = unpack(blob);
    return unpacked ? "taken" : unpacked.error().what;
}

TEST(ObservationBlob, GivesBackWhatWasPacked) {
    for (const std::string& serial : support::odd_serials()) {
        const Observations seen = sample_observations(serial);
        EXPECT_EQ(unpack(pack(seen).value()).value(), seen);
    }
    EXPECT_EQ(unpack(pack(Observations{}).value()).value(), Observations{});
}

TEST(ObservationBlob, GivesBackAnyObservations) {
    for (std::uint64_t seed = 1; seed <= 2000; ++seed) {
        const Observations seen = RandomObservations(seed).draw();
        ASSERT_EQ(unpack(pack(seen).value()).value(), seen) << "seed " << seed;
    }
}

TEST(ObservationBlob, KeepsEveryBitOfAReal) {
    Observations seen;
    const double odd = std::bit_cast<double>(0x7FF8000000000123ULL);  // not a number, marked
    seen.climate.push_back({0, Celsius(odd), RelativeHumidity(-0.0)});
    const Observations back = unpack(pack(seen).value()).value();
    const auto bits = [](double value) { return std::bit_cast<std::uint64_t>(value); };
    EXPECT_EQ(bits(back.climate[0].temperature.value()), bits(odd));
    EXPECT_EQ(bits(back.climate[0].humidity.value()), bits(-0.0));
}

// Written by hand from docs/ledger.md: what other programs will meet.
TEST(ObservationBlob, HasTheDocumentedBytes) {
    Observations seen;
    seen.nest = 300;
    seen.identity = record::IdentityRead{1, "v", "S", ""};
    record::Readings readings;
    readings.step = "n";
    readings.scans = {{5, 10, {100, -1}}, {6, 30, {99, 1}}};
    seen.readings = {readings};
    seen.trims = {{record::TrimMoment::read_back, {256}, {-1}}};
    seen.aborted = true;
    const Bytes expected = {
        0xAC, 0x02,                   // nest 300
        1, 1, 1, 'v', 1, 'S', 0,      // identity: code 1, "v", "S", ""
        0,                            // no climate
        1, 1, 'n', 0, 0, 1, 1, 0, 0,  // readings "n", no reference, no channels,
                                      // connected, test mode, raw, no finger
        2,                            // two scans
        10, 20, 2, 0xC8, 0x01, 1,     // +5, +10, two counts: +100, -1
        2, 40, 2, 1, 4,               // +1, +20, two counts: -1, +2
        0,                            // no touch report
        1, 2, 1, 0x80, 0x04, 1, 1,    // trims read back: gain 256, offset -1
        0, 0, 1,                      // no fault, no step done, aborted
        0, 0, 0,                      // no answer, no link look, no sighting
        0,                            // no attempt that another followed
    };
    EXPECT_EQ(encode_body(seen), expected);
    const Bytes blob = pack(seen).value();
    const Bytes header(blob.begin(), blob.begin() + 14);
    EXPECT_EQ(header, (Bytes{'P', 'T', 'O', 'B', 3, 0, 46, 0, 0, 0, 0, 0, 0, 0}));
    // RFC 8878, 3.1.1: the magic number of a zstd frame, little-endian.
    EXPECT_EQ((Bytes(blob.begin() + 14, blob.begin() + 18)), (Bytes{0x28, 0xB5, 0x2F, 0xFD}));
}

TEST(ObservationBlob, RefusesEveryShorterBlob) {
    const Bytes blob = pack(sample_observations("A1")).value();
    for (std::size_t size = 0; size < blob.size(); ++size)
        ASSERT_NE(refusal(Bytes(blob.begin(), blob.begin() + static_cast<long>(size))), "taken")
            << size;
}

TEST(ObservationBlob, RefusesEverySingleWrongByte) {
    const Bytes blob = pack(sample_observations("A1")).value();
    for (std::size_t at = 0; at < blob.size(); ++at) {
        for (const unsigned flip : {0x01U, 0x80U, 0xFFU}) {
            Bytes wrong = blob;
            wrong[at] = static_cast<std::uint8_t>(wrong[at] ^ flip);
            const auto unpacked = unpack(wrong);
            // The frame descriptor's one unused bit may be any value (RFC 8878, 3.1.1.1.1.3).
            if (unpacked) {
                EXPECT_EQ(*unpacked, sample_observations("A1")) << at;
            }
        }
    }
}

TEST(ObservationBlob, SurvivesAnyBody) {
    std::mt19937_64 random(20310304);
    std::size_t taken = 0;
    for (int round = 0; round < 5'000; ++round) {
        Bytes body = encode_body(RandomObservations(static_cast<std::uint64_t>(round)).draw());
        const std::size_t changes = 1 + random() % 4;
        for (std::size_t i = 0; i < changes; ++i)
            body[random() % body.size()] = static_cast<std::uint8_t>(random());
        const auto decoded = decode_body(body);
        if (!decoded) continue;
        ++taken;
        // What is taken is well formed: it can be stored again and is the same.
        ASSERT_EQ(encode_body(decode_body(encode_body(*decoded)).value()), encode_body(*decoded))
            << round;
    }
    EXPECT_GT(taken, 100U);
    EXPECT_LT(taken, 4'900U);
}

TEST(ObservationBlob, RefusesANewerFormatByName) {
    Bytes blob = pack(Observations{}).value();
    blob[4] = 4;
    EXPECT_THAT(refusal(blob), HasSubstr("format 4"));
}

// What version 1 wrote ends after the flag `aborted`.
TEST(ObservationBlob, ReadsTheFormatBefore) {
    Observations seen = sample_observations("A1");
    seen.answers.clear();
    seen.link_looks.clear();
    seen.sightings.clear();
    seen.attempts.clear();
    Bytes body = encode_body(seen);
    body.resize(body.size() - 1);
    EXPECT_EQ(decode_body(body, 2).value(), seen);
    EXPECT_FALSE(decode_body(body, 3));
    body.resize(body.size() - 3);
    EXPECT_EQ(decode_body(body, 1).value(), seen);
    EXPECT_FALSE(decode_body(body, 2));
}

TEST(ObservationBlob, RefusesASizeThatNoUnitHasBeforeMakingRoom) {
    Bytes blob = pack(Observations{}).value();
    blob[13] = 0x7F;
    EXPECT_THAT(refusal(blob), HasSubstr("larger than a ledger takes"));
}

TEST(ObservationBlob, RefusesASizeThatTheFrameDoesNotHave) {
    Bytes blob = pack(Observations{}).value();
    blob[6] ^= 1;
    EXPECT_THAT(refusal(blob), HasSubstr("the size that their header says"));
}

TEST(ObservationBlob, RefusesBytesBehindTheBody) {
    Bytes body = encode_body(sample_observations("A1"));
    body.push_back(0);
    EXPECT_THAT(decode_body(body).error().what, HasSubstr("1 bytes follow"));
}

TEST(ObservationBlob, RefusesAListLongerThanItsBytes) {
    const Bytes body = {1, 0, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0x01};
    EXPECT_FALSE(decode_body(body));
}

TEST(ByteReader, TakesNumbersOfUpTo64BitsAndNoMore) {
    ByteWriter out;
    out.number(~std::uint64_t{0});
    ByteReader largest(out.bytes());
    EXPECT_EQ(largest.number(), ~std::uint64_t{0});
    EXPECT_FALSE(largest.failed());
    const Bytes too_long = {0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0x02};
    ByteReader over(too_long);
    EXPECT_EQ(over.number(), 0U);
    EXPECT_TRUE(over.failed());
}

TEST(ByteReader, ZigzagsEverySign) {
    using Limits = std::numeric_limits<std::int64_t>;
    for (const std::int64_t value :
         {std::int64_t{0}, std::int64_t{-1}, std::int64_t{1}, Limits::min(), Limits::max()})
        EXPECT_EQ(unzigzag(zigzag(value)), value);
    EXPECT_EQ(zigzag(-1), 1U);
    EXPECT_EQ(zigzag(1), 2U);
}

}  // namespace
}  // namespace padtrim::ledger
