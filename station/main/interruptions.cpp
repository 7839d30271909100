#include "station/main/interruptions.hpp"

#include <csignal>

namespace padtrim {

Interruptions::Interruptions(boost::asio::any_io_executor executor, std::function<void()> first,
                             std::function<void()> second)
    : signals_(executor, SIGINT, SIGTERM, SIGHUP),
      first_(std::move(first)),
      second_(std::move(second)) {
    wait();
}

void Interruptions::cancel() {
    cancelled_ = true;
    boost::system::error_code ignored;
    signals_.cancel(ignored);
}

void Interruptions::wait() {
    signals_.async_wait([this](const boost::system::error_code& error, int) {
        if (error) return;
        ++seen_;
        if (seen_ == 1) first_();
        if (seen_ == 2) second_();
        if (!cancelled_) wait();  // first_ or second_ may have cancelled
    });
}

}  // namespace padtrim
