// A panel unit whose Modbus server is libmodbus: not a line of our codec between its registers and
// the wire.
//
// Register image and firmware follow the register map: identity, test mode, scan with counter and
// done flag, trims with unlock, commit to a memory that outlives power-off, touch report. The
// sensor is linear: counts = offset + gain * load + touch, with a little deterministic noise. One
// thread of its own; loads, touch and power are set from outside at any time.
#pragma once

#include <array>
#include <atomic>
#include <cstdint>
#include <memory>
#include <mutex>
#include <string>
#include <thread>
#include <vector>

#include <modbus.h>

#include "recipes/language/register_map.hpp"

namespace padtrim::peers {

struct PanelTruth {
    std::string serial;
    std::vector<double> gain, offset;  // counts/pF, counts; one a channel
    double touch = 350.0;              // counts
    double noise = 2.0;                // counts, largest
};

class LibmodbusPanel {
  public:
    LibmodbusPanel(const language::RegisterMap& map, PanelTruth truth, const std::string& port);
    ~LibmodbusPanel();
    LibmodbusPanel(const LibmodbusPanel&) = delete;
    LibmodbusPanel& operator=(const LibmodbusPanel&) = delete;

    void set_loads(std::vector<double> picofarads);
    void set_touched(int key);  // -1: none
    void set_power(bool on);
    // What its memory holds, register values.
    [[nodiscard]] std::vector<std::int32_t> stored_gain() const;
    [[nodiscard]] std::vector<std::int32_t> stored_offset() const;
    [[nodiscard]] unsigned queries() const { return queries_; }

  private:
    using Values = std::vector<std::int32_t>;
    void serve();
    void obey(const std::uint8_t* query, int size);
    void written(std::uint16_t address, std::uint16_t value);
    [[nodiscard]] bool goes_on(const std::vector<language::Command>& sequence, std::size_t& next,
                               std::uint16_t address, std::uint16_t value) const;
    void boot();
    void scan();
    [[nodiscard]] double reading(std::uint16_t channel, std::size_t frequency);
    void report_touch();
    void put(const language::Register& where, std::size_t index, std::int64_t value);
    void put_all(const language::Register& where, const Values& values);
    [[nodiscard]] Values get_all(const language::Register& where) const;

    const language::RegisterMap& map_;
    PanelTruth truth_;
    modbus_t* link_;
    modbus_mapping_t* image_;
    mutable std::mutex guard_;
    std::vector<double> loads_;
    int touched_ = -1;
    bool powered_ = false, test_mode_ = false;
    std::uint32_t counter_ = 0, noise_state_ = 12345;
    std::size_t unlock_next_ = 0;
    bool unlocked_ = false;
    Values stored_gain_, stored_offset_;
    std::atomic<unsigned> queries_{0};
    std::atomic<bool> stop_{false};
    std::thread thread_;
};

}  // namespace padtrim::peers
