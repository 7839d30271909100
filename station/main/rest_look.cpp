#include "station/main/rest_look.hpp"

#include <memory>
#include <utility>

#include "fixtures/drivers/fixture.hpp"
#include "fixtures/serial/clocks.hpp"
#include "fixtures/serial/serial_ports.hpp"
#include "station/engine/right_fixture.hpp"

namespace padtrim {
namespace {

using engine::AtRest;

class PortsLook final : public engine::RestLook {
  public:
    PortsLook(boost::asio::io_context& context, language::PlanPtr plan,
              const std::string& directory)
        : plan_(std::move(plan)),
          clock_(context.get_executor()),
          ports_(context.get_executor(), clock_, directory) {}

    // Nothing goes to the log: what is silent at rest would fill it, a line a second.
    port::Outcome<void> open() {
        auto opened = drivers::Fixture::open(
            *plan_, clock_, [this](const language::PortName& port) { return ports_.open(port); },
            {}, {}, drivers::Extent::relay_board);
        if (!opened) return opened.error();
        fixture_ = std::move(*opened);
        return {};
    }

    port::Task<port::Outcome<AtRest>> look() override {
        auto right = co_await engine::right_fixture(fixture_->relays(), plan_->fixture);
        if (!right) co_return right.error();
        drivers::RelayInterlock* const inputs = fixture_->interlock_inputs();
        if (inputs == nullptr) co_return AtRest::clear;
        auto now = co_await inputs->read();
        if (!now) co_return now.error();
        if (now->stop_open) co_return AtRest::stop_pressed;
        co_return now->guard_open ? AtRest::guard_open : AtRest::clear;
    }

    void let_go() override { ports_.let_go(); }

  private:
    const language::PlanPtr plan_;
    serial::SteadyClock clock_;
    serial::SerialPorts ports_;
    std::unique_ptr<drivers::Fixture> fixture_;
};

}  // namespace

engine::OpenRestLook rest_look(boost::asio::io_context& context, language::PlanPtr plan,
                               std::string directory) {
    const auto& fixture = plan->fixture;
    const bool something = fixture.interlocks.guard_input ||
                           fixture.interlocks.emergency_stop_input || fixture.identity;
    if (!something) return {};
    return
        [&context, plan = std::move(plan),
         directory = std::move(directory)]() -> port::Outcome<std::unique_ptr<engine::RestLook>> {
            auto look = std::make_unique<PortsLook>(context, plan, directory);
            if (auto opened = look->open(); !opened) return opened.error();
            return std::unique_ptr<engine::RestLook>(std::move(look));
        };
}

std::chrono::nanoseconds owed_by_relays(const language::FixtureProfile& fixture) {
    const auto settings = drivers::ClientSettings::of(fixture.relays.port.line);
    return settings.response_timeout + settings.late_reply;
}

}  // namespace padtrim
