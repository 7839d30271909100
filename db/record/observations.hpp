// What a run observed of one unit: raw counts with their context. Everything else is derived.
//
// Plain values, written once and never edited. Times are microseconds since the run began.
// Channels and frequencies count from 0; counts are ordered channel * frequencies + frequency.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "recipes/quantity/quantity.hpp"

namespace padtrim::record {

enum class Reading { raw, corrected };

struct FingerPose {
    std::string key;  // over which key
    Millimetre x, y, z;
    bool touching = false;
    friend bool operator==(const FingerPose&, const FingerPose&) = default;
};

// What the fixture held while readings were taken.
struct Situation {
    std::string reference;                // "" when all references are open
    std::vector<std::uint16_t> channels;  // where it is switched in; empty: on every channel
    bool pins_connected = true;
    bool test_mode = true;
    Reading reading = Reading::raw;
    std::optional<FingerPose> finger;  // none: at the safe height, away from the panel
    friend bool operator==(const Situation&, const Situation&) = default;
};

struct Scan {
    std::uint32_t counter = 0;  // the unit's own; no two scans of a run share one
    std::int64_t at_us = 0;
    std::vector<std::int32_t> counts;
    friend bool operator==(const Scan&, const Scan&) = default;
};

struct Readings {
    std::string step;  // of the recipe
    Situation situation;
    std::vector<Scan> scans;
    friend bool operator==(const Readings&, const Readings&) = default;
};

// The product's own report, outside test mode; one flag a key, in the register map's order.
struct TouchReport {
    std::string step;
    std::optional<FingerPose> finger;  // none: lifted away
    std::int64_t at_us = 0;
    std::vector<bool> reported;
    friend bool operator==(const TouchReport&, const TouchReport&) = default;
};

struct IdentityRead {
    std::uint32_t product_code = 0;
    std::string firmware;
    std::string serial;
    std::string label;  // as scanned; "" when none was
    friend bool operator==(const IdentityRead&, const IdentityRead&) = default;
};

struct ClimateRead {
    std::int64_t at_us = 0;
    Celsius temperature;
    RelativeHumidity humidity;
    friend bool operator==(const ClimateRead&, const ClimateRead&) = default;
};

enum class TrimMoment { as_found, written, read_back, after_power_off };

// Register values, one a channel.
struct TrimsRead {
    TrimMoment moment = TrimMoment::as_found;
    std::vector<std::int32_t> gain;
    std::vector<std::int32_t> offset;
    friend bool operator==(const TrimsRead&, const TrimsRead&) = default;
};

// A question to the person at the station; no answer when nobody could be asked or gave one.
struct OperatorAnswer {
    std::string step;
    std::string question;
    std::int64_t at_us = 0;  // of the answer
    std::optional<bool> yes;
    friend bool operator==(const OperatorAnswer&, const OperatorAnswer&) = default;
};

// Many requests to the unit in a row, and its own reading of its supply where it has one.
struct LinkLook {
    std::string step;
    std::int64_t at_us = 0;
    std::uint32_t requests = 0;
    std::uint32_t repeated = 0;   // attempts without a sound answer
    std::int64_t slowest_us = 0;  // exchange, repeats included
    std::optional<Volt> supply;
    friend bool operator==(const LinkLook&, const LinkLook&) = default;
};

// The finger as it was seen, then what the product reported: a moving finger has a time of its own.
struct Sighting {
    std::string step;
    FingerPose finger;
    std::int64_t finger_at_us = 0;  // when the finger was seen there
    std::int64_t at_us = 0;         // when the report was read
    std::vector<bool> reported;     // one a key
    std::vector<std::int32_t>
        positions;  // as the registers say, one a slider or wheel; may be empty
    friend bool operator==(const Sighting&, const Sighting&) = default;
};

enum class Blame { unit, fixture };

// A link or fixture fault that ended a step.
struct FaultNote {
    std::string step;
    std::string kind;  // port::name_of
    std::string device;
    std::string what;
    Blame blame = Blame::fixture;
    friend bool operator==(const FaultNote&, const FaultNote&) = default;
};

// An attempt at a step that did not pass and was followed by another: what was observed under this
// step until then is kept, and decides nothing.
struct AttemptNote {
    std::string step;
    std::uint32_t attempt = 1;  // from 1
    std::int64_t ended_us = 0;
    friend bool operator==(const AttemptNote&, const AttemptNote&) = default;
};

struct Observations {
    std::uint16_t nest = 1;
    std::optional<IdentityRead> identity;
    std::vector<ClimateRead> climate;
    std::vector<Readings> readings;
    std::vector<TouchReport> touch_reports;
    std::vector<TrimsRead> trims;
    std::vector<FaultNote> faults;
    std::vector<std::string> steps_done;  // steps that ran to their end, in order
    bool aborted = false;                 // by a person
    std::vector<OperatorAnswer> answers;
    std::vector<LinkLook> link_looks;
    std::vector<Sighting> sightings;
    std::vector<AttemptNote> attempts;  // that were followed by another, in order
    friend bool operator==(const Observations&, const Observations&) = default;
};

}  // namespace padtrim::record
