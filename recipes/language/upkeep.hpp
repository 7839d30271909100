// What keeps a fixture and its people in step: when it calls for help, its stack light, how long
// its contacts last, and how it says which fixture it is. Part of the fixture profile; plain
// values.
#pragma once

#include <chrono>
#include <cstdint>
#include <optional>
#include <vector>

namespace padtrim::language {

// So many units in a row that failed the same check in one nest are hardly the units' fault: the
// nest calls for help and loads no more until a person has looked. Three: common practice, no
// source.
inline constexpr unsigned usual_same_failures = 3;
struct StopRule {
    unsigned same_failures = usual_same_failures;
    friend bool operator==(const StopRule&, const StopRule&) = default;
};

// Coils of a stack light and its buzzer. Colours as IEC 60204-1:2016 table 4 and IEC 60073 give
// them for the condition of a machine (from memory): green normal, yellow abnormal (look at it),
// red emergency or fault (act at once). Driven by software: never the warning that a person relies
// on.
struct StackLight {
    std::optional<std::uint16_t> running_coil;    // green
    std::optional<std::uint16_t> attention_coil;  // yellow ("amber")
    std::optional<std::uint16_t> fault_coil;      // red
    std::optional<std::uint16_t> buzzer_coil;     // sounds when yellow or red comes on
    std::chrono::milliseconds buzzer_time{3000};
    friend bool operator==(const StackLight&, const StackLight&) = default;
};

// Rated lives: operations of one relay, touches of one nest's pins.
struct ContactLives {
    std::optional<std::uint64_t> relay_life, pin_life;
    friend bool operator==(const ContactLives&, const ContactLives&) = default;
};

// Coded inputs of the relay board that say, as a binary number, which fixture is plugged in.
struct CodedIdentity {
    std::vector<std::uint16_t> inputs;  // the first is the lowest bit; closed is 1
    std::uint32_t number = 0;           // of this fixture
    friend bool operator==(const CodedIdentity&, const CodedIdentity&) = default;
};

}  // namespace padtrim::language
