// How long the quality team's questions take, warm, on two plants, and how that grows with the
// units. Prints medians and ratios; judges nothing.
//
//   bench_rollups [folder] [units] [more units]     default: current folder, 100000, 1000000
//
// A question is answered once to warm up, then nine times: the median on the clock, and the least
// processor time, which is what a machine that is not shared would need.
#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <filesystem>
#include <functional>

#include <boost/asio/io_context.hpp>
#include <unistd.h>

#include "db/ledger/ledger.hpp"
#include "db/ledger/rollup_reader.hpp"
#include "db/quality/capability_indices.hpp"
#include "tests/bench/plant_lots.hpp"

namespace {

using namespace padtrim;
using Clock = std::chrono::steady_clock;

template <class Work>
double seconds_of(Work work) {
    const auto began = Clock::now();
    work();
    return std::chrono::duration<double>(Clock::now() - began).count();
}

struct Times {
    double median_ms = 0.0, processor_ms = 0.0;
};

double processor_seconds() {
    timespec now{};
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
    return static_cast<double>(now.tv_sec) + 1e-9 * static_cast<double>(now.tv_nsec);
}

template <class Work>
Times times_of(Work work) {
    work();
    std::vector<double> clock, processor;
    for (int i = 0; i < 9; ++i) {
        const double began = processor_seconds();
        clock.push_back(1e3 * seconds_of(work));
        processor.push_back(1e3 * (processor_seconds() - began));
    }
    std::sort(clock.begin(), clock.end());
    return {clock[4], *std::min_element(processor.begin(), processor.end())};
}

struct Question {
    const char* name;
    std::function<std::size_t(ledger::RollupReader&)> ask;  // how many rows the answer has
};

std::size_t values(ledger::RollupReader& reader, const ledger::RollupFilter& filter,
                   ledger::RollupBy by, ledger::WithHistogram histogram) {
    ledger::PlaceFilter gain;
    gain.check = "gain";
    return reader.values(filter, gain, by, histogram).value().size();
}

// Ppk of every key from the sums alone.
std::size_t performance(ledger::RollupReader& reader) {
    ledger::PlaceFilter gain;
    gain.check = "gain";
    const auto rows =
        reader.values({}, gain, ledger::RollupBy::everything, ledger::WithHistogram::no).value();
    std::size_t answers = 0;
    for (const ledger::ValueRollup& row : rows) {
        const auto scatter = quality::overall_scatter(row.moments);
        if (scatter && quality::normal_indices(*scatter, {row.low, row.high})) ++answers;
    }
    return answers;
}

std::vector<Question> questions() {
    using ledger::RollupBy;
    using ledger::WithHistogram;
    ledger::RollupFilter lot, weeks, nests;
    lot.lot = "L-7";
    const auto first = std::chrono::floor<std::chrono::days>(support::at_second(0));
    weeks.since = first + std::chrono::days(3);
    weeks.until = first + std::chrono::days(17);
    return {
        {"yield, all time",
         [](auto& r) { return r.units({}, RollupBy::everything).value().size(); }},
        {"yield, by day", [](auto& r) { return r.units({}, RollupBy::day).value().size(); }},
        {"yield, by lot", [](auto& r) { return r.units({}, RollupBy::lot).value().size(); }},
        {"yield, by nest", [](auto& r) { return r.units({}, RollupBy::nest).value().size(); }},
        {"Ppk of every key, all time", [](auto& r) { return performance(r); }},
        {"means of every key, by day",
         [](auto& r) { return values(r, {}, RollupBy::day, WithHistogram::no); }},
        {"means of every key, two weeks, by nest",
         [weeks](auto& r) { return values(r, weeks, RollupBy::nest, WithHistogram::no); }},
        {"quantiles of every key, all time",
         [](auto& r) { return values(r, {}, RollupBy::everything, WithHistogram::yes); }},
        {"means of every key, one lot",
         [lot](auto& r) { return values(r, lot, RollupBy::lot, WithHistogram::no); }},
        {"failing checks, all time",
         [](auto& r) { return r.failures({}, {}, RollupBy::everything).value().size(); }},
        {"failing checks, by nest",
         [](auto& r) { return r.failures({}, {}, RollupBy::nest).value().size(); }},
    };
}

std::vector<Times> ask_all(const std::filesystem::path& folder, int units) {
    const std::string path = folder / (std::to_string(units) + ".ledger");
    {
        boost::asio::io_context context;
        (void)ledger::Ledger::open(path, context.get_executor(), ledger::Writing::inline_calls)
            .value();
    }
    const double filling = seconds_of([&] { bench::PlantLots(path).run(units); });
    std::printf("%d units filled in %.1f s, %.1f MB\n", units, filling,
                static_cast<double>(std::filesystem::file_size(path)) / 1e6);
    auto opened = std::move(ledger::Reader::open(path).value());
    ledger::RollupReader reader(*opened);
    std::vector<Times> times;
    for (const Question& question : questions()) {
        std::size_t rows = 0;
        times.push_back(times_of([&] { rows = question.ask(reader); }));
        std::printf("  %-40s %8.2f ms, processor %8.2f ms  %zu rows\n", question.name,
                    times.back().median_ms, times.back().processor_ms, rows);
    }
    return times;
}

}  // namespace

int main(int argc, char** argv) {
    const std::filesystem::path under = argc > 1 ? argv[1] : ".";
    const int few = argc > 2 ? std::atoi(argv[2]) : 100'000;
    const int many = argc > 3 ? std::atoi(argv[3]) : 1'000'000;
    const std::filesystem::path folder =
        under / ("bench-rollups-" + std::to_string(static_cast<long>(getpid())));
    std::filesystem::create_directories(folder);
    const auto small = ask_all(folder, few), large = ask_all(folder, many);
    std::printf("processor time at %d units / at %d\n", many, few);
    for (std::size_t i = 0; i < small.size(); ++i)
        std::printf("  %-40s %8.2f\n", questions()[i].name,
                    large[i].processor_ms / small[i].processor_ms);
    std::filesystem::remove_all(folder);
}
