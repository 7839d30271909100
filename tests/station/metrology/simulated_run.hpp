// A simulated run for tests of judging: its own generator and physics, nothing of the bench's and
// nothing of the formulas under test.
//
//   reading = offset + gain * (true part + true step) + drift * t + bend + filtered noise, rounded
//
// References, fixture parts and temperature are drawn within their certificates for each run.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <map>
#include <random>
#include <string>
#include <vector>

#include "db/record/observations.hpp"
#include "tests/support/demo_documents.hpp"

namespace padtrim::metrology_test {

// Normal numbers by the polar method (Marsaglia and Bray 1964), the same with every library.
class Random {
  public:
    explicit Random(std::uint64_t seed) : engine_(seed) {}
    double uniform() { return (static_cast<double>(engine_() >> 11) + 0.5) * 0x1.0p-53; }
    double normal() {
        if (have_) {
            have_ = false;
            return spare_;
        }
        double u = 0.0, v = 0.0, s = 0.0;
        do {
            u = 2.0 * uniform() - 1.0;
            v = 2.0 * uniform() - 1.0;
            s = u * u + v * v;
        } while (s >= 1.0 || s == 0.0);
        const double f = std::sqrt(-2.0 * std::log(s) / s);
        spare_ = v * f;
        have_ = true;
        return u * f;
    }

  private:
    std::mt19937_64 engine_;
    bool have_ = false;
    double spare_ = 0.0;
};

struct Physics {
    double noise = 2.0;        // counts rms of one reading, before rounding
    double correlation = 0.0;  // of neighbouring readings
    double filter = 0.0;       // what the product's filter keeps of its last value, state to state
    double drift = 0.0;        // counts/s
    double bend = 0.0;         // counts at mid-span
    double gain_spread = 0.03, offset_spread = 60.0;
    double touch = 350.0;     // counts
    double neighbour = 0.03;  // part of the touch
    double finger_noise = 1;  // times the noise, on the touched key's channel
    int dead_channel = -1;
    int shorted_with_next = -1;
    int thick_glue_key = -1;
    bool trims_lost = false;
    bool redraw = true;  // references within their certificates
};

class SimulatedRun {
  public:
    SimulatedRun(const language::Plan& plan, const Physics& physics, std::uint64_t seed)
        : plan_(plan), physics_(physics), random_(seed) {
        draw();
        seen.nest = 1;
        seen.identity = record::IdentityRead{plan.map.product_code_value, "1.0", "D-1", ""};
    }

    record::Observations seen;

    [[nodiscard]] double gain(std::size_t channel, std::size_t frequency) const {
        return gain_[channel * frequencies() + frequency];
    }
    [[nodiscard]] double offset(std::size_t channel, std::size_t frequency) const {
        return offset_[channel * frequencies() + frequency];
    }
    // Offset in the middle of what was read so far, drift included.
    [[nodiscard]] double offset_halfway(std::size_t channel, std::size_t frequency) const {
        return offset(channel, frequency) + 0.5 * physics_.drift * time_;
    }
    [[nodiscard]] std::size_t channels() const { return plan_.map.channels; }
    [[nodiscard]] std::size_t frequencies() const { return plan_.map.frequencies.size(); }

    void identify() { done("identify"); }
    void contacts(const std::string& reference = "R2", unsigned scans = 2) {
        state("contacts", {}, {}, scans);
        for (std::uint16_t c = 0; c < channels(); ++c) state("contacts", reference, {c}, scans);
        state("contacts", {}, {}, scans);
        done("contacts");
    }
    void gain_and_offset(unsigned scans = 16) {
        climate();
        for (const char* reference : {"R1", "R2", "R3", "R4"}) {
            state("gain and offset", {}, {}, scans);
            state("gain and offset", reference, {}, scans);
        }
        state("gain and offset", {}, {}, scans);
        climate();
        done("gain and offset");
    }
    void noise(unsigned scans = 64) {
        state("noise", {}, {}, scans);
        done("noise");
    }
    void touch(unsigned scans = 8) {
        pins_ = false;
        for (const language::Key& key : plan_.map.keys) touch_key("touch", key, scans);
        pins_ = true;
        done("touch");
    }
    void write_trims(const std::vector<std::int32_t>& gain,
                     const std::vector<std::int32_t>& offset) {
        const std::vector<std::int32_t> none(channels(), 0);
        trims_gain_ = gain;
        trims_offset_ = offset;
        seen.trims.push_back({record::TrimMoment::as_found, none, none});
        seen.trims.push_back({record::TrimMoment::written, gain, offset});
        seen.trims.push_back({record::TrimMoment::read_back, gain, offset});
        done("write trims");
    }
    void power_cycle() {
        record::TrimsRead after = seen.trims.back();
        if (physics_.trims_lost) after = seen.trims.front();
        after.moment = record::TrimMoment::after_power_off;
        seen.trims.push_back(after);
        done("power-cycle");
    }
    void verify(unsigned scans = 16) {
        corrected_ = true;
        state("verify", {}, {}, scans);
        state("verify", "R5", {}, scans);
        state("verify", {}, {}, scans);
        corrected_ = false;
        for (const language::Key& key : plan_.map.keys) touch_key("verify", key, 0);
        done("verify");
    }
    // Everything before the write.
    void measure() {
        identify();
        contacts();
        gain_and_offset();
        noise();
        touch();
    }

    void state(const std::string& step, const std::string& reference,
               const std::vector<std::uint16_t>& at, unsigned scans) {
        record::Readings readings;
        readings.step = step;
        readings.situation.reference = reference;
        readings.situation.channels = at;
        readings.situation.pins_connected = pins_;
        readings.situation.reading = corrected_ ? record::Reading::corrected : record::Reading::raw;
        if (finger_) readings.situation.finger = *finger_;
        time_ += 0.02;
        for (auto& f : filtered_) f = random_.normal();
        for (unsigned i = 0; i < scans; ++i) readings.scans.push_back(scan(readings.situation));
        if (scans > 0) seen.readings.push_back(std::move(readings));
    }

  private:
    void done(const char* step) { seen.steps_done.emplace_back(step); }
    double drawn(double standard) { return physics_.redraw ? standard * random_.normal() : 0.0; }

    void draw() {
        const auto& equipment = plan_.fixture.equipment;
        const double meter = physics_.redraw ? random_.normal() : 0.0;
        kelvin_ = physics_.redraw ? random_.normal() : 0.0;
        const double sensor = drawn(0.25);
        shown_kelvin_ = kelvin_ + sensor;
        double tc = equipment.temperature_coefficient.value() * 1e-6;
        const double within = equipment.temperature_coefficient_half_width.value() * 1e-6;
        if (within > 0.0 && physics_.redraw) tc += within * (2.0 * random_.uniform() - 1.0);
        const double strays = equipment.definition_relative;
        const double left_out = strays > 0.0 ? drawn(strays) : 0.0;
        for (const auto& step : equipment.steps) {
            const double all = step.expanded_uncertainty.value() / step.coverage_factor;
            const double shared = step.common_relative * step.value.value();
            const double own = std::sqrt(all * all - shared * shared);
            const double value =
                step.value.value() * (1.0 + left_out) + shared * meter + drawn(own);
            true_step_[step.reference].push_back(value * (1.0 + tc * kelvin_));
            span_ = std::max(span_, value);
        }
        for (const auto& part : equipment.fixture_parts) {
            true_part_.push_back(part.value.value() +
                                 drawn(part.expanded_uncertainty.value() / part.coverage_factor));
        }
        for (std::size_t c = 0; c < channels(); ++c) {
            for (std::size_t f = 0; f < frequencies(); ++f) draw_series(static_cast<int>(c));
        }
        filtered_.assign(gain_.size(), 0.0);
    }

    void draw_series(int channel) {
        const bool dead = channel == physics_.dead_channel;
        const double gain = plan_.map.nominal_gain.value();
        gain_.push_back(dead ? 0.0 : gain * (1.0 + physics_.gain_spread * random_.normal()));
        offset_.push_back(plan_.map.nominal_offset.value() +
                          physics_.offset_spread * random_.normal());
    }

    void touch_key(const std::string& step, const language::Key& key, unsigned scans) {
        finger_ = record::FingerPose{key.name, key.x, key.y, Millimetre(40.0), false};
        state(step, {}, {}, scans);
        report(step, {});
        finger_->touching = true;
        report(step, key.name);
        state(step, {}, {}, scans);
        finger_.reset();
    }

    void report(const std::string& step, const std::string& touched) {
        record::TouchReport report{step, finger_, 0, {}};
        for (const auto& key : plan_.map.keys) report.reported.push_back(key.name == touched);
        seen.touch_reports.push_back(std::move(report));
    }

    void climate() {
        const double t = plan_.fixture.equipment.temperature.value() + shown_kelvin_;
        seen.climate.push_back(
            {static_cast<std::int64_t>(time_ * 1e6), Celsius(t), RelativeHumidity(40.0)});
    }

    [[nodiscard]] double load(const record::Situation& s, std::size_t channel) const {
        double load = s.pins_connected ? true_part_[channel] : 0.0;
        const bool here =
            s.channels.empty() || std::count(s.channels.begin(), s.channels.end(), channel) > 0;
        if (!s.reference.empty() && here) load += true_step_.at(s.reference)[channel];
        return load;
    }

    [[nodiscard]] double touched(const record::Situation& s, std::size_t channel) const {
        if (!s.finger || !s.finger->touching) return 0.0;
        for (std::size_t k = 0; k < plan_.map.keys.size(); ++k) {
            const auto& key = plan_.map.keys[k];
            if (key.name != s.finger->key) continue;
            const double glue = static_cast<int>(k) == physics_.thick_glue_key ? 0.4 : 1.0;
            return physics_.touch * (key.channels[0] == channel ? glue : physics_.neighbour);
        }
        return 0.0;
    }

    [[nodiscard]] double noise_on(const record::Situation& s, std::size_t channel) const {
        if (!s.finger || !s.finger->touching) return physics_.noise;
        for (const auto& key : plan_.map.keys) {
            if (key.name == s.finger->key && key.channels[0] == channel)
                return physics_.noise * physics_.finger_noise;
        }
        return physics_.noise;
    }

    record::Scan scan(const record::Situation& s) {
        record::Scan scan;
        scan.counter = ++counter_;
        time_ += 0.005;
        scan.at_us = static_cast<std::int64_t>(time_ * 1e6);
        const double r = physics_.correlation;
        for (std::size_t i = 0; i < gain_.size(); ++i) {
            const std::size_t channel = i / frequencies();
            double c = load(s, channel);
            const int pair = physics_.shorted_with_next;
            if (pair >= 0 &&
                (static_cast<int>(channel) == pair || static_cast<int>(channel) == pair + 1)) {
                c = load(s, pair) + load(s, pair + 1);
            }
            const double part = (c - true_part_[channel]) / span_;
            filtered_[i] = r * filtered_[i] + std::sqrt(1.0 - r * r) * random_.normal();
            double counts = offset_[i] + gain_[i] * c + physics_.drift * time_ +
                            physics_.bend * 4.0 * part * (1.0 - part) + touched(s, channel) +
                            noise_on(s, channel) * filtered_[i];
            if (physics_.filter > 0.0) {
                if (kept_.size() <= i) kept_.push_back(counts);
                kept_[i] += (1.0 - physics_.filter) * (counts - kept_[i]);
                counts = kept_[i];
            }
            if (s.reading == record::Reading::corrected) counts = corrected(counts, channel);
            scan.counts.push_back(static_cast<std::int32_t>(std::lround(counts)));
        }
        return scan;
    }

    [[nodiscard]] double corrected(double counts, std::size_t channel) const {
        const auto& map = plan_.map;
        const double g =
            std::ldexp(trims_gain_[channel], -static_cast<int>(map.gain_trim.fraction_bits));
        const double o =
            std::ldexp(trims_offset_[channel], -static_cast<int>(map.offset_trim.fraction_bits));
        return (std::round(counts) - o) * g + map.nominal_offset.value();
    }

    const language::Plan& plan_;
    Physics physics_;
    Random random_;
    std::map<std::string, std::vector<double>> true_step_;
    std::vector<double> true_part_, gain_, offset_, filtered_, kept_;
    std::vector<std::int32_t> trims_gain_, trims_offset_;
    std::optional<record::FingerPose> finger_;
    double time_ = 0.0, kelvin_ = 0.0, shown_kelvin_ = 0.0, span_ = 0.0;
    std::uint32_t counter_ = 0;
    bool pins_ = true, corrected_ = false;
};

}  // namespace padtrim::metrology_test
