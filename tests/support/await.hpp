// Runs one awaitable to its end on an io_context and gives its value: how a test calls a
// coroutine. Everything else that is due on the io_context runs too.
#pragma once

#include <exception>
#include <optional>
#include <utility>

#include <boost/asio/awaitable.hpp>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/io_context.hpp>

namespace padtrim::support {

template <class T>
T await(boost::asio::io_context& context, boost::asio::awaitable<T> task) {
    std::optional<T> value;
    std::exception_ptr failed;
    boost::asio::co_spawn(context, std::move(task), [&](std::exception_ptr error, T result) {
        failed = error;
        value.emplace(std::move(result));
    });
    context.restart();
    context.run();
    if (failed) std::rethrow_exception(failed);
    return std::move(value.value());
}

}  // namespace padtrim::support
