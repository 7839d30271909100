// How many realistic units a second the ledger makes durable, beside the disk's own rate of
// fdatasync in the same folder. Prints; judges nothing.
//
//   bench_ledger [folder] [units]      default: the current folder, 200 units
//
// A unit: 9 states x 16 scans x 8 channels x 2 frequencies, 40 checks, 16 lines, and the eight
// journal calls of a run with write-back, each one transaction.
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <random>
#include <string>

#include <fcntl.h>
#include <unistd.h>

#include "db/ledger/ledger.hpp"
#include "db/ledger/observation_blob.hpp"
#include "db/ledger/reader.hpp"
#include "tests/support/await.hpp"
#include "tests/support/lot_samples.hpp"

namespace {

using namespace padtrim;
using Seconds = std::chrono::duration<double>;
using Clock = std::chrono::steady_clock;

template <class Work>
double seconds_of(Work work) {
    const auto began = Clock::now();
    work();
    return Seconds(Clock::now() - began).count();
}

record::Scan scan_of(std::mt19937_64& random, std::uint32_t counter, int state) {
    std::normal_distribution<double> noise(0.0, 3.0);
    record::Scan scan{counter, std::int64_t{counter} * 2500, {}};
    for (int channel = 0; channel < 8; ++channel)
        for (int frequency = 0; frequency < 2; ++frequency)
            scan.counts.push_back(
                static_cast<std::int32_t>(1500.0 + 40.0 * channel + 800.0 * state + noise(random)));
    return scan;
}

record::UnitRecord realistic_unit(std::uint64_t seed) {
    std::mt19937_64 random(seed);
    record::UnitRecord unit = support::sample_unit();
    unit.write_stage = record::WriteStage::verified;
    unit.observations.readings.clear();
    std::uint32_t counter = 0;
    for (int state = 0; state < 9; ++state) {
        record::Readings readings;
        readings.step = "gain and offset";
        readings.situation.reference = state % 2 == 0 ? "" : "R" + std::to_string(state / 2 + 1);
        for (int scan = 0; scan < 16; ++scan)
            readings.scans.push_back(scan_of(random, ++counter, state % 2 * (state / 2 + 1)));
        unit.observations.readings.push_back(std::move(readings));
    }
    unit.result.checks.resize(40, unit.result.checks.front());
    unit.result.lines.resize(16, unit.result.lines.front());
    return unit;
}

double fdatasync_rate(const std::filesystem::path& folder) {
    const std::string path = folder / "fdatasync";
    const int file = open(path.c_str(), O_RDWR | O_CREAT, 0600);
    const std::string page(4096, 'p');
    constexpr int rounds = 500;
    const double seconds = seconds_of([&] {
        for (int i = 0; i < rounds; ++i) {
            if (pwrite(file, page.data(), page.size(), i * 4096) < 0 || fdatasync(file) != 0)
                std::exit(1);
        }
    });
    close(file);
    std::filesystem::remove(path);
    return rounds / seconds;
}

void run_unit(boost::asio::io_context& context, ledger::Ledger& ledger, record::LotId lot,
              const std::string& serial, record::UnitRecord unit) {
    const auto await = [&](auto task) { return support::await(context, std::move(task)); };
    const auto run = await(ledger.start_run(support::sample_run(lot, serial))).value();
    await(ledger.intend(run, support::sample_intent())).value();
    using record::WriteStage;
    for (const WriteStage stage : {WriteStage::written, WriteStage::read_back,
                                   WriteStage::committed, WriteStage::power_cycled})
        await(ledger.reached(run, stage)).value();
    await(ledger.finish(run, std::move(unit))).value();
    await(ledger.count(lot)).value();
}

void print_mode(const std::filesystem::path& folder, ledger::Writing how, const char* name,
                int units) {
    boost::asio::io_context context;
    const std::string path = folder / (std::string(name) + ".ledger");
    auto book = std::move(ledger::Ledger::open(path, context.get_executor(), how).value());
    const auto lot = support::await(context, book->open_lot(support::sample_lot())).value();
    std::vector<record::UnitRecord> records;
    for (int i = 0; i < units; ++i) records.push_back(realistic_unit(static_cast<unsigned>(i)));
    const double before = fdatasync_rate(folder);
    const double seconds = seconds_of([&] {
        for (int i = 0; i < units; ++i)
            run_unit(context, *book, lot, "A" + std::to_string(i),
                     std::move(records[static_cast<std::size_t>(i)]));
    });
    const double disk = (before + fdatasync_rate(folder)) / 2.0;
    const double transactions = 7.0 * units / seconds;
    std::printf("%-14s %7.0f units/s  %7.0f durable acts/s  disk %7.0f fdatasync/s  ratio %.2f\n",
                name, units / seconds, transactions, disk, transactions / disk);
}

void print_reading(const std::filesystem::path& folder) {
    auto reader = std::move(ledger::Reader::open(folder / "inline.ledger").value());
    const auto lot = reader->lot("L-1").value().value().lot;
    const auto question = [](const char* name, auto ask) {
        std::printf("%-14s %7.2f ms\n", name, 1e3 * seconds_of(ask));
    };
    question("tape", [&] { (void)reader->tape(lot).value(); });
    question("lines_of", [&] { (void)reader->lines_of(lot).value(); });
    question("failures", [&] { (void)reader->failures(lot).value(); });
    question("yield", [&] { (void)reader->yield({}, ledger::YieldBy::lot).value(); });
    question("stored_run", [&] { (void)reader->stored_run(1).value(); });
}

void print_blob() {
    const record::UnitRecord unit = realistic_unit(1);
    const ledger::Bytes blob = ledger::pack(unit.observations).value();
    constexpr int rounds = 200;
    const double packing = seconds_of([&] {
        for (int i = 0; i < rounds; ++i) (void)ledger::pack(unit.observations).value();
    });
    const double unpacking = seconds_of([&] {
        for (int i = 0; i < rounds; ++i) (void)ledger::unpack(blob).value();
    });
    std::printf("blob           %zu bytes for 2304 counts, pack %.0f us, unpack %.0f us\n",
                blob.size(), 1e6 * packing / rounds, 1e6 * unpacking / rounds);
}

}  // namespace

int main(int argc, char** argv) {
    const std::filesystem::path under = argc > 1 ? argv[1] : ".";
    const int units = argc > 2 ? std::atoi(argv[2]) : 200;
    const std::filesystem::path folder =
        under / ("bench-ledger-" + std::to_string(static_cast<long>(getpid())));
    std::filesystem::create_directories(folder);
    print_mode(folder, ledger::Writing::inline_calls, "inline", units);
    print_mode(folder, ledger::Writing::writer_thread, "writer thread", units);
    print_reading(folder);
    print_blob();
    std::filesystem::remove_all(folder);
}
