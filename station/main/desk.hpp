// The ledger open for one decision of a person, with a reader beside it.
#pragma once

#include <exception>
#include <memory>
#include <optional>
#include <string>

#include <boost/asio/co_spawn.hpp>
#include <boost/asio/io_context.hpp>

#include "db/ledger/ledger.hpp"
#include "db/ledger/reader.hpp"
#include "fixtures/serial/clocks.hpp"

namespace padtrim {

// Runs one act of the ledger to its end.
template <class T>
journal::Stored<T> done(boost::asio::io_context& context, journal::Task<journal::Stored<T>> act) {
    std::optional<journal::Stored<T>> result;
    boost::asio::co_spawn(context, std::move(act),
                          [&](std::exception_ptr bug, journal::Stored<T> outcome) {
                              if (bug) std::rethrow_exception(bug);
                              result = std::move(outcome);
                          });
    context.run();
    return std::move(*result);
}

// What is missing of a decision, "" when nothing is: `asks` is "Say who decides this: --who NAME.".
[[nodiscard]] std::string missing_of(const std::string& asks, const std::string& who,
                                     const std::string& why);

struct Desk {
    boost::asio::io_context context{1};
    std::unique_ptr<ledger::Ledger> ledger;
    std::unique_ptr<ledger::Reader> reader;
    record::WallTime now = serial::SystemWallClock().now();

    // 0, or the exit code after a complaint.
    int open(const std::string& records);
};

}  // namespace padtrim
