// Our motion words for an interpreter of somebody else to read.
//
//   motion_words write SEED COUNT   that many random blocks, as our codec writes them
//   motion_words read               each line of standard input as our codec reads it: a line of
//                                   words, or "refused" and why
#include <cstdio>
#include <cstdlib>
#include <iostream>
#include <random>
#include <string>

#include "fixtures/codec/motion.hpp"

namespace {

using padtrim::codec::Block;

// Lengths are lattice points of the text's four decimals.
double between(std::mt19937_64& random, int least, int most) {
    std::uniform_int_distribution<int> tenths_of_a_micrometre(least * 10000, most * 10000);
    return static_cast<double>(tenths_of_a_micrometre(random)) / 1e4;
}

Block block_of(std::mt19937_64& random) {
    const auto chance = [&](double share) { return std::bernoulli_distribution(share)(random); };
    Block block;
    if (chance(0.1)) {
        block.dwell = between(random, 0, 2);
        return block;
    }
    if (chance(0.05)) {
        block.home = true;
        return block;
    }
    using padtrim::codec::Distance;
    using padtrim::codec::LengthUnit;
    using padtrim::codec::Motion;
    if (chance(0.2)) block.unit = chance(0.5) ? LengthUnit::inch : LengthUnit::millimetre;
    if (chance(0.2)) block.distance = chance(0.5) ? Distance::incremental : Distance::absolute;
    if (chance(0.5)) block.motion = chance(0.3) ? Motion::rapid : Motion::linear;
    if (chance(0.5)) block.feed = between(random, 1, 15000);
    if (chance(0.7)) block.x = between(random, -300, 300);
    if (chance(0.7)) block.y = between(random, -150, 150);
    if (chance(0.5)) block.z = between(random, -30, 30);
    return block;
}

void say(const char* name, const std::optional<double>& value) {
    if (value) std::printf(" %s %.6f", name, *value);
}

void say(const Block& block) {
    using padtrim::codec::Distance;
    using padtrim::codec::LengthUnit;
    using padtrim::codec::Motion;
    std::printf("words");
    if (block.unit) std::printf(" unit %s", *block.unit == LengthUnit::inch ? "inch" : "mm");
    if (block.distance)
        std::printf(" distance %s", *block.distance == Distance::absolute ? "whole" : "more");
    if (block.motion) std::printf(" motion %s", *block.motion == Motion::rapid ? "rapid" : "feed");
    if (block.home) std::printf(" home yes");
    if (block.end) std::printf(" end yes");
    say("dwell", block.dwell);
    say("feed", block.feed);
    say("x", block.x);
    say("y", block.y);
    say("z", block.z);
    std::printf("\n");
}

int write(std::uint64_t seed, long count) {
    std::mt19937_64 random(seed);
    for (long i = 0; i < count; ++i)
        std::printf("%s\n", padtrim::codec::text_of(block_of(random)).c_str());
    return 0;
}

int read() {
    std::string line;
    while (std::getline(std::cin, line)) {
        const auto block = padtrim::codec::parse_block(line);
        if (block)
            say(*block);
        else
            std::printf("refused %s\n", block.error().what.c_str());
    }
    return 0;
}

}  // namespace

int main(int argc, char** argv) {
    const std::string act = argc > 1 ? argv[1] : "";
    if (act == "read") return read();
    if (act == "write" && argc == 4)
        return write(std::strtoull(argv[2], nullptr, 10), std::strtol(argv[3], nullptr, 10));
    std::fprintf(stderr, "motion_words write SEED COUNT | motion_words read\n");
    return 2;
}
