// The ledger's writer thread beside an io_context that must never wait for the disk.
#include <algorithm>
#include <fstream>
#include <functional>
#include <iterator>
#include <thread>

#include <SQLiteCpp/SQLiteCpp.h>
#include <boost/asio/bind_cancellation_slot.hpp>
#include <boost/asio/cancellation_signal.hpp>
#include <boost/asio/detached.hpp>
#include <boost/asio/post.hpp>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "db/ledger/ledger.hpp"
#include "db/ledger/reader.hpp"
#include "db/ledger/verify_records.hpp"
#include "tests/support/await.hpp"
#include "tests/support/lot_samples.hpp"
#include "tests/support/temporary_folder.hpp"

namespace padtrim::ledger {
namespace {

namespace asio = boost::asio;
using support::await;

class LedgerThread : public testing::Test {
  protected:
    // Another program's write transaction: the writer thread has to wait for it.
    class Obstacle {
      public:
        explicit Obstacle(const std::string& path) : tool_(path, SQLite::OPEN_READWRITE) {
            tool_.exec("BEGIN IMMEDIATE");
        }
        void remove() { tool_.exec("ROLLBACK"); }

      private:
        SQLite::Database tool_;
    };

    std::uint32_t attempts(const std::string& serial) {
        return await(context_, ledger_->standing(lot_, serial)).value().attempts;
    }

    asio::io_context context_;
    support::TemporaryFolder folder_;
    const std::string path_ = folder_.file("station.ledger");
    std::unique_ptr<Ledger> ledger_ =
        std::move(Ledger::open(path_, context_.get_executor(), Writing::writer_thread).value());
    const record::LotId lot_ = await(context_, ledger_->open_lot(support::sample_lot())).value();
};

TEST_F(LedgerThread, LetsOtherWorkGoOnWhileTheDiskIsSlow) {
    Obstacle obstacle(path_);
    bool stored = false;
    asio::co_spawn(context_, ledger_->start_run(support::sample_run(lot_, "A1")),
                   [&](std::exception_ptr, const auto& run) { stored = run.has_value(); });
    int turns = 0;
    std::function<void()> turn = [&] {
        EXPECT_FALSE(stored);
        if (++turns < 1000) {
            asio::post(context_, turn);
        } else {
            obstacle.remove();
        }
    };
    asio::post(context_, turn);
    context_.restart();
    context_.run();  // ends only when the call has come back
    EXPECT_EQ(turns, 1000);
    EXPECT_TRUE(stored);
}

TEST_F(LedgerThread, ResumesTheCallerOnItsOwnExecutor) {
    const auto caller = [](Ledger& ledger, record::LotId lot) -> asio::awaitable<bool> {
        const auto before = std::this_thread::get_id();
        const auto count = co_await ledger.count(lot);
        co_return count.has_value() && before == std::this_thread::get_id();
    };
    EXPECT_TRUE(await(context_, caller(*ledger_, lot_)));
}

TEST_F(LedgerThread, DoesCallsInTheOrderTheyWereMade) {
    std::vector<record::RunId> runs;
    for (int i = 0; i < 20; ++i)
        asio::co_spawn(context_, ledger_->start_run(support::sample_run(lot_, std::to_string(i))),
                       [&](std::exception_ptr, const auto& run) { runs.push_back(run.value()); });
    context_.restart();
    context_.run();
    EXPECT_EQ(runs.size(), 20U);
    EXPECT_TRUE(std::is_sorted(runs.begin(), runs.end()));
}

// Commits in the write-ahead log: frames that state the database's size
// (https://www.sqlite.org/fileformat2.html, "The Write-Ahead Log").
std::size_t commits_in(const std::string& wal) {
    std::ifstream file(wal, std::ios::binary);
    const std::string bytes((std::istreambuf_iterator<char>(file)), {});
    const auto number = [&](std::size_t at) {
        std::uint32_t value = 0;
        for (std::size_t i = 0; i < 4; ++i)
            value = value << 8U | static_cast<unsigned char>(bytes[at + i]);
        return value;
    };
    std::size_t commits = 0;
    const std::size_t page = number(8);
    for (std::size_t at = 32; at + 24 + page <= bytes.size(); at += 24 + page)
        commits += number(at + 4) != 0 ? 1 : 0;
    return commits;
}

TEST_F(LedgerThread, StoresWhatWaitsTogetherInOneCommit) {
    Obstacle obstacle(path_);
    const std::size_t before = commits_in(path_ + "-wal");
    std::size_t stored = 0;
    for (int i = 0; i < 40; ++i)
        asio::co_spawn(context_, ledger_->start_run(support::sample_run(lot_, std::to_string(i))),
                       [&](std::exception_ptr, const auto& run) { stored += run ? 1U : 0U; });
    context_.restart();
    context_.poll();
    obstacle.remove();
    context_.restart();
    context_.run();
    EXPECT_EQ(stored, 40U);
    const std::size_t commits = commits_in(path_ + "-wal") - before;
    EXPECT_GE(commits, 3U) << "sixteen at most";
    EXPECT_LE(commits, 5U) << "the first one may have been alone";
}

TEST_F(LedgerThread, LeavesOthersOutOfTheFaultOfOne) {
    const auto good = await(context_, ledger_->start_run(support::sample_run(lot_, "A0"))).value();
    Obstacle obstacle(path_);
    std::vector<std::string> said;
    const auto say = [&](std::exception_ptr error, const auto& result) {
        said.push_back(error ? "bug" : result ? "stored" : "refused");
    };
    asio::co_spawn(context_, ledger_->start_run(support::sample_run(lot_, "A1")), say);
    asio::co_spawn(context_, ledger_->reached(99, record::WriteStage::written), say);
    asio::co_spawn(context_, ledger_->finish(good, support::sample_unit()), say);
    asio::co_spawn(context_, ledger_->finish(good, support::sample_unit()), say);
    context_.restart();
    context_.poll();
    obstacle.remove();
    context_.restart();
    context_.run();
    EXPECT_EQ(said, (std::vector<std::string>{"stored", "refused", "stored", "refused"}));
    EXPECT_EQ(attempts("A1"), 1U);
    ledger_.reset();
    auto reader = std::move(Reader::open(path_).value());
    EXPECT_TRUE(reader->reconcile(lot_)->counted == reader->reconcile(lot_)->kept)
        << "what a refused act had counted is not counted";
    EXPECT_TRUE(verify_records(path_)->sound());
}

TEST_F(LedgerThread, StoresACallThatIsCancelledUnderWay) {
    Obstacle obstacle(path_);
    asio::cancellation_signal abort;
    bool answered = false;
    asio::co_spawn(
        context_, ledger_->start_run(support::sample_run(lot_, "A1")),
        asio::bind_cancellation_slot(abort.slot(), [&](std::exception_ptr error, const auto& run) {
            answered = !error && run.has_value();
        }));
    asio::post(context_, [&] {
        abort.emit(asio::cancellation_type::all);
        obstacle.remove();
    });
    context_.restart();
    context_.run();
    EXPECT_TRUE(answered);
    EXPECT_EQ(attempts("A1"), 1U);
}

TEST_F(LedgerThread, StoresWhatWasPostedBeforeItEnds) {
    asio::co_spawn(context_, ledger_->start_run(support::sample_run(lot_, "A1")), asio::detached);
    context_.restart();
    context_.poll();
    ledger_.reset();
    context_.run();
    ledger_ =
        std::move(Ledger::open(path_, context_.get_executor(), Writing::writer_thread).value());
    EXPECT_EQ(attempts("A1"), 1U);
}

TEST_F(LedgerThread, SaysNoInsteadOfPilingUpCallsForAStuckDisk) {
    Obstacle obstacle(path_);
    int stored = 0, refused = 0;
    std::string said;
    for (int i = 0; i < 300; ++i)
        asio::co_spawn(context_, ledger_->start_run(support::sample_run(lot_, std::to_string(i))),
                       [&](std::exception_ptr, const auto& run) {
                           ++(run ? stored : refused);
                           if (!run) said = run.error().what;
                       });
    context_.restart();
    while (refused == 0) context_.run_one();
    obstacle.remove();
    context_.run();
    EXPECT_EQ(stored + refused, 300);
    EXPECT_GE(stored, 256);
    EXPECT_THAT(said, testing::HasSubstr("does not keep up"));
}

}  // namespace
}  // namespace padtrim::ledger
