#include "station/engine/shift_run.hpp"

#include <algorithm>

namespace padtrim::engine {

ShiftRun::ShiftRun(Parts parts, language::PlanPtr plan, LotOptions options, EventSink sink,
                   AskForUnit ask)
    : parts_(std::move(parts)),
      plan_(std::move(plan)),
      options_(std::move(options)),
      sink_(std::move(sink)),
      ask_(std::move(ask)) {}

ShiftRun::~ShiftRun() = default;

boost::asio::awaitable<ShiftOutcome> ShiftRun::run() {
    if (parts_.interlock != nullptr) parts_.interlock->reset();
    for (const NestParts& nest : parts_.nests) {
        co_await run_nest(nest);
        if (outcome_.station_fault || stopped_) break;
        note_missing(nest.number);
        if (!outcome_.reason.empty()) break;
    }
    if (stopped_ && outcome_.reason.empty()) outcome_.reason = "It was stopped by the operator.";
    co_return outcome_;
}

boost::asio::awaitable<void> ShiftRun::run_nest(const NestParts& nest) {
    Parts parts = parts_;
    parts.nests = {nest};
    LotOptions options = options_;
    options.lot += ", nest " + std::to_string(nest.number);
    options.measure_only = options.shift_check = true;
    options.goes_on = !outcome_.lots.empty();
    options.units = static_cast<std::uint32_t>(plan_->fixture.shift_check->serials().size());
    outcome_.lots.push_back(options.lot);
    const EventSink sink = [this](const Event& event) { take(event); };
    lot_ = std::make_unique<LotRun>(std::move(parts), plan_, std::move(options), sink, ask_);
    const LotOutcome ended = co_await lot_->run();
    if (!ended.station_fault) co_return;
    outcome_.station_fault = true;
    outcome_.reason = ended.reason;
}

void ShiftRun::take(const Event& event) {
    if (const auto* unit = std::get_if<UnitFinished>(&event))
        outcome_.measured.push_back({unit->nest, unit->serial, unit->result});
    if (sink_) sink_(event);
}

void ShiftRun::note_missing(std::uint16_t nest) {
    std::string missing;
    for (const std::string& serial : plan_->fixture.shift_check->serials()) {
        const bool came = std::any_of(
            outcome_.measured.begin(), outcome_.measured.end(),
            [&](const auto& unit) { return unit.nest == nest && unit.serial == serial; });
        if (!came) missing += (missing.empty() ? "" : ", ") + serial;
    }
    if (!missing.empty())
        outcome_.reason = "Not measured in nest " + std::to_string(nest) + ": " + missing +
                          ". Lay them in, and repeat the shift check.";
}

void ShiftRun::abort() {
    stop_loading();
    for (const NestParts& nest : parts_.nests)
        if (lot_) lot_->abort_unit(nest.number);
}

void ShiftRun::stop_loading() {
    stopped_ = true;
    if (lot_) lot_->stop_loading();
}

}  // namespace padtrim::engine
