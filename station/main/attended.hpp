// What runs on this station in this process, with a person beside it: progress shown, units and
// answers typed, the first Ctrl-C stopping and the second aborting.
//
// One run a process. `stop` and `abort` are called from the io_context while it runs.
#pragma once

#include <exception>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include <boost/asio/bind_cancellation_slot.hpp>
#include <boost/asio/cancellation_signal.hpp>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/io_context.hpp>

#include "station/engine/lot_run.hpp"
#include "station/main/hands.hpp"
#include "station/main/interruptions.hpp"
#include "station/main/lot_faces.hpp"

namespace padtrim {

class Attended {
  public:
    Attended(boost::asio::io_context& context, const cli::RunCommand& command,
             const language::PlanPtr& plan, port::Clock& clock, std::function<void()> stop,
             std::function<void()> abort);

    // Somebody can answer only where somebody can type.
    [[nodiscard]] engine::Parts with_person(engine::Parts parts);
    [[nodiscard]] engine::EventSink sink();
    [[nodiscard]] engine::AskForUnit ask();

    template <class T>
    T run(boost::asio::awaitable<T> act, const std::vector<std::string>& remarks) {
        begin(remarks);
        std::optional<T> outcome;
        boost::asio::co_spawn(context_, std::move(act), [&](std::exception_ptr error, T came) {
            failure_ = error;
            outcome = std::move(came);
            end();
        });
        context_.run();
        if (failure_) std::rethrow_exception(failure_);
        return std::move(*outcome);
    }

  private:
    void begin(const std::vector<std::string>& remarks);
    void end();

    boost::asio::io_context& context_;
    std::shared_ptr<cli::Progress> progress_;
    port::Clock& clock_;
    Hands hands_;
    PersonAtHand person_;
    const bool answers_;
    const bool by_hand_;
    const bool live_;
    Interruptions interruptions_;
    boost::asio::cancellation_signal typing_;
    std::exception_ptr failure_;
};

}  // namespace padtrim
