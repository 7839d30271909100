// Observations drawn at random, extremes included: for round trips and fuzzing.
#pragma once

#include <cstdint>
#include <limits>
#include <random>
#include <string>
#include <vector>

#include "db/record/observations.hpp"

namespace padtrim::support {

class RandomObservations {
  public:
    explicit RandomObservations(std::uint64_t seed) : engine_(seed) {}

    record::Observations draw() {
        record::Observations seen;
        seen.nest = whole<std::uint16_t>();
        if (flag()) seen.identity = identity();
        fill(seen.climate, [&] { return climate(); });
        fill(seen.readings, [&] { return readings(); });
        fill(seen.touch_reports, [&] { return touch(); });
        fill(seen.trims, [&] { return trims(); });
        fill(seen.faults, [&] { return fault(); });
        fill(seen.steps_done, [&] { return text(); });
        seen.aborted = flag();
        fill(seen.answers, [&] { return answer(); });
        fill(seen.link_looks, [&] { return link_look(); });
        fill(seen.sightings, [&] { return sighting(); });
        fill(seen.attempts, [&] { return attempt(); });
        return seen;
    }

  private:
    record::AttemptNote attempt() {
        return {text(), whole<std::uint32_t>(), whole<std::int64_t>()};
    }
    std::uint64_t below(std::uint64_t limit) {
        return std::uniform_int_distribution<std::uint64_t>(0, limit - 1)(engine_);
    }
    bool flag() { return below(2) == 1; }
    // Small numbers, any number, and the ends of the type.
    template <class T>
    T whole() {
        switch (below(5)) {
            case 0:
                return std::numeric_limits<T>::max();
            case 1:
                return std::numeric_limits<T>::min();
            case 2:
                return static_cast<T>(engine_());
            default:
                return static_cast<T>(below(2000));
        }
    }
    double real() {
        switch (below(4)) {
            case 0:
                return -std::numeric_limits<double>::infinity();
            case 1:
                return std::numeric_limits<double>::denorm_min();
            default:
                return std::normal_distribution<double>(0.0, 1e3)(engine_);
        }
    }
    std::string text() {
        std::string letters;
        fill(letters, [&] { return static_cast<char>(engine_()); });
        return letters;
    }
    template <class List, class Make>
    void fill(List& list, Make make) {
        const std::uint64_t count = below(6);
        for (std::uint64_t i = 0; i < count; ++i) list.push_back(make());
    }
    std::vector<std::int32_t> registers() {
        std::vector<std::int32_t> values;
        fill(values, [&] { return whole<std::int32_t>(); });
        return values;
    }
    record::FingerPose pose() {
        return {text(), Millimetre(real()), Millimetre(real()), Millimetre(real()), flag()};
    }
    record::OperatorAnswer answer() {
        record::OperatorAnswer one{text(), text(), whole<std::int64_t>(), {}};
        if (flag()) one.yes = flag();
        return one;
    }
    record::LinkLook link_look() {
        record::LinkLook one{text(),
                             whole<std::int64_t>(),
                             whole<std::uint32_t>(),
                             whole<std::uint32_t>(),
                             whole<std::int64_t>(),
                             {}};
        if (flag()) one.supply = Volt(real());
        return one;
    }
    record::Sighting sighting() {
        record::Sighting one{text(), pose(), whole<std::int64_t>(), whole<std::int64_t>(), {}, {}};
        fill(one.reported, [&] { return flag(); });
        one.positions = registers();
        return one;
    }
    record::IdentityRead identity() { return {whole<std::uint32_t>(), text(), text(), text()}; }
    record::ClimateRead climate() {
        return {whole<std::int64_t>(), Celsius(real()), RelativeHumidity(real())};
    }
    record::Readings readings() {
        record::Readings readings;
        readings.step = text();
        readings.situation.reference = text();
        fill(readings.situation.channels, [&] { return whole<std::uint16_t>(); });
        readings.situation.pins_connected = flag();
        readings.situation.test_mode = flag();
        readings.situation.reading = flag() ? record::Reading::raw : record::Reading::corrected;
        if (flag()) readings.situation.finger = pose();
        fill(readings.scans, [&] {
            return record::Scan{whole<std::uint32_t>(), whole<std::int64_t>(), registers()};
        });
        return readings;
    }
    record::TouchReport touch() {
        record::TouchReport report;
        report.step = text();
        if (flag()) report.finger = pose();
        report.at_us = whole<std::int64_t>();
        fill(report.reported, [&] { return flag(); });
        return report;
    }
    record::TrimsRead trims() {
        return {static_cast<record::TrimMoment>(below(4)), registers(), registers()};
    }
    record::FaultNote fault() {
        const auto blame = flag() ? record::Blame::unit : record::Blame::fixture;
        return {text(), text(), text(), text(), blame};
    }

    std::mt19937_64 engine_;
};

}  // namespace padtrim::support
