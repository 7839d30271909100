// One act on a file of records that no station holds meanwhile.
#pragma once

#include <exception>
#include <optional>
#include <string>
#include <utility>

#include <boost/asio/co_spawn.hpp>
#include <boost/asio/io_context.hpp>

#include "db/ledger/ledger.hpp"

namespace padtrim {

// `call` gets the ledger and gives its task; done when this returns. Opening makes a missing file:
// ask a Reader first where that must not be.
template <class T, class Call>
[[nodiscard]] journal::Stored<T> done_in_ledger(const std::string& records, Call call) {
    boost::asio::io_context context(1);
    auto opened =
        ledger::Ledger::open(records, context.get_executor(), ledger::Writing::inline_calls);
    if (!opened) return opened.error();
    std::optional<journal::Stored<T>> answer;
    boost::asio::co_spawn(context, call(**opened),
                          [&](std::exception_ptr bug, journal::Stored<T> stored) {
                              if (bug) std::rethrow_exception(bug);
                              answer = std::move(stored);
                          });
    context.run();
    return std::move(answer.value());
}

}  // namespace padtrim
