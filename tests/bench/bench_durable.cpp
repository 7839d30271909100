// Durable units per second with rollups and chain, beside a plain loop over SQLite's C interface
// that writes the same rows in the same transactions (write-ahead log, synchronous FULL), and
// beside the disk's own fdatasync; without and with a reader that asks all the while. Prints
// medians and ratios; judges nothing.
//
//   bench_durable [folder] [units a round] [rounds]     default: current folder, 40, 5
//
// A unit: 12 keys as found and as left (24 checks), 12 lines, 9 states x 16 scans x 12 channels of
// raw counts, and the seven acts of a run with write-back. Rounds alternate between the two. The
// plain loop is given every row ready made: it reads nothing, derives nothing and has no triggers
// to obey but the schema's own. One nest at a time as the loop; then four, as a line has them,
// whose acts share commits. Processor time is of all threads, the reader's too.
#include <algorithm>
#include <atomic>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <filesystem>
#include <random>
#include <thread>

#include <SQLiteCpp/SQLiteCpp.h>
#include <fcntl.h>
#include <sqlite3.h>
#include <unistd.h>

#include "db/ledger/ledger.hpp"
#include "db/ledger/migrations.hpp"
#include "db/ledger/rollup_reader.hpp"
#include "tests/support/await.hpp"
#include "tests/support/lot_samples.hpp"

namespace {

using namespace padtrim;
using Clock = std::chrono::steady_clock;

double seconds_since(Clock::time_point began) {
    return std::chrono::duration<double>(Clock::now() - began).count();
}

double processor_seconds() {
    timespec now{};
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
    return static_cast<double>(now.tv_sec) + 1e-9 * static_cast<double>(now.tv_nsec);
}

double median(std::vector<double> values) {
    std::sort(values.begin(), values.end());
    return values[values.size() / 2];
}

double fdatasync_rate(const std::filesystem::path& folder) {
    const std::string path = folder / "fdatasync";
    const int file = open(path.c_str(), O_RDWR | O_CREAT, 0600);
    const std::string page(4096, 'p');
    constexpr int rounds = 100;
    const auto began = Clock::now();
    for (int i = 0; i < rounds; ++i)
        if (pwrite(file, page.data(), page.size(), i * 4096) < 0 || fdatasync(file) != 0) exit(1);
    close(file);
    return rounds / seconds_since(began);
}

record::UnitRecord durable_unit(std::mt19937_64& random) {
    std::normal_distribution<double> normal;
    record::UnitRecord unit = support::sample_unit();
    unit.write_stage = record::WriteStage::verified;
    unit.observations.readings.clear();
    std::uint32_t counter = 0;
    for (int state = 0; state < 9; ++state) {
        record::Readings& readings = unit.observations.readings.emplace_back();
        readings.step = "gain and offset";
        for (int scan = 0; scan < 16; ++scan) {
            record::Scan& taken = readings.scans.emplace_back();
            taken.counter = ++counter;
            taken.at_us = std::int64_t{counter} * 2500;
            for (int channel = 0; channel < 12; ++channel)
                taken.counts.push_back(static_cast<std::int32_t>(1500 + 40 * channel + 800 * state +
                                                                 3 * normal(random)));
        }
    }
    record::CheckResult check = unit.result.checks.front();
    record::ChannelLine line = unit.result.lines.front();
    unit.result.checks.clear();
    unit.result.lines.clear();
    for (int key = 0; key < 12; ++key) {
        check.key = line.key = "K" + std::to_string(key + 1);
        check.channel = line.channel = key;
        for (const auto stage : {record::Stage::as_found, record::Stage::as_left}) {
            check.stage = stage;
            check.value = 400.0 + 5.0 * normal(random);
            unit.result.checks.push_back(check);
        }
        unit.result.lines.push_back(line);
    }
    return unit;
}

// ---- ours ----

class OurLedger {
  public:
    OurLedger(const std::string& path, std::size_t nests)
        : nests_(nests),
          book_(std::move(ledger::Ledger::open(path, context_.get_executor(),
                                               nests == 1 ? ledger::Writing::inline_calls
                                                          : ledger::Writing::writer_thread)
                              .value())),
          lot_(await(book_->open_lot(support::sample_lot())).value()) {}

    // Each nest takes the next unit when it is done with one.
    void write(const std::vector<record::UnitRecord>& units) {
        auto next = units.begin();
        for (std::size_t nest = 0; nest < nests_; ++nest)
            boost::asio::co_spawn(context_, write_in_nest(next, units.end()), rethrow);
        context_.restart();
        context_.run();
    }

  private:
    using Units = std::vector<record::UnitRecord>::const_iterator;
    static void rethrow(std::exception_ptr error) {
        if (error) std::rethrow_exception(error);
    }
    boost::asio::awaitable<void> write_in_nest(Units& next, Units end) {
        while (next != end) {
            const record::UnitRecord& unit = *next++;
            const auto start = support::sample_run(lot_, "A" + std::to_string(++serial_));
            const auto run = co_await book_->start_run(start);
            (void)(co_await book_->intend(run.value(), support::sample_intent())).value();
            using record::WriteStage;
            for (const WriteStage stage : {WriteStage::written, WriteStage::read_back,
                                           WriteStage::committed, WriteStage::power_cycled})
                (void)(co_await book_->reached(run.value(), stage)).value();
            (void)(co_await book_->finish(run.value(), unit)).value();
        }
    }
    template <class T>
    T await(journal::Task<T> task) {
        return support::await(context_, std::move(task));
    }
    std::size_t nests_;
    boost::asio::io_context context_;
    std::unique_ptr<ledger::Ledger> book_;
    record::LotId lot_;
    int serial_ = 0;
};

// ---- the plain loop ----

struct Value {
    int type = SQLITE_NULL;
    std::int64_t integer = 0;
    double real = 0.0;
    std::string bytes;
};
using Row = std::vector<Value>;

struct TableOfAct {
    std::string table, where;  // rows of one run: ?1
    bool replace = false;
};

// What each act of a run writes; finish writes also the rows of the rollups that it changes.
const std::vector<std::vector<TableOfAct>>& acts() {
    const auto stage = [](const char* word) {
        return std::vector<TableOfAct>{
            {"write_stage", std::string("run = ?1 AND stage = '") + word + "'", false}};
    };
    static const std::vector<std::vector<TableOfAct>> all = {
        {{"run", "id = ?1", false}},
        {{"write_intent", "run = ?1", false},
         {"write_intent_trim", "run = ?1", false},
         {"write_stage", "run = ?1 AND stage = 'intended'", false}},
        stage("written"),
        stage("read back"),
        stage("committed"),
        stage("power-cycled"),
        {{"write_stage", "run = ?1 AND stage = 'verified'", false},
         {"run_end", "run = ?1", false},
         {"disposition", "run = ?1", false},
         {"check_result", "run = ?1", false},
         {"channel_line", "run = ?1", false},
         {"observation", "run = ?1", false},
         {"ending", "run = ?1", false},
         {"record_link", "kind = 'run' AND subject = ?1", false},
         {"rollup_units", "?1 > 0", true},
         {"rollup_value", "?1 > 0", true}}};
    return all;
}

void demand(sqlite3* database, int code) {
    if (code == SQLITE_OK || code == SQLITE_DONE || code == SQLITE_ROW) return;
    std::fprintf(stderr, "%s\n", sqlite3_errmsg(database));
    exit(1);
}

class PlainLoop {
  public:
    // Copies the schema, and what stood before the units, of a ledger of ours.
    PlainLoop(const std::string& path, const std::string& ours) : ours_(ours) {
        demand(nullptr, sqlite3_open(path.c_str(), &database_));
        attach();
        SQLite::Database empty(":memory:", SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE);
        ledger::migrate(empty, ledger::embedded_migrations(), "x").value();
        SQLite::Statement part(empty,
                               "SELECT sql FROM sqlite_schema WHERE sql IS NOT NULL"
                               " AND name NOT LIKE 'sqlite_%' ORDER BY rowid");
        while (part.executeStep()) run(part.getColumn(0).getString());
        for (const char* table : {"station", "plan", "lot", "lot_opening", "rollup_origin",
                                  "rollup_scope", "rollup_place"})
            run(std::string("INSERT INTO main.") + table + " SELECT * FROM ours." + table);
        run("DETACH ours");
        run("PRAGMA journal_mode = WAL");
        run("PRAGMA synchronous = FULL");
        run("PRAGMA foreign_keys = ON");
    }
    PlainLoop(const PlainLoop&) = delete;
    PlainLoop& operator=(const PlainLoop&) = delete;
    ~PlainLoop() {
        for (sqlite3_stmt* statement : inserts_) sqlite3_finalize(statement);
        sqlite3_close(database_);
    }

    // Rows of runs that ours has written, in memory before the clock starts.
    void read(record::RunId first, record::RunId last) {
        ready_.clear();
        attach();
        std::size_t number = 0;
        for (record::RunId id = first; id <= last; ++id, number = 0)
            for (const auto& act : acts())
                for (const TableOfAct& table : act) read_rows(table, id, number++);
        run("DETACH ours");  // or each transaction would lock both files
    }
    void write() {
        std::size_t at = 0;
        while (at < ready_.size()) {
            std::size_t number = 0;
            for (const auto& act : acts()) {
                run("BEGIN IMMEDIATE");
                for (std::size_t i = 0; i < act.size(); ++i, ++at, ++number)
                    for (const Row& row : ready_[at]) insert(number, row);
                run("COMMIT");
            }
        }
    }

  private:
    void attach() { run("ATTACH '" + ours_ + "' AS ours"); }
    void run(const std::string& sql) {
        demand(database_, sqlite3_exec(database_, sql.c_str(), nullptr, nullptr, nullptr));
    }
    sqlite3_stmt* prepare(const std::string& sql) {
        sqlite3_stmt* statement = nullptr;
        demand(database_, sqlite3_prepare_v2(database_, sql.c_str(), -1, &statement, nullptr));
        return statement;
    }
    void read_rows(const TableOfAct& table, record::RunId run, std::size_t number) {
        sqlite3_stmt* rows = prepare("SELECT * FROM ours." + table.table + " WHERE " + table.where);
        demand(database_, sqlite3_bind_int64(rows, 1, run));
        std::vector<Row>& found = ready_.emplace_back();
        const int columns = sqlite3_column_count(rows);
        while (sqlite3_step(rows) == SQLITE_ROW) {
            Row& row = found.emplace_back(static_cast<std::size_t>(columns));
            for (int i = 0; i < columns; ++i) {
                Value& value = row[static_cast<std::size_t>(i)];
                value.type = sqlite3_column_type(rows, i);
                value.integer = sqlite3_column_int64(rows, i);
                value.real = sqlite3_column_double(rows, i);
                if (value.type == SQLITE_TEXT || value.type == SQLITE_BLOB)
                    value.bytes.assign(static_cast<const char*>(sqlite3_column_blob(rows, i)),
                                       static_cast<std::size_t>(sqlite3_column_bytes(rows, i)));
            }
        }
        sqlite3_finalize(rows);
        if (number < inserts_.size()) return;
        std::string marks;
        for (int i = 0; i < columns; ++i) marks += i == 0 ? "?" : ", ?";
        inserts_.push_back(prepare(std::string("INSERT ") + (table.replace ? "OR REPLACE " : "") +
                                   "INTO main." + table.table + " VALUES (" + marks + ")"));
    }
    void insert(std::size_t number, const Row& row) {
        sqlite3_stmt* statement = inserts_[number];
        for (std::size_t i = 0; i < row.size(); ++i) {
            const int at = static_cast<int>(i) + 1;
            const Value& value = row[i];
            const int size = static_cast<int>(value.bytes.size());
            switch (value.type) {
                case SQLITE_INTEGER:
                    sqlite3_bind_int64(statement, at, value.integer);
                    break;
                case SQLITE_FLOAT:
                    sqlite3_bind_double(statement, at, value.real);
                    break;
                case SQLITE_TEXT:
                    sqlite3_bind_text(statement, at, value.bytes.data(), size, SQLITE_STATIC);
                    break;
                case SQLITE_BLOB:
                    sqlite3_bind_blob(statement, at, value.bytes.data(), size, SQLITE_STATIC);
                    break;
                default:
                    sqlite3_bind_null(statement, at);
            }
        }
        demand(database_, sqlite3_step(statement));
        sqlite3_reset(statement);
    }

    const std::string ours_;
    sqlite3* database_ = nullptr;
    std::vector<std::vector<Row>> ready_;  // a run's tables after another
    std::vector<sqlite3_stmt*> inserts_;   // one a table of an act
};

// Asks for as long as it lives.
class AskingReader {
  public:
    explicit AskingReader(const std::string& path) {
        thread_ = std::thread([this, path] {
            auto opened = std::move(ledger::Reader::open(path).value());
            ledger::RollupReader rollups(*opened);
            for (; !ending_; ++questions_) {
                (void)rollups.units({}, ledger::RollupBy::day).value();
                (void)rollups.values({}, {}, ledger::RollupBy::day, ledger::WithHistogram::yes)
                    .value();
                (void)opened->lots().value();
            }
        });
    }
    AskingReader(const AskingReader&) = delete;
    AskingReader& operator=(const AskingReader&) = delete;
    ~AskingReader() {
        ending_ = true;
        thread_.join();
    }

  private:
    std::atomic<bool> ending_ = false;
    std::atomic<int> questions_ = 0;
    std::thread thread_;
};

void compare(const std::filesystem::path& folder, int units, int rounds, std::size_t nests,
             bool with_reader) {
    const std::string name = std::to_string(nests) + (with_reader ? "-read" : "-quiet");
    const std::string ours_path = folder / (name + "-ours.ledger");
    const std::string plain_path = folder / (name + "-plain.ledger");
    OurLedger ours(ours_path, nests);
    std::mt19937_64 random(7);
    std::vector<record::UnitRecord> records;
    for (int i = 0; i < units; ++i) records.push_back(durable_unit(random));
    std::unique_ptr<AskingReader> reader;
    std::unique_ptr<PlainLoop> plain;
    std::vector<double> our_rates, plain_rates, our_work, plain_work, disk;
    for (int round = 0; round < rounds; ++round) {
        disk.push_back(fdatasync_rate(folder));
        if (with_reader) reader = std::make_unique<AskingReader>(ours_path);
        auto began = Clock::now();
        double worked = processor_seconds();
        ours.write(records);
        our_work.push_back(1e3 * (processor_seconds() - worked) / units);
        our_rates.push_back(units / seconds_since(began));
        reader.reset();
        if (!plain) plain = std::make_unique<PlainLoop>(plain_path, ours_path);
        plain->read(round * units + 1, (round + 1) * units);
        if (with_reader) reader = std::make_unique<AskingReader>(ours_path);
        began = Clock::now();
        worked = processor_seconds();
        plain->write();
        plain_work.push_back(1e3 * (processor_seconds() - worked) / units);
        plain_rates.push_back(units / seconds_since(began));
        reader.reset();
    }
    const double our = median(our_rates), peer = median(plain_rates), syncs = median(disk);
    std::printf("%zu nest%s, %s\n", nests, nests == 1 ? "" : "s",
                with_reader ? "while a reader asks" : "undisturbed");
    std::printf("  ours       %6.1f units/s, processor %5.2f ms a unit\n", our, median(our_work));
    std::printf("  plain loop %6.1f units/s, processor %5.2f ms a unit\n", peer,
                median(plain_work));
    std::printf("  disk       %6.0f fdatasync/s, %.1f units/s of 7 acts\n", syncs, syncs / 7.0);
    std::printf("  ratios     ours / plain loop %.2f, ours / disk %.2f\n", our / peer,
                7.0 * our / syncs);
}

}  // namespace

int main(int argc, char** argv) {
    const std::filesystem::path under = argc > 1 ? argv[1] : ".";
    const int units = argc > 2 ? std::atoi(argv[2]) : 40;
    const int rounds = argc > 3 ? std::atoi(argv[3]) : 5;
    const std::filesystem::path folder =
        under / ("bench-durable-" + std::to_string(static_cast<long>(getpid())));
    std::filesystem::create_directories(folder);
    for (const std::size_t nests : {1U, 4U})
        for (const bool with_reader : {false, true})
            compare(folder, units, rounds, nests, with_reader);
    std::filesystem::remove_all(folder);
}
