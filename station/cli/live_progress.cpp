#include "station/cli/live_view.hpp"
#include "station/cli/progress.hpp"
#include "station/cli/screen.hpp"

namespace padtrim::cli {
namespace {

class LiveProgress : public Progress {
  public:
    LiveProgress(language::PlanPtr plan, answers::StationStatus before, Terminal terminal)
        : plan_(std::move(plan)),
          status_(std::move(before)),
          colours_(terminal.colours),
          screen_(terminal.output, terminal.input) {}

    void show(const engine::Event& event) override { apply(status_, event); }
    void remark(const std::string& line) override { status_.last_fault = line; }
    void stopping() override { status_.stopping = true; }
    void tick(std::chrono::milliseconds time) override {
        if (closed_) return;
        pass_time(status_, time);
        screen_.show(live_frame(status_, plan_->map, screen_.size(), colours_));
    }
    void close() override {
        closed_ = true;
        screen_.close();
    }
    [[nodiscard]] bool draws() const override { return !closed_; }

  private:
    const language::PlanPtr plan_;
    answers::StationStatus status_;
    const Colours colours_;
    Screen screen_;
    bool closed_ = false;
};

}  // namespace

std::unique_ptr<Progress> live_progress(language::PlanPtr plan, answers::StationStatus before,
                                        Terminal terminal) {
    return std::make_unique<LiveProgress>(std::move(plan), std::move(before), terminal);
}

}  // namespace padtrim::cli
