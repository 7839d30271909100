// The real parts of a station, opened in the order that leaves nothing half done: the ports first
// (exclusively, nothing is said on them yet), then the file of records.
//
// Threading: one io_context, which outlives the parts.
#pragma once

#include <memory>

#include <boost/asio/io_context.hpp>

#include "db/ledger/ledger.hpp"
#include "fixtures/drivers/fixture.hpp"
#include "fixtures/serial/clocks.hpp"
#include "fixtures/serial/serial_ports.hpp"
#include "station/answers/readiness.hpp"
#include "station/answers/releases.hpp"
#include "station/answers/station_tally.hpp"
#include "station/engine/lot_run.hpp"
#include "station/main/output.hpp"
#include "station/main/station_log.hpp"

namespace padtrim {

template <class T>
using Opened = std::variant<T, GivesUp>;

// Bad documents, all problems at once: exit code 2.
[[nodiscard]] Opened<language::PlanPtr> plan_of(const cli::StationWish& wish);

// One fixture profile by itself; the same exit code.
[[nodiscard]] Opened<language::FixtureProfile> profile_at(const std::string& path);

// Drivers on the fixture's ports.
class FixturePorts {
  public:
    static Opened<std::unique_ptr<FixturePorts>> open(boost::asio::io_context& context,
                                                      language::PlanPtr plan,
                                                      const std::string& directory,
                                                      const StationLog& log,
                                                      const drivers::AskBeside& beside = {});
    // For a program that begins beside a daemon: while nothing runs there, that one has the relay
    // board's port for some milliseconds each second (engine/rest_watch.hpp). Whoever meets it
    // tries again for a moment. Runs the context, on which nothing else is under way yet.
    static Opened<std::unique_ptr<FixturePorts>> open_patiently(boost::asio::io_context& context,
                                                                language::PlanPtr plan,
                                                                const std::string& directory,
                                                                const StationLog& log);
    // What the engine gets; valid while this lives.
    [[nodiscard]] engine::Parts parts(journal::Journal& journal);
    // By port.
    [[nodiscard]] std::map<std::string, answers::LinkTally> tally() const;

  private:
    FixturePorts(boost::asio::io_context& context, language::PlanPtr plan,
                 const std::string& directory, const StationLog& log);
    static port::Outcome<std::unique_ptr<FixturePorts>> try_open(boost::asio::io_context& context,
                                                                 language::PlanPtr plan,
                                                                 const std::string& directory,
                                                                 const StationLog& log,
                                                                 const drivers::AskBeside& beside);
    language::PlanPtr plan_;
    serial::SteadyClock clock_;
    serial::SystemWallClock wall_clock_;
    serial::SerialPorts ports_;
    engine::Log log_;
    std::unique_ptr<drivers::Fixture> fixture_;
};

// By what right the plan runs; a plan that may not run gives up with what to do: exit code 2. The
// ledger is open already, so that the records are there and up to date.
// A draft has lots of its own.
[[nodiscard]] Opened<answers::Standing> standing_in(const std::string& records,
                                                    const language::Plan& plan,
                                                    const std::string& lot, bool draft,
                                                    record::WallTime now);
// Whether the station may produce (answers::readiness_of). One that may not gives up, with the way
// out: exit code 3; a draft goes on, and is marked.
[[nodiscard]] Opened<answers::ReadinessAnswer> fit_to_run(const cli::StationWish& of,
                                                          const language::Plan& plan, bool draft,
                                                          record::WallTime now);
// Contacts near the end of their rated lives, a sentence each.
[[nodiscard]] std::vector<std::string> wear_warnings(const cli::StationWish& of,
                                                     const language::FixtureProfile& fixture);
// The options of a lot that a standing sets.
void apply(const answers::Standing& standing, engine::LotOptions& options);

[[nodiscard]] Opened<std::unique_ptr<ledger::Ledger>> open_ledger(boost::asio::io_context& context,
                                                                  const std::string& records);

}  // namespace padtrim
