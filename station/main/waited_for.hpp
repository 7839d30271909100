// An act on a ledger that somebody else's loop holds, from a thread of its own: the writer thread
// of the ledger answers, and this thread waits for it.
#pragma once

#include <exception>
#include <optional>
#include <utility>

#include <boost/asio/co_spawn.hpp>
#include <boost/asio/executor_work_guard.hpp>
#include <boost/asio/io_context.hpp>

#include "db/ledger/ledger.hpp"

namespace padtrim {

template <class T>
[[nodiscard]] journal::Stored<T> waited_for(journal::Task<journal::Stored<T>> act) {
    boost::asio::io_context context(1);
    auto guard = boost::asio::make_work_guard(context);
    std::optional<journal::Stored<T>> answer;
    std::exception_ptr bug;
    boost::asio::co_spawn(context, std::move(act),
                          [&](std::exception_ptr thrown, journal::Stored<T> stored) {
                              bug = std::move(thrown);
                              answer = std::move(stored);
                              guard.reset();
                          });
    context.run();
    if (bug) std::rethrow_exception(bug);
    return std::move(answer.value());
}

}  // namespace padtrim
