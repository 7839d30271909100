#include "station/engine/deadline.hpp"

#include <variant>

#include <boost/asio/experimental/awaitable_operators.hpp>

namespace padtrim::engine {

Act<void> within(port::Clock& clock, std::chrono::milliseconds limit, Act<void> act,
                 std::string device) {
    using namespace boost::asio::experimental::awaitable_operators;
    auto first = co_await (std::move(act) || clock.sleep_for(limit));
    if (first.index() == 0) co_return std::get<0>(std::move(first));
    co_return port::Fault{port::FaultKind::no_answer, port::Blame::fixture, device,
                          device + " was not done within " + std::to_string(limit.count()) +
                              " ms. Look at it before anything is started again."};
}

}  // namespace padtrim::engine
