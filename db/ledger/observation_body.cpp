// The body of the observation blob. Writer and reader stand side by side, field by
// field, in the order of docs/ledger.md.
#include "db/ledger/observation_blob.hpp"

namespace padtrim::ledger {

using namespace record;

namespace {

void write_bare_pose(ByteWriter& out, const FingerPose& pose) {
    out.text(pose.key);
    out.real(pose.x.value());
    out.real(pose.y.value());
    out.real(pose.z.value());
    out.flag(pose.touching);
}

FingerPose read_bare_pose(ByteReader& in) {
    FingerPose pose;
    pose.key = in.text();
    pose.x = Millimetre(in.real());
    pose.y = Millimetre(in.real());
    pose.z = Millimetre(in.real());
    pose.touching = in.flag();
    return pose;
}

void write_pose(ByteWriter& out, const std::optional<FingerPose>& pose) {
    out.flag(pose.has_value());
    if (pose) write_bare_pose(out, *pose);
}

std::optional<FingerPose> read_pose(ByteReader& in) {
    if (!in.flag()) return std::nullopt;
    return read_bare_pose(in);
}

void write_situation(ByteWriter& out, const Situation& situation) {
    out.text(situation.reference);
    out.number(situation.channels.size());
    for (const std::uint16_t channel : situation.channels) out.number(channel);
    out.flag(situation.pins_connected);
    out.flag(situation.test_mode);
    out.byte(situation.reading == Reading::raw ? 0 : 1);
    write_pose(out, situation.finger);
}

Situation read_situation(ByteReader& in) {
    Situation situation;
    situation.reference = in.text();
    situation.channels.resize(in.size());
    for (std::uint16_t& channel : situation.channels) channel = in.narrow<std::uint16_t>();
    situation.pins_connected = in.flag();
    situation.test_mode = in.flag();
    situation.reading = in.choice(1) == 0 ? Reading::raw : Reading::corrected;
    situation.finger = read_pose(in);
    return situation;
}

// Differences wrap, so that any pair of values survives.
std::int64_t difference(std::int64_t now, std::int64_t before) {
    return static_cast<std::int64_t>(static_cast<std::uint64_t>(now) -
                                     static_cast<std::uint64_t>(before));
}
std::int64_t sum(std::int64_t before, std::int64_t change) {
    return static_cast<std::int64_t>(static_cast<std::uint64_t>(before) +
                                     static_cast<std::uint64_t>(change));
}

std::int32_t before_at(const Scan& before, std::size_t i) {
    return i < before.counts.size() ? before.counts[i] : 0;
}

void write_scan(ByteWriter& out, const Scan& scan, const Scan& before) {
    out.integer(difference(scan.counter, before.counter));
    out.integer(difference(scan.at_us, before.at_us));
    out.number(scan.counts.size());
    for (std::size_t i = 0; i < scan.counts.size(); ++i)
        out.integer(difference(scan.counts[i], before_at(before, i)));
}

template <class Target>
Target fitting(ByteReader& in, std::int64_t value) {
    const auto target = static_cast<Target>(value);
    return std::int64_t{target} == value ? target : static_cast<Target>(in.fail());
}

Scan read_scan(ByteReader& in, const Scan& before) {
    Scan scan;
    scan.counter = fitting<std::uint32_t>(in, sum(before.counter, in.integer()));
    scan.at_us = sum(before.at_us, in.integer());
    scan.counts.resize(in.size());
    for (std::size_t i = 0; i < scan.counts.size(); ++i)
        scan.counts[i] = fitting<std::int32_t>(in, sum(before_at(before, i), in.integer()));
    return scan;
}

void write_readings(ByteWriter& out, const Readings& readings) {
    out.text(readings.step);
    write_situation(out, readings.situation);
    out.number(readings.scans.size());
    Scan before;
    for (const Scan& scan : readings.scans) {
        write_scan(out, scan, before);
        before = scan;
    }
}

Readings read_readings(ByteReader& in) {
    Readings readings;
    readings.step = in.text();
    readings.situation = read_situation(in);
    const std::size_t count = in.size(3);
    for (std::size_t i = 0; i < count && !in.failed(); ++i)
        readings.scans.push_back(read_scan(in, i == 0 ? Scan{} : readings.scans.back()));
    return readings;
}

void write_touch(ByteWriter& out, const TouchReport& report) {
    out.text(report.step);
    write_pose(out, report.finger);
    out.integer(report.at_us);
    out.number(report.reported.size());
    for (const bool reported : report.reported) out.flag(reported);
}

TouchReport read_touch(ByteReader& in) {
    TouchReport report;
    report.step = in.text();
    report.finger = read_pose(in);
    report.at_us = in.integer();
    const std::size_t count = in.size();
    for (std::size_t i = 0; i < count; ++i) report.reported.push_back(in.flag());
    return report;
}

void write_identity(ByteWriter& out, const std::optional<IdentityRead>& identity) {
    out.flag(identity.has_value());
    if (!identity) return;
    out.number(identity->product_code);
    out.text(identity->firmware);
    out.text(identity->serial);
    out.text(identity->label);
}

std::optional<IdentityRead> read_identity(ByteReader& in) {
    if (!in.flag()) return std::nullopt;
    IdentityRead identity;
    identity.product_code = in.narrow<std::uint32_t>();
    identity.firmware = in.text();
    identity.serial = in.text();
    identity.label = in.text();
    return identity;
}

void write_climate(ByteWriter& out, const ClimateRead& climate) {
    out.integer(climate.at_us);
    out.real(climate.temperature.value());
    out.real(climate.humidity.value());
}

ClimateRead read_climate(ByteReader& in) {
    ClimateRead climate;
    climate.at_us = in.integer();
    climate.temperature = Celsius(in.real());
    climate.humidity = RelativeHumidity(in.real());
    return climate;
}

void write_registers(ByteWriter& out, const std::vector<std::int32_t>& values) {
    out.number(values.size());
    for (const std::int32_t value : values) out.integer(value);
}

std::vector<std::int32_t> read_registers(ByteReader& in) {
    std::vector<std::int32_t> values(in.size());
    for (std::int32_t& value : values) value = fitting<std::int32_t>(in, in.integer());
    return values;
}

void write_trims(ByteWriter& out, const TrimsRead& trims) {
    out.byte(static_cast<std::uint8_t>(trims.moment));
    write_registers(out, trims.gain);
    write_registers(out, trims.offset);
}

TrimsRead read_trims(ByteReader& in) {
    TrimsRead trims;
    trims.moment = static_cast<TrimMoment>(in.choice(3));
    trims.gain = read_registers(in);
    trims.offset = read_registers(in);
    return trims;
}

void write_fault(ByteWriter& out, const FaultNote& fault) {
    out.text(fault.step);
    out.text(fault.kind);
    out.text(fault.device);
    out.text(fault.what);
    out.byte(fault.blame == Blame::unit ? 0 : 1);
}

FaultNote read_fault(ByteReader& in) {
    FaultNote fault;
    fault.step = in.text();
    fault.kind = in.text();
    fault.device = in.text();
    fault.what = in.text();
    fault.blame = in.choice(1) == 0 ? Blame::unit : Blame::fixture;
    return fault;
}

void write_answer(ByteWriter& out, const OperatorAnswer& answer) {
    out.text(answer.step);
    out.text(answer.question);
    out.integer(answer.at_us);
    out.flag(answer.yes.has_value());
    if (answer.yes) out.flag(*answer.yes);
}

OperatorAnswer read_answer(ByteReader& in) {
    OperatorAnswer answer;
    answer.step = in.text();
    answer.question = in.text();
    answer.at_us = in.integer();
    if (in.flag()) answer.yes = in.flag();
    return answer;
}

void write_link(ByteWriter& out, const LinkLook& look) {
    out.text(look.step);
    out.integer(look.at_us);
    out.number(look.requests);
    out.number(look.repeated);
    out.integer(look.slowest_us);
    out.flag(look.supply.has_value());
    if (look.supply) out.real(look.supply->value());
}

LinkLook read_link(ByteReader& in) {
    LinkLook look;
    look.step = in.text();
    look.at_us = in.integer();
    look.requests = in.narrow<std::uint32_t>();
    look.repeated = in.narrow<std::uint32_t>();
    look.slowest_us = in.integer();
    if (in.flag()) look.supply = Volt(in.real());
    return look;
}

void write_sighting(ByteWriter& out, const Sighting& sighting) {
    out.text(sighting.step);
    write_bare_pose(out, sighting.finger);
    out.integer(sighting.finger_at_us);
    out.integer(sighting.at_us);
    out.number(sighting.reported.size());
    for (const bool reported : sighting.reported) out.flag(reported);
    write_registers(out, sighting.positions);
}

Sighting read_sighting(ByteReader& in) {
    Sighting sighting;
    sighting.step = in.text();
    sighting.finger = read_bare_pose(in);
    sighting.finger_at_us = in.integer();
    sighting.at_us = in.integer();
    const std::size_t count = in.size();
    for (std::size_t i = 0; i < count; ++i) sighting.reported.push_back(in.flag());
    sighting.positions = read_registers(in);
    return sighting;
}

void write_attempt(ByteWriter& out, const AttemptNote& note) {
    out.text(note.step);
    out.number(note.attempt);
    out.integer(note.ended_us);
}

AttemptNote read_attempt(ByteReader& in) {
    AttemptNote note;
    note.step = in.text();
    note.attempt = in.narrow<std::uint32_t>();
    note.ended_us = in.integer();
    return note;
}

template <class T, class Write>
void write_list(ByteWriter& out, const std::vector<T>& list, Write write) {
    out.number(list.size());
    for (const T& element : list) write(out, element);
}

template <class T, class Read>
void read_list(ByteReader& in, std::vector<T>& list, std::size_t least, Read read) {
    const std::size_t count = in.size(least);
    for (std::size_t i = 0; i < count && !in.failed(); ++i) list.push_back(read(in));
}

}  // namespace

Bytes encode_body(const Observations& observations) {
    ByteWriter out;
    out.number(observations.nest);
    write_identity(out, observations.identity);
    write_list(out, observations.climate, write_climate);
    write_list(out, observations.readings, write_readings);
    write_list(out, observations.touch_reports, write_touch);
    write_list(out, observations.trims, write_trims);
    write_list(out, observations.faults, write_fault);
    write_list(out, observations.steps_done,
               [](ByteWriter& to, const std::string& step) { to.text(step); });
    out.flag(observations.aborted);
    write_list(out, observations.answers, write_answer);
    write_list(out, observations.link_looks, write_link);
    write_list(out, observations.sightings, write_sighting);
    write_list(out, observations.attempts, write_attempt);
    return out.bytes();
}

// The smallest sizes below are those of each element with every list and string empty.
Unpacked<Observations> decode_body(std::span<const std::uint8_t> body, std::uint64_t version) {
    ByteReader in(body);
    Observations observations;
    observations.nest = in.narrow<std::uint16_t>();
    observations.identity = read_identity(in);
    read_list(in, observations.climate, 17, read_climate);
    read_list(in, observations.readings, 8, read_readings);
    read_list(in, observations.touch_reports, 4, read_touch);
    read_list(in, observations.trims, 3, read_trims);
    read_list(in, observations.faults, 5, read_fault);
    read_list(in, observations.steps_done, 1, [](ByteReader& from) { return from.text(); });
    observations.aborted = in.flag();
    if (version >= 2) {
        read_list(in, observations.answers, 4, read_answer);
        read_list(in, observations.link_looks, 6, read_link);
        read_list(in, observations.sightings, 31, read_sighting);
    }
    if (version >= 3) read_list(in, observations.attempts, 3, read_attempt);
    if (in.failed()) return BlobFault{"the observations' body ends early or holds a wrong value"};
    if (in.left() != 0)
        return BlobFault{std::to_string(in.left()) + " bytes follow the observations' body"};
    return observations;
}

}  // namespace padtrim::ledger
