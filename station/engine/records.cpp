#include "station/engine/records.hpp"

#include <boost/asio/bind_cancellation_slot.hpp>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/this_coro.hpp>
#include <boost/asio/use_awaitable.hpp>

namespace padtrim::engine {

namespace asio = boost::asio;

template <class T>
Act<T> Records::keep(journal::Task<journal::Stored<T>> call) {
    if (fault_) co_return *fault_;
    const auto executor = co_await asio::this_coro::executor;
    // A slot that nobody emits to: an abort does not reach the call.
    const asio::cancellation_slot unreachable;
    auto stored = co_await asio::co_spawn(
        executor, std::move(call), asio::bind_cancellation_slot(unreachable, asio::use_awaitable));
    if (stored.has_error())
        fault_ = port::Fault{port::FaultKind::refused, port::Blame::fixture, "file of records",
                             stored.error().what};
    if (fault_) co_return *fault_;
    if constexpr (std::is_void_v<T>)
        co_return port::Outcome<void>();
    else
        co_return std::move(*stored);
}

template Act<void> Records::keep(journal::Task<journal::Stored<void>>);
template Act<std::int64_t> Records::keep(journal::Task<journal::Stored<std::int64_t>>);
template Act<record::LotCount> Records::keep(journal::Task<journal::Stored<record::LotCount>>);
template Act<record::UnitStanding> Records::keep(
    journal::Task<journal::Stored<record::UnitStanding>>);
template Act<std::vector<record::UnfinishedRun>> Records::keep(
    journal::Task<journal::Stored<std::vector<record::UnfinishedRun>>>);

}  // namespace padtrim::engine
