#include "station/engine/lot.hpp"

#include "recipes/language/load.hpp"
#include "station/engine/verdict.hpp"

namespace padtrim::engine {

namespace {

language::PlanPtr working_plan(const language::PlanPtr& whole, bool measure_only) {
    if (!measure_only) return whole;
    return std::make_shared<const language::Plan>(measuring_only(*whole));
}

Parts counted(Parts parts, ContactCounter& contacts) {
    parts.relays = &contacts;
    return parts;
}

record::LotStart start_of(const language::Plan& plan, const LotOptions& options,
                          record::WallTime at) {
    record::LotStart start;
    start.lot = options.lot;
    start.station = options.station;
    start.plan_hash = plan.hash;
    start.plan_text = language::plan_text(plan);
    start.recipe = plan.recipe.name;
    start.recipe_revision = plan.recipe.revision;
    start.product = plan.map.product;
    start.fixture = plan.fixture.fixture;
    start.at = at;
    start.operator_name = options.operator_name;
    start.measure_only = options.measure_only;
    start.permission = options.permission;
    start.readiness = options.readiness;
    return start;
}

}  // namespace

Lot::Lot(Parts own_parts, language::PlanPtr whole_plan, LotOptions how, EventSink events,
         AskForUnit person, WriteBackPoint write_back_point)
    : contacts(*own_parts.relays),
      parts(counted(std::move(own_parts), contacts)),
      plan(std::move(whole_plan)),
      working(working_plan(plan, how.measure_only)),
      options(std::move(how)),
      ask(std::move(person)),
      point(std::move(write_back_point)),
      duration(estimate(*working)),
      records(*parts.journal),
      light(plan->fixture.stack_light, *parts.relays, *parts.clock, parts.log),
      sink_(std::move(events)) {}

void Lot::tell(const Event& event) const {
    if (condition_.take(event)) light.show(condition_.now());
    if (sink_) sink_(event);
}

void Lot::log(LogLevel level, const std::string& line) const {
    if (parts.log) parts.log(level, line);
}

SecondRuns Lot::second_runs() const {
    const bool takes_any = options.measure_only || options.shift_check ||
                           options.permission.kind == record::PermissionKind::draft;
    if (takes_any) return {.after_a_pass = true};
    return {options.again, plan->recipe.runs_at_most};
}

bool Lot::claim() {
    if (options.units != 0 && claimed_ >= options.units) return false;
    if (!permitted()) return false;
    ++claimed_;
    ++claimed_here_;
    return true;
}

void Lot::give_back_claim() {
    --claimed_;
    --claimed_here_;
}

bool Lot::permitted() {
    if (options.permitted_units && claimed_here_ >= *options.permitted_units)
        return end_of_permit("the permit's quantity is used up");
    if (options.permitted_until && parts.wall_clock->now() >= *options.permitted_until)
        return end_of_permit("the permit has ended");
    return true;
}

// Each nest asks; it is told once.
bool Lot::end_of_permit(const std::string& how) {
    if (permit_ended_.empty()) {
        std::string told = how;
        told.front() = 'T';
        log(LogLevel::warning, told + ": no more units are loaded.");
    }
    permit_ended_ = how;
    return false;
}

void Lot::stop_loading() {
    loading_stopped_ = true;
    for (const auto& stop : stop_waiting) stop();
}

void Lot::end_by(const record::FaultNote& fault, std::uint16_t nest) {
    // A fault of the fixture is met by every nest; it is told once.
    if (ended_by_ && ended_by_->what == fault.what) return;
    close_nest(fault, nest);
    if (ended_by_) return;
    ended_by_ = fault;
    trouble_ = fault.what;
    stop_loading();
}

void Lot::close_nest(const record::FaultNote& fault, std::uint16_t nest) {
    log(LogLevel::error, fault.device + ": " + fault.what);
    tell(FaultSeen{nest, fault});
    if (trouble_.empty()) trouble_ = fault.what;
}

Act<void> Lot::open() {
    record::LotStart start = start_of(*plan, options, parts.wall_clock->now());
    auto opened = co_await records.keep(parts.journal->open_lot(std::move(start)));
    if (!opened) co_return opened.error();
    id = *opened;
    co_return port::Outcome<void>();
}

Act<void> Lot::take_stock() {
    auto counted = co_await recount();
    if (!counted) co_return counted.error();
    claimed_ = count.loaded;
    tell(LotOpened{options.lot, count});
    co_return port::Outcome<void>();
}

Act<void> Lot::recount() {
    auto counted = co_await records.keep(parts.journal->count(id));
    if (!counted) co_return counted.error();
    count = *counted;
    co_return port::Outcome<void>();
}

Act<void> Lot::keep_counts() {
    units_since_counts_ = 0;
    record::ContactCounts counts;
    counts.coils = contacts.take();
    if (counts.coils.empty()) co_return port::Outcome<void>();
    counts.station = options.station;
    counts.fixture = plan->fixture.fixture;
    counts.at = parts.wall_clock->now();
    auto kept = co_await records.keep(parts.journal->count_contacts(std::move(counts)));
    co_return kept;
}

// A row for each coil and unit would be most of the books. What a power cut loses is less than a
// thousandth of any contact's life.
Act<void> Lot::keep_counts_sometimes() {
    constexpr unsigned units_between = 25;
    if (++units_since_counts_ < units_between) co_return port::Outcome<void>();
    auto kept = co_await keep_counts();
    co_return kept;
}

}  // namespace padtrim::engine
