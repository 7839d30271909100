#include "station/main/station_parts.hpp"

#include "recipes/language/load.hpp"
#include "station/answers/contact_wear.hpp"
#include "station/main/patiently.hpp"

namespace padtrim {

Opened<language::PlanPtr> plan_of(const cli::StationWish& wish) {
    auto loaded = language::load_plan({wish.recipe, wish.unit, wish.fixture});
    if (loaded.plan) return std::move(loaded.plan);
    return GivesUp{cli::bad_input,
                   "the documents do not make a plan.\n\n" + document::text_of(loaded.diagnostics)};
}

Opened<language::FixtureProfile> profile_at(const std::string& path) {
    const auto text = language::read_text(path);
    if (!text.value) return GivesUp{cli::bad_input, document::text_of(text.diagnostics)};
    auto profile = language::read_fixture_profile(*text.value, path);
    if (!profile.value) return GivesUp{cli::bad_input, document::text_of(profile.diagnostics)};
    return std::move(*profile.value);
}

namespace {

Opened<std::unique_ptr<FixturePorts>> or_gives_up(
    port::Outcome<std::unique_ptr<FixturePorts>> opened) {
    if (!opened) return GivesUp{cli::station_fault, opened.error().what};
    return std::move(*opened);
}

}  // namespace

FixturePorts::FixturePorts(boost::asio::io_context& context, language::PlanPtr plan,
                           const std::string& directory, const StationLog& log)
    : plan_(std::move(plan)),
      clock_(context.get_executor()),
      ports_(context.get_executor(), clock_, directory),
      log_(log.for_engine()) {}

Opened<std::unique_ptr<FixturePorts>> FixturePorts::open(boost::asio::io_context& context,
                                                         language::PlanPtr plan,
                                                         const std::string& directory,
                                                         const StationLog& log,
                                                         const drivers::AskBeside& beside) {
    return or_gives_up(try_open(context, std::move(plan), directory, log, beside));
}

Opened<std::unique_ptr<FixturePorts>> FixturePorts::open_patiently(boost::asio::io_context& context,
                                                                   language::PlanPtr plan,
                                                                   const std::string& directory,
                                                                   const StationLog& log) {
    serial::SteadyClock clock(context.get_executor());
    return or_gives_up(
        patiently(context, clock, [&] { return try_open(context, plan, directory, log, {}); }));
}

port::Outcome<std::unique_ptr<FixturePorts>> FixturePorts::try_open(
    boost::asio::io_context& context, language::PlanPtr plan, const std::string& directory,
    const StationLog& log, const drivers::AskBeside& beside) {
    std::unique_ptr<FixturePorts> self(new FixturePorts(context, plan, directory, log));
    auto fixture = drivers::Fixture::open(
        *plan, self->clock_,
        [parts = self.get()](const language::PortName& port) { return parts->ports_.open(port); },
        log.for_drivers(), beside);
    if (!fixture) return fixture.error();
    self->fixture_ = std::move(fixture.value());
    return self;
}

engine::Parts FixturePorts::parts(journal::Journal& journal) {
    engine::Parts parts;
    parts.clock = &clock_;
    parts.wall_clock = &wall_clock_;
    parts.relays = &fixture_->relays();
    parts.interlock = fixture_->interlock();
    parts.finger = fixture_->finger();
    parts.environment = fixture_->environment();
    for (const auto& nest : plan_->fixture.nests) {
        parts.nests.push_back({nest.number, &fixture_->unit(nest.number)});
    }
    parts.journal = &journal;
    parts.log = log_;
    return parts;
}

std::map<std::string, answers::LinkTally> FixturePorts::tally() const {
    std::map<std::string, answers::LinkTally> tally;
    for (const auto& [port, count] : fixture_->counters())
        tally[port] = {count.transactions, count.retries, count.silent, count.garbled,
                       count.failed};
    return tally;
}

Opened<answers::Standing> standing_in(const std::string& records, const language::Plan& plan,
                                      const std::string& lot, bool draft, record::WallTime now) {
    const auto reader = ledger::Reader::open(records);
    if (!reader) return GivesUp{cli::station_fault, reader.error().what};
    auto standing = answers::standing_of(*reader.value(), plan, draft, now);
    if (!standing) return GivesUp{cli::station_fault, standing.error().what};
    if (!standing->granted()) return GivesUp{cli::bad_input, standing->sentence};
    const auto known = reader.value()->lot(lot);
    if (!known) return GivesUp{cli::station_fault, known.error().what};
    if (*known && answers::mixes((*known)->permission, standing->permission)) {
        return GivesUp{cli::bad_input, "Lot " + lot + " has units of " +
                                           (draft ? "production" : "a draft") +
                                           "; drafts have lots of their own. Give --lot another "
                                           "name."};
    }
    return std::move(*standing);
}

Opened<answers::ReadinessAnswer> fit_to_run(const cli::StationWish& of, const language::Plan& plan,
                                            bool draft, record::WallTime now) {
    const auto reader = ledger::Reader::open(of.records);
    if (!reader) return GivesUp{cli::station_fault, reader.error().what};
    auto readiness = answers::readiness_in(*reader.value(), plan.fixture, of.station, now);
    if (!readiness) return GivesUp{cli::station_fault, readiness.error().what};
    if (readiness->may_produce() || draft) return std::move(*readiness);
    return GivesUp{cli::station_fault,
                   "Station " + of.station + " does not produce (" +
                       std::string(record::name_of(readiness->station.state)) + "). " +
                       readiness->sentence +
                       " For engineering alone, --draft runs and marks every result."};
}

std::vector<std::string> wear_warnings(const cli::StationWish& of,
                                       const language::FixtureProfile& fixture) {
    if (!fixture.contact_lives) return {};
    const auto reader = ledger::Reader::open(of.records);
    if (!reader) return {};
    const auto wear = answers::wear_in(*reader.value(), fixture, of.station);
    return wear ? wear->warnings : std::vector<std::string>{wear.error().what};
}

void apply(const answers::Standing& standing, engine::LotOptions& options) {
    options.permission = standing.permission;
    options.permitted_units = standing.left;
    options.permitted_until = standing.until;
}

Opened<std::unique_ptr<ledger::Ledger>> open_ledger(boost::asio::io_context& context,
                                                    const std::string& records) {
    auto opened =
        ledger::Ledger::open(records, context.get_executor(), ledger::Writing::writer_thread);
    if (opened) return std::move(opened.value());
    const bool held = opened.error().kind == journal::StoreFaultKind::locked ||
                      opened.error().kind == journal::StoreFaultKind::full;
    return GivesUp{held ? cli::station_fault : cli::bad_input, opened.error().what};
}

}  // namespace padtrim
