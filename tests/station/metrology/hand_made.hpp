// Observations made by hand, for tests of values: readings whose mean and scatter are known
// numbers, on a small product with round references.
//
// The eight deviations of `white` add up to nothing, their squares to 8 a^2, the products of
// neighbours to -a^2: -1/8 of the squares, which is just what independent readings show on average.
// So their correlation is 0, the variance of one reading 8 a^2 / 7, that of their mean a^2 / 7.
#pragma once

#include <array>
#include <functional>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include <gtest/gtest.h>

#include "station/metrology/judge.hpp"
#include "tests/support/demo_documents.hpp"

namespace padtrim::metrology_test {

inline constexpr std::array<int, 8> white{1, 1, -1, -1, 1, -1, -1, 1};

// Counts and deviation of each series; by default the same everywhere.
struct Shown {
    std::vector<int> counts;
    std::vector<int> deviation{0};
    [[nodiscard]] int count(std::size_t i) const { return counts[i % counts.size()]; }
    [[nodiscard]] int swing(std::size_t i) const { return deviation[i % deviation.size()]; }
};

class HandMade {
  public:
    HandMade(std::size_t channels, std::size_t frequencies) : series_(channels * frequencies) {
        plan.recipe = test_support::demo_recipe();
        plan.recipe.steps.clear();
        plan.map = test_support::demo_register_map();
        plan.map.channels = static_cast<std::uint16_t>(channels);
        plan.map.keys.resize(channels);
        plan.map.frequencies.clear();
        for (std::size_t f = 0; f < frequencies; ++f)
            plan.map.frequencies.emplace_back(200.0 + 50.0 * static_cast<double>(f));
        plan.fixture = test_support::demo_fixture_profile({});
        auto& equipment = plan.fixture.equipment;
        equipment.temperature_coefficient = PartsPerMillionPerKelvin(0.0);
        equipment.steps.clear();
        equipment.fixture_parts.clear();
    }

    language::Plan plan;
    record::Observations seen;

    // A reference known exactly on every channel; the test puts doubts in.
    language::CharacterisedStep& reference(const std::string& name, double picofarad,
                                           std::uint16_t channel = 0) {
        language::CharacterisedStep step;
        step.channel = channel;
        step.reference = name;
        step.value = Picofarad(picofarad);
        plan.fixture.equipment.steps.push_back(step);
        return plan.fixture.equipment.steps.back();
    }
    language::FixturePart& part(double picofarad, double expanded, std::uint16_t channel = 0) {
        language::FixturePart part;
        part.channel = channel;
        part.value = Picofarad(picofarad);
        part.expanded_uncertainty = Picofarad(expanded);
        plan.fixture.equipment.fixture_parts.push_back(part);
        return plan.fixture.equipment.fixture_parts.back();
    }
    void step(const std::string& name, language::StepBody body) {
        plan.recipe.steps.push_back({name, language::OnFailure::go_on, std::move(body)});
        seen.steps_done.push_back(name);
    }
    record::Situation& state(const std::string& step, const std::string& reference,
                             const Shown& shown, const std::array<int, 8>& shape = white) {
        record::Readings readings;
        readings.step = step;
        readings.situation.reference = reference;
        for (const int deviation : shape) {
            record::Scan scan;
            scan.counter = ++scans_;
            scan.at_us = 1000 * static_cast<std::int64_t>(scans_);
            for (std::size_t i = 0; i < series_; ++i)
                scan.counts.push_back(shown.count(i) + deviation * shown.swing(i));
            readings.scans.push_back(std::move(scan));
        }
        seen.readings.push_back(std::move(readings));
        return seen.readings.back().situation;
    }
    // The finger over a key, at a height above a nominal surface.
    [[nodiscard]] record::FingerPose finger(const std::string& key, double height) const {
        const double z = plan.fixture.finger->surface_height.value() + height;
        return {key, Millimetre(0.0), Millimetre(0.0), Millimetre(z), height <= 0.0};
    }
    void look(const std::string& step, const std::string& key, double height, bool reported) {
        record::TouchReport report{step, finger(key, height), 0, {}};
        for (const auto& each : plan.map.keys)
            report.reported.push_back(reported && each.name == key);
        seen.touch_reports.push_back(std::move(report));
    }

    [[nodiscard]] record::UnitResult judged() const {
        return metrology::judge(plan, plan.fixture.equipment, seen);
    }
    // The only check of this name at this place; a test failure when there is none.
    [[nodiscard]] record::CheckResult check(const std::string& name, int channel = -1,
                                            int frequency = -1) const {
        for (const auto& check : judged().checks) {
            const bool here = (channel < 0 || check.channel == channel) &&
                              (frequency < 0 || check.frequency == frequency);
            if (check.check != name || !here) continue;
            EXPECT_NE(check.verdict, record::Verdict::no_verdict) << check.note;
            return check;
        }
        ADD_FAILURE() << "no check " << name;
        return {};
    }

  private:
    std::size_t series_;
    std::uint32_t scans_ = 0;
};

}  // namespace padtrim::metrology_test
