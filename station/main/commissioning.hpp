// Work by hand on the daemon's own fixture, as HTTP asks for it: who holds it, by which lease, and
// the run that their acts go to (engine/hand_run.hpp).
//
//   free --take(), no lot runs--> held --its run is over, whyever--> free
//
// The ports are opened for each hold, like those of a lot, and nobody else starts anything on them
// meanwhile. What an act came to is put into the audit when it has ended, and what the contacts
// worked into the records. Threading: the daemon's io_context. Everything handed in outlives it.
#pragma once

#include <functional>
#include <memory>
#include <string>

#include <boost/asio/io_context.hpp>

#include "station/main/station_parts.hpp"
#include "station/web/fixture_control.hpp"

namespace padtrim {

// A page renews it every second, so that a slow answer or two end nothing; and what a person left
// alone is over before somebody else comes by. Common practice, no source.
inline constexpr std::chrono::milliseconds hand_lease{4000};

// How a hold gets the fixture: whether the station hands it over, and what is waited for before its
// ports are talked on.
struct HandOver {
    std::function<web::Decision()> asked;
    std::function<boost::asio::awaitable<void>()> settled;
};

class Commissioning final : public web::FixtureControl {
  public:
    // `changed` is called after whatever a face would show differently.
    Commissioning(boost::asio::io_context& context, const cli::StationWish& wish,
                  language::PlanPtr plan, const StationLog& log, ledger::Ledger& ledger,
                  HandOver hand_over, std::function<void()> changed);
    ~Commissioning() override;

    [[nodiscard]] answers::FixtureSheet sheet() const override;
    [[nodiscard]] answers::FixtureHold hold() const override;
    web::Taken take(std::string person) override;
    web::Decision renew(const std::string& lease) override;
    web::Decision give_back(const std::string& lease) override;
    web::Decision stop(std::string person) override;
    web::Decision connect(const std::string& lease, web::ConnectWish wish) override;
    web::Decision move(const std::string& lease, web::FingerWish wish) override;

    [[nodiscard]] bool held() const { return held_ != nullptr; }
    // Why nothing else may be started; only while it is held.
    [[nodiscard]] web::Decision refusal() const;
    // Ends a hold; `gone` is called when there is none.
    void leave(std::function<void()> gone);

  private:
    struct Held;
    [[nodiscard]] web::Decision wrong_lease(const std::string& lease) const;
    web::Decision begin(const std::string& doing, engine::Act<void> act);
    [[nodiscard]] static boost::asio::awaitable<void> carry_out(std::shared_ptr<Held> held,
                                                                std::string doing,
                                                                engine::Act<void> act);
    [[nodiscard]] static boost::asio::awaitable<void> last(std::shared_ptr<Held> held);
    void ended();

    boost::asio::io_context& context_;
    const cli::StationWish& wish_;
    const language::PlanPtr plan_;
    const StationLog& log_;
    ledger::Ledger& ledger_;
    const HandOver hand_over_;
    std::function<void()> changed_;
    serial::SystemWallClock wall_clock_;
    std::shared_ptr<Held> held_;
    answers::FixtureHold before_;  // the newest one that is over
    std::function<void()> gone_;
};

}  // namespace padtrim
