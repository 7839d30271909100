// The station as HTTP sees it: one lot at a time on the daemon's own fixture.
//
//   ready --start_lot, start_shift_check--> running --it ends--> ready, or blocked after a fault
//   ready or blocked --fixture().take()--> in somebody's hand, and nothing is started --> as before
//   blocked --clear_fault--> ready;  needs check, or blocked by its shift check: ready, but
//   production is refused until a shift check was good (answers/readiness.hpp)
//
// The ports are opened for each lot, so that a fixture that was unplugged is found again; while
// nothing runs and a page is there, its guard is looked at (engine/rest_watch.hpp). The file of
// records is held all the time. One thread.
//
// One class in five files, by idea: its life (daemon.cpp), what it answers (daemon_state.cpp), lots
// (daemon_lots.cpp), the shift check (daemon_shift_check.cpp), decisions (daemon_nests.cpp).
#pragma once

#include <functional>
#include <memory>
#include <optional>

#include <boost/asio/io_context.hpp>

#include "station/engine/rest_watch.hpp"
#include "station/main/author_desk.hpp"
#include "station/main/books_desk.hpp"
#include "station/main/commissioning.hpp"
#include "station/main/hands.hpp"
#include "station/main/station_parts.hpp"
#include "station/web/station_control.hpp"

namespace padtrim {

class Daemon : public web::StationControl {
  public:
    Daemon(boost::asio::io_context& context, const cli::StationWish& wish, language::PlanPtr plan,
           const StationLog& log, ledger::Ledger& ledger, engine::WriteBackPoint point);
    ~Daemon() override;

    answers::StationStatus status() const override;
    std::uint64_t version() const override;
    const answers::EventLog& events() const override { return events_; }
    answers::StationTally tally() const override;
    const language::Plan& plan() const override { return *shown_plan_; }
    const std::vector<answers::LyingUnit>& lying() const override { return lying_.all(); }
    const std::string& records() const override { return wish_.records; }
    answers::StartReport start_report() const override;
    web::Decision start_lot(web::StartRequest request) override;
    web::Decision stop_lot() override;
    web::Decision start_shift_check(std::string person) override;
    [[nodiscard]] std::optional<record::ShiftCheck> newest_shift_check() const override;
    web::Decision abort_nest(std::uint16_t nest) override;
    web::Decision load_nest(std::uint16_t nest, std::string label) override;
    web::Decision put_aside(std::uint16_t nest, std::string person) override;
    web::Decision answer_nest(std::uint16_t nest, bool yes) override;
    std::function<web::Decision()> disposal(web::DisposeRequest request) override;
    std::function<web::Decision()> alarm_reply(web::AlarmReplyRequest request) override;
    std::function<web::Decision()> freezing(web::FreezeRequest request) override;
    std::function<web::Decision()> sampling_result(web::SamplingResultRequest request) override;
    web::Decision clear_fault(std::string person) override;
    [[nodiscard]] web::FixtureControl* fixture() override { return &by_hand_; }
    [[nodiscard]] web::AuthorControl* author() override { return &author_; }
    [[nodiscard]] web::BooksControl* books() override { return &books_; }

    // Called after whatever a face would show differently.
    void tell_changes_to(std::function<void()> changed) { changed_ = std::move(changed); }
    // No lot is started any more; calls `gone` when none runs.
    void leave(std::function<void()> gone);
    void abort_all();
    [[nodiscard]] const std::exception_ptr& failure() const { return failure_; }

  private:
    struct Running;
    // What the station's own check said when it was last asked.
    struct Fitness {
        record::WallTime at;
        answers::StationState state = answers::StationState::ready;
        std::string check;
    };
    [[nodiscard]] const Fitness& fitness() const;
    [[nodiscard]] Fitness asked_fitness() const;
    void tell_changed();
    void take(const engine::Event& event);
    void begin(web::StartRequest request, language::PlanPtr plan,
               std::unique_ptr<FixturePorts> ports, const answers::Standing& standing,
               const answers::ReadinessAnswer& readiness);
    [[nodiscard]] web::Decision may_begin() const;
    [[nodiscard]] web::Decision is_free() const;
    [[nodiscard]] web::Decision hand_over() const;
    void prepare(std::unique_ptr<FixturePorts> ports);
    [[nodiscard]] boost::asio::awaitable<engine::LotOutcome> carry_out_lot();
    [[nodiscard]] boost::asio::awaitable<engine::LotOutcome> carry_out_check(std::string person);
    [[nodiscard]] engine::EventSink sink();
    [[nodiscard]] engine::AskForUnit ask();
    [[nodiscard]] std::function<void(std::exception_ptr, const engine::LotOutcome&)> at_end();
    void ended(std::exception_ptr error, const engine::LotOutcome& outcome);
    [[nodiscard]] Opened<language::PlanPtr> plan_for(const web::StartRequest& request) const;
    [[nodiscard]] Opened<language::PlanPtr> cut_for(const web::StartRequest& request) const;
    void add_known_tape(const std::string& lot);

    boost::asio::io_context& context_;
    const cli::StationWish wish_;
    const language::PlanPtr plan_;
    language::PlanPtr shown_plan_;  // of the run, or of the last one
    const StationLog& log_;
    ledger::Ledger& ledger_;
    const engine::WriteBackPoint point_;
    serial::SystemWallClock wall_clock_;
    serial::SteadyClock clock_;
    engine::RestWatch at_rest_;
    answers::StationStatus status_;
    mutable std::optional<Fitness> fitness_;
    answers::EventLog events_;
    answers::StationTally tally_;  // without the links of the lot that runs
    answers::LyingUnits lying_;
    std::function<void()> changed_ = [] {};
    mutable std::uint64_t version_ = 1;
    std::unique_ptr<Running> running_;
    Commissioning by_hand_;
    AuthorDesk author_;
    BooksDesk books_;
    std::function<void()> gone_;
    std::exception_ptr failure_;
};

}  // namespace padtrim
