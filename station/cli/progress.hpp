// How a running lot is shown: drawn on a terminal, as plain lines, or as JSON lines.
#pragma once

#include <chrono>
#include <functional>
#include <memory>
#include <string>

#include "recipes/language/plan.hpp"
#include "station/answers/station_status.hpp"
#include "station/cli/canvas.hpp"
#include "station/engine/events.hpp"

namespace padtrim::cli {

class Progress {
  public:
    virtual ~Progress() = default;
    virtual void show(const engine::Event& event) = 0;
    // A remark of the command itself.
    virtual void remark(const std::string& line) = 0;
    // A person asked for no more units.
    virtual void stopping() = 0;
    // Time has passed: what moves is drawn anew. Called ten times a second while `open`.
    virtual void tick(std::chrono::milliseconds time) = 0;
    // The lot has ended; gives the terminal back.
    virtual void close() = 0;
    [[nodiscard]] virtual bool draws() const { return false; }
};

using WriteLine = std::function<void(const std::string&)>;

// A line for each event; of a step only its beginning and each new key.
[[nodiscard]] std::unique_ptr<Progress> plain_progress(WriteLine write);
[[nodiscard]] std::unique_ptr<Progress> json_progress(WriteLine write);

struct Terminal {
    int output = 1, input = 0;
    Colours colours = Colours::none;
};
// Draws at each tick until closed. `before` is what is known of the lot.
[[nodiscard]] std::unique_ptr<Progress> live_progress(language::PlanPtr plan,
                                                      answers::StationStatus before,
                                                      Terminal terminal);

}  // namespace padtrim::cli
