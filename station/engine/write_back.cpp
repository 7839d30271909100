#include "station/engine/write_back.hpp"

namespace padtrim::engine {

namespace {

bool same(const record::TrimsRead& held, const port::TrimRegisters& written) {
    return held.gain == written.gain && held.offset == written.offset;
}

port::Fault another_unit(const language::Nest& nest, const std::string& serial) {
    return {port::FaultKind::wrong_device, port::Blame::unit,
            "unit in nest " + std::to_string(nest.number),
            "After the power-cycle the unit answers as '" + serial +
                "', not as the one that was written. Set both aside."};
}

}  // namespace

WriteBack::WriteBack(Workstand& at, Records& records, port::WallClock& wall_clock,
                     WriteBackPoint point)
    : at_(at), records_(records), wall_clock_(wall_clock), point_(std::move(point)) {}

void WriteBack::begin(record::RunId run) {
    run_ = run;
    stage_ = record::WriteStage::untouched;
    to_write_ = {};
}

void WriteBack::pass(const char* point) const {
    if (point_) point_(point);
}

Act<void> WriteBack::read_as_found() {
    pass("before reading as found");
    auto read = co_await at_.note_trims(record::TrimMoment::as_found);
    if (read) pass("after reading as found");
    co_return read;
}

Act<void> WriteBack::intend(port::TrimRegisters trims) {
    record::WriteIntent intent;
    intent.as_found = at_.seen.trims.back();
    intent.to_write = {record::TrimMoment::written, trims.gain, trims.offset};
    intent.at = wall_clock_.now();
    const record::TrimsRead written = intent.to_write;
    pass("before the intent");
    auto durable = co_await records_.keep(records_.journal().intend(run_, std::move(intent)));
    if (!durable) co_return durable.error();
    // Nothing is awaited between the durable intent and these lines: an abort finds both or none.
    stage_ = record::WriteStage::intended;
    at_.seen.trims.push_back(written);
    to_write_ = std::move(trims);
    pass("after the intent");
    co_return durable;
}

Act<void> WriteBack::reached(record::WriteStage stage, const char* point) {
    auto stored = co_await records_.keep(records_.journal().reached(run_, stage));
    if (!stored) co_return stored.error();
    stage_ = stage;
    pass(point);
    co_return stored;
}

Act<void> WriteBack::write() {
    pass("before writing");
    auto written = co_await at_.unit().write_trims(to_write_);
    if (!written) co_return written.error();
    pass("after writing");
    auto recorded = co_await reached(record::WriteStage::written, "after recording written");
    co_return recorded;
}

Act<bool> WriteBack::read_back() {
    auto read = co_await at_.note_trims(record::TrimMoment::read_back);
    if (!read) co_return read.error();
    pass("after reading back");
    if (!same(at_.seen.trims.back(), to_write_)) co_return false;
    auto recorded = co_await reached(record::WriteStage::read_back, "after recording read back");
    if (!recorded) co_return recorded.error();
    co_return true;
}

Act<void> WriteBack::commit() {
    pass("before committing");
    auto committed = co_await at_.unit().commit();
    if (!committed) {  // it may be at it all the same: do not take its power meanwhile
        co_await at_.clock().sleep_for(at_.plan().map.commit_time);
        co_return committed.error();
    }
    pass("after committing");
    auto recorded = co_await reached(record::WriteStage::committed, "after recording committed");
    co_return recorded;
}

Act<void> WriteBack::power_cycle(std::chrono::milliseconds off_time) {
    pass("before power off");
    auto off = co_await at_.power_off();
    if (!off) co_return off.error();
    pass("after power off");
    co_await at_.clock().sleep_for(off_time);
    auto on = co_await at_.power_on();
    if (!on) co_return on.error();
    pass("after power on");
    auto who = co_await at_.unit().identify();
    if (!who) co_return who.error();
    if (at_.seen.identity && who->serial != at_.seen.identity->serial)
        co_return another_unit(at_.nest(), who->serial);
    auto read = co_await at_.note_trims(record::TrimMoment::after_power_off);
    if (!read) co_return read.error();
    pass("after reading after power-off");
    // A power-cycle step of a recipe that wrote nothing proves nothing.
    if (stage_ == record::WriteStage::untouched) co_return read;
    auto recorded =
        co_await reached(record::WriteStage::power_cycled, "after recording power-cycled");
    co_return recorded;
}

Act<void> WriteBack::proven() {
    auto recorded = co_await reached(record::WriteStage::verified, "after recording verified");
    co_return recorded;
}

}  // namespace padtrim::engine
