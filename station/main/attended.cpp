#include "station/main/attended.hpp"

#include <algorithm>
#include <cstdio>

#include <boost/asio/detached.hpp>
#include <unistd.h>

namespace padtrim {

namespace asio = boost::asio;

Attended::Attended(asio::io_context& context, const cli::RunCommand& command,
                   const language::PlanPtr& plan, port::Clock& clock, std::function<void()> stop,
                   std::function<void()> abort)
    : context_(context),
      progress_(progress_of(command, plan)),
      clock_(clock),
      hands_(context.get_executor()),
      person_(context.get_executor()),
      answers_(::isatty(STDIN_FILENO) == 1),
      by_hand_(std::any_of(plan->fixture.nests.begin(), plan->fixture.nests.end(),
                           [](const auto& nest) { return !nest.advance_coil; })),
      live_(wants_live_view(command)),
      interruptions_(
          context.get_executor(),
          [this, stop = std::move(stop)] {
              progress_->stopping();
              stop();
              hands_.close();
          },
          [this, abort = std::move(abort)] {
              progress_->remark("Running units are aborted.");
              abort();
          }) {}

engine::Parts Attended::with_person(engine::Parts parts) {
    if (answers_) parts.person = &person_;
    return parts;
}

engine::EventSink Attended::sink() {
    return [this](const engine::Event& event) { progress_->show(event); };
}

engine::AskForUnit Attended::ask() {
    return [this](std::uint16_t nest) { return hands_.ask(nest); };
}

void Attended::begin(const std::vector<std::string>& remarks) {
    if (!live_) std::fprintf(stderr, "%s\n", cli::cautions);  // a live view has a line of its own
    for (const auto& remark : remarks)
        if (!remark.empty()) progress_->remark(remark);
    asio::co_spawn(context_, keep_drawing(progress_, clock_), asio::detached);
    if (by_hand_ || answers_)
        asio::co_spawn(context_, read_lines(STDIN_FILENO, hands_, person_),
                       asio::bind_cancellation_slot(typing_.slot(), asio::detached));
}

void Attended::end() {
    interruptions_.cancel();
    typing_.emit(asio::cancellation_type::terminal);
    progress_->close();
}

}  // namespace padtrim
