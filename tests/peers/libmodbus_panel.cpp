#include "tests/peers/libmodbus_panel.hpp"

#include <cerrno>
#include <cmath>
#include <cstdint>
#include <span>
#include <stdexcept>

#include "fixtures/codec/registers.hpp"

namespace padtrim::peers {

using language::Register;
using language::RegisterTable;

namespace {

constexpr int image_size = 1024;
constexpr std::uint8_t write_one = 0x06, write_many = 0x10;

std::uint16_t word_at(const std::uint8_t* bytes) {
    return static_cast<std::uint16_t>(bytes[0] << 8 | bytes[1]);
}

}  // namespace

LibmodbusPanel::LibmodbusPanel(const language::RegisterMap& map, PanelTruth truth,
                               const std::string& port)
    : map_(map),
      truth_(std::move(truth)),
      link_(modbus_new_rtu(port.c_str(), 115200, 'E', 8, 1)),
      image_(modbus_mapping_new(image_size, image_size, image_size, image_size)),
      loads_(map.channels, 0.0),
      stored_gain_(map.channels, std::int32_t{1} << map.gain_trim.fraction_bits),
      stored_offset_(map.channels, 0) {
    if (link_ == nullptr || image_ == nullptr || modbus_set_slave(link_, map.address) != 0 ||
        modbus_connect(link_) != 0)
        throw std::runtime_error("libmodbus cannot serve on " + port);
    modbus_set_indication_timeout(link_, 0, 50'000);  // to look at stop_
    thread_ = std::thread([this] { serve(); });
}

LibmodbusPanel::~LibmodbusPanel() {
    stop_ = true;
    thread_.join();
    modbus_close(link_);
    modbus_mapping_free(image_);
    modbus_free(link_);
}

void LibmodbusPanel::serve() {
    std::array<std::uint8_t, MODBUS_RTU_MAX_ADU_LENGTH> query{};
    while (!stop_) {
        const int size = modbus_receive(link_, query.data());
        if (size <= 0) {
            if (size < 0 && errno != ETIMEDOUT) modbus_flush(link_);
            continue;
        }
        const std::lock_guard lock(guard_);
        if (!powered_) continue;
        ++queries_;
        report_touch();
        modbus_reply(link_, query.data(), size, image_);
        obey(query.data(), size);
    }
}

// The registers themselves are libmodbus's to write; this is what the firmware makes of it.
void LibmodbusPanel::obey(const std::uint8_t* query, int size) {
    if (size < 8 || (query[1] != write_one && query[1] != write_many)) return;
    const std::uint16_t first = word_at(query + 2);
    if (query[1] == write_one) {
        written(first, word_at(query + 4));
        return;
    }
    for (std::uint16_t at = 0; at < word_at(query + 4); ++at)
        written(static_cast<std::uint16_t>(first + at), word_at(query + 7 + 2 * at));
}

bool LibmodbusPanel::goes_on(const std::vector<language::Command>& sequence, std::size_t& next,
                             std::uint16_t address, std::uint16_t value) const {
    const auto fits = [&](std::size_t at) {
        return sequence[at].address == address && sequence[at].value == value;
    };
    next = fits(next) ? next + 1 : (fits(0) ? 1 : 0);
    if (next < sequence.size()) return false;
    next = 0;
    return true;
}

void LibmodbusPanel::written(std::uint16_t address, std::uint16_t value) {
    const auto is = [&](const language::Command& command) {
        return command.address == address && command.value == value;
    };
    if (is(map_.enter_test_mode.front())) test_mode_ = true;
    if (is(map_.leave_test_mode.front())) test_mode_ = false;
    if (is(map_.scan_trigger)) scan();
    if (is(map_.restart.front())) boot();
    if (address == map_.unlock.front().address &&
        goes_on(map_.unlock, unlock_next_, address, value))
        unlocked_ = true;
    if (!is(map_.commit.front()) || !unlocked_) return;
    stored_gain_ = get_all(map_.gain_trim.where);
    stored_offset_ = get_all(map_.offset_trim.where);
    unlocked_ = false;
    put(*map_.commit_done, 0, 1);
}

void LibmodbusPanel::boot() {
    test_mode_ = unlocked_ = false;
    put(map_.product_code, 0, map_.product_code_value);
    const std::span<std::uint16_t> inputs(image_->tab_input_registers, image_size);
    if (!codec::put_text(map_.firmware, inputs.subspan(map_.firmware.address), "LM 1") ||
        !codec::put_text(map_.serial, inputs.subspan(map_.serial.address), truth_.serial))
        throw std::logic_error("the identity does not fit its registers");
    put(map_.test_mode, 0, map_.test_mode_off);
    put(*map_.commit_done, 0, 0);
    put(map_.scan_done, 0, 0);
    put_all(map_.gain_trim.where, stored_gain_);
    put_all(map_.offset_trim.where, stored_offset_);
}

void LibmodbusPanel::scan() {
    put(map_.scan_counter, 0, ++counter_);
    const Values gain = get_all(map_.gain_trim.where);
    const Values offset = get_all(map_.offset_trim.where);
    for (std::uint16_t channel = 0; channel < map_.channels; ++channel) {
        for (std::size_t f = 0; f < map_.frequencies.size(); ++f) {
            const double raw = std::round(reading(channel, f));
            const double corrected =
                (raw -
                 std::ldexp(offset[channel], -static_cast<int>(map_.offset_trim.fraction_bits))) *
                    std::ldexp(gain[channel], -static_cast<int>(map_.gain_trim.fraction_bits)) +
                map_.nominal_offset.value();
            const std::size_t place = channel * map_.frequencies.size() + f;
            put(map_.raw_counts, place, std::llround(raw));
            put(map_.corrected_counts, place, std::llround(corrected));
        }
    }
    put(map_.scan_done, 0, 1);
}

double LibmodbusPanel::reading(std::uint16_t channel, std::size_t frequency) {
    noise_state_ = noise_state_ * 1664525U + 1013904223U;  // Numerical Recipes' constants
    const double noise = truth_.noise * (std::ldexp(noise_state_ >> 8, -23) - 1.0);
    const double touch =
        touched_ >= 0 && map_.keys[static_cast<std::size_t>(touched_)].channels.front() == channel
            ? truth_.touch
            : 0.0;
    const double response = 1.0 - 0.004 * static_cast<double>(frequency);
    return truth_.offset[channel] + truth_.gain[channel] * response * loads_[channel] + touch +
           noise;
}

// Outside test mode the product says which keys are touched.
void LibmodbusPanel::report_touch() {
    for (std::size_t key = 0; key < map_.keys.size(); ++key)
        image_->tab_input_bits[map_.touch_report.address + key] =
            !test_mode_ && touched_ == static_cast<int>(key) ? 1 : 0;
}

void LibmodbusPanel::put(const Register& where, std::size_t index, std::int64_t value) {
    std::uint16_t* table =
        where.table == RegisterTable::input ? image_->tab_input_registers : image_->tab_registers;
    const std::span<std::uint16_t> words(table, image_size);
    if (!codec::put_integer(where, words.subspan(where.address), index, value))
        throw std::logic_error("a value does not fit its register");
}

void LibmodbusPanel::put_all(const Register& where, const Values& values) {
    for (std::size_t at = 0; at < values.size(); ++at) put(where, at, values[at]);
}

LibmodbusPanel::Values LibmodbusPanel::get_all(const Register& where) const {
    const std::span<const std::uint16_t> words(image_->tab_registers, image_size);
    Values values(where.cells);
    for (std::size_t at = 0; at < values.size(); ++at)
        values[at] =
            static_cast<std::int32_t>(codec::integer_at(where, words.subspan(where.address), at));
    return values;
}

void LibmodbusPanel::set_loads(std::vector<double> picofarads) {
    const std::lock_guard lock(guard_);
    loads_ = std::move(picofarads);
}

void LibmodbusPanel::set_touched(int key) {
    const std::lock_guard lock(guard_);
    touched_ = key;
}

void LibmodbusPanel::set_power(bool on) {
    const std::lock_guard lock(guard_);
    if (on && !powered_) boot();
    powered_ = on;
}

std::vector<std::int32_t> LibmodbusPanel::stored_gain() const {
    const std::lock_guard lock(guard_);
    return stored_gain_;
}

std::vector<std::int32_t> LibmodbusPanel::stored_offset() const {
    const std::lock_guard lock(guard_);
    return stored_offset_;
}

}  // namespace padtrim::peers
