// How long the quality team's answers take, warm and without the start of a process, on two plants
// whose records are whole: runs, ends and checks of every unit. Prints medians and ratios; judges
// nothing.
//
//   bench_questions [folder] [units] [more units] [keep [words]]   default: current folder, 100000,
//   1000000
//
// Both plants work 200 days, the larger one with ten times the units a day: what is compared is
// how answers grow with units. They also grow with what they tell: days, lots, nests, keys.
//
// A million units take some minutes to fill and 5 GB; with `keep` plants stay, and one that is
// there is asked as it is; words choose the questions that hold them. The station's newest shift
// check blocks, and the good one before it is a shift's third old, so that some 500 units are in
// doubt.
#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <functional>

#include <boost/asio/io_context.hpp>
#include <unistd.h>

#include "db/ledger/ledger.hpp"
#include "recipes/language/load.hpp"
#include "station/answers/capability_answer.hpp"
#include "station/answers/control_answer.hpp"
#include "station/answers/drift_answer.hpp"
#include "station/answers/in_doubt.hpp"
#include "station/answers/outside_counts.hpp"
#include "station/answers/trace_answer.hpp"
#include "station/answers/yield_answer.hpp"
#include "tests/bench/plant_lots.hpp"

namespace {

using namespace padtrim;
using Clock = std::chrono::steady_clock;

double median_ms(const std::function<void()>& work) {
    work();
    std::vector<double> times;
    for (int i = 0; i < 7; ++i) {
        const auto began = Clock::now();
        work();
        times.push_back(1e3 * std::chrono::duration<double>(Clock::now() - began).count());
    }
    std::sort(times.begin(), times.end());
    return times[3];
}

// Two standards in two nests, K1's gain: a baseline of five, a good check, and one 0.6 % off.
void check_station(ledger::Database& database, int units) {
    const auto at = [&](int unit) { return bench::PlantLots::time_of(unit, units); };
    for (int i = 0; i < 7; ++i) {
        record::ShiftCheck check;
        const bool last = i == 6;
        check.station = support::sample_lot("L").station;
        check.fixture = support::sample_lot("L").fixture;
        check.at = last ? at(units) : at(std::max(0, units - 500 * (6 - i)));
        check.decision = last ? record::CheckDecision::blocked : record::CheckDecision::ready;
        check.baseline = 5;
        for (const char* serial : {"STD-1", "STD-2"})
            for (const std::uint16_t nest : {std::uint16_t{1}, std::uint16_t{2}}) {
                record::ChartPoint point;
                point.place = {serial, nest, "gain and offset", "gain", "K1", 0, 0};
                point.centre = 400.0;
                point.sigma = 0.1;
                point.low = 399.0;
                point.high = 401.0;
                point.value = 400.0 + 0.01 * i + (last ? 2.4 : 0.0);
                point.state = last ? record::ChartState::beyond : record::ChartState::within;
                point.unit = "counts/pF";
                check.points.push_back(point);
            }
        (void)ledger::rows::keep_shift_check(database, check).value();
    }
}

// 0.135, 50 and 99.865 % of every key, from the values themselves.
std::size_t percentiles(ledger::Reader& reader) {
    std::vector<std::vector<double>> values;
    (void)ledger::RollupReader(reader)
        .stream({}, {},
                [&](std::size_t place, std::span<const double> some) {
                    if (values.size() <= place) values.resize(place + 1);
                    values[place].insert(values[place].end(), some.begin(), some.end());
                })
        .value();
    std::size_t answers = 0;
    for (auto& of : values)
        for (const double share : {0.00135, 0.5, 0.99865}) {
            const auto at = of.begin() +
                            static_cast<std::ptrdiff_t>(share * static_cast<double>(of.size() - 1));
            std::nth_element(of.begin(), at, of.end());
            ++answers;
        }
    return answers;
}

struct Question {
    const char* name;
    std::function<std::size_t(ledger::Reader&)> ask;  // how much the answer holds
};

std::vector<Question> questions(int units) {
    const std::string station = support::sample_lot("L").station;
    const std::string unit = "U" + std::to_string(units / 2);
    answers::ControlWish lot;
    lot.values.runs.lot = "L-7";
    lot.values.key = "K1";
    return {
        {"yield, all time",
         [](auto& r) {
             return answers::yield_answer(r, {}, ledger::RollupBy::day, std::nullopt)
                 .value()
                 .groups.size();
         }},
        {"capability, all time",
         [](auto& r) {
             return answers::capability_answer(r, {}, record::Stage::as_found)
                 .value()
                 .places.size();
         }},
        {"other limits, all values",
         [](auto& r) {
             return answers::outside_counts(r, {}, {}, {390.0, 410.0}).value().size();
         }},
        {"percentiles, all values", [](auto& r) { return percentiles(r); }},
        {"chart, all time",
         [](auto& r) { return answers::control_answer(r, {}).value().places.size(); }},
        {"chart of one key of one lot",
         [lot](auto& r) { return answers::control_answer(r, lot).value().places.size(); }},
        {"drift, all time",
         [](auto& r) { return answers::drift_answer(r, {}).value().places.size(); }},
        {"units in doubt",
         [station](auto& r) {
             return answers::units_in_doubt(r, station, "").value().units.size();
         }},
        {"trace of one unit",
         [unit](auto& r) { return answers::unit_trace(r, unit).value().history.runs.size(); }},
    };
}

std::string plan_text() {
    const std::string root = PADTRIM_SOURCE_DIR;
    const auto loaded = language::load_plan({root + "/recipes/examples/hob-panel-8.toml",
                                             root + "/fixtures/units/hob-panel-8.toml",
                                             root + "/fixtures/profiles/hob-line-4-nests.toml"});
    return language::plan_text(*loaded.plan);
}

void fill(const std::string& path, int units) {
    {
        boost::asio::io_context context;
        (void)ledger::Ledger::open(path, context.get_executor(), ledger::Writing::inline_calls)
            .value();
    }
    const auto began = Clock::now();
    {
        bench::PlantLots(path, plan_text()).run(units);
        ledger::Database database(path, SQLite::OPEN_READWRITE);
        check_station(database, units);
    }
    std::printf("%d units filled in %.0f s, %.0f MB\n", units,
                std::chrono::duration<double>(Clock::now() - began).count(),
                static_cast<double>(std::filesystem::file_size(path)) / 1e6);
}

std::vector<double> ask_all(const std::filesystem::path& folder, int units,
                            const std::string& words) {
    const std::string path = folder / (std::to_string(units) + ".ledger");
    if (!std::filesystem::exists(path)) fill(path, units);
    auto reader = std::move(ledger::Reader::open(path, ledger::Pages::mapped).value());
    std::vector<double> times;
    for (const Question& question : questions(units)) {
        if (std::string(question.name).find(words) == std::string::npos) continue;
        std::size_t size = 0;
        times.push_back(median_ms([&] { size = question.ask(*reader); }));
        std::printf("  %-30s %9.2f ms  %zu\n", question.name, times.back(), size);
        std::fflush(stdout);
    }
    return times;
}

}  // namespace

int main(int argc, char** argv) {
    const std::filesystem::path under = argc > 1 ? argv[1] : ".";
    const int few = argc > 2 ? std::atoi(argv[2]) : 100'000;
    const int many = argc > 3 ? std::atoi(argv[3]) : 1'000'000;
    const bool keep = argc > 4 && std::string(argv[4]) == "keep";
    const std::filesystem::path folder =
        under /
        ("bench-questions" + (keep ? "" : "-" + std::to_string(static_cast<long>(getpid()))));
    std::filesystem::create_directories(folder);
    const std::string words = argc > 5 ? argv[5] : "";
    const auto small = ask_all(folder, few, words), large = ask_all(folder, many, words);
    std::printf("time at %d units / at %d\n", many, few);
    for (std::size_t i = 0, asked = 0; asked < small.size(); ++i) {
        const std::string name = questions(few)[i].name;
        if (name.find(words) == std::string::npos) continue;
        std::printf("  %-30s %9.2f\n", name.c_str(), large[asked] / small[asked]);
        ++asked;
    }
    if (!keep) std::filesystem::remove_all(folder);
}
