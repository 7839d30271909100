#include <boost/asio/co_spawn.hpp>
#include <boost/asio/detached.hpp>

#include "station/cli/live_view.hpp"
#include "station/cli/progress.hpp"
#include "station/cli/screen.hpp"

namespace padtrim::cli {
namespace {

namespace asio = boost::asio;
using namespace std::chrono_literals;

// Ten frames a second read as motion of the count-down and cost next to nothing.
constexpr auto frame_time = 100ms;

struct Picture {
    Picture(port::Clock& ticking, language::PlanPtr shown, answers::StationStatus before,
            Terminal on)
        : clock(ticking),
          plan(std::move(shown)),
          status(std::move(before)),
          terminal(on),
          screen(on.output, on.input) {}

    void draw() { screen.show(live_frame(status, plan->map, screen.size(), terminal.colours)); }

    port::Clock& clock;
    const language::PlanPtr plan;
    answers::StationStatus status;
    const Terminal terminal;
    Screen screen;
    bool closed = false;
};

asio::awaitable<void> redraw(std::shared_ptr<Picture> picture) {
    while (!picture->closed) {
        picture->draw();
        co_await picture->clock.sleep_for(frame_time);
        pass_time(picture->status, frame_time);
    }
}

class LiveProgress : public Progress {
  public:
    LiveProgress(asio::any_io_executor executor, std::shared_ptr<Picture> picture)
        : picture_(std::move(picture)) {
        asio::co_spawn(executor, redraw(picture_), asio::detached);
    }
    ~LiveProgress() override { close_picture(); }

    void show(const engine::Event& event) override { apply(picture_->status, event); }
    void remark(const std::string& line) override { picture_->status.last_fault = line; }
    void stopping() override { picture_->status.stopping = true; }
    void close() override { close_picture(); }

  private:
    void close_picture() {
        picture_->closed = true;
        picture_->screen.close();
    }
    std::shared_ptr<Picture> picture_;
};

}  // namespace

std::unique_ptr<Progress> live_progress(asio::any_io_executor executor, port::Clock& clock,
                                        language::PlanPtr plan, answers::StationStatus before,
                                        Terminal terminal) {
    auto picture = std::make_shared<Picture>(clock, std::move(plan), std::move(before), terminal);
    return std::make_unique<LiveProgress>(executor, std::move(picture));
}

}  // namespace padtrim::cli
