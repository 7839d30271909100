#include "station/cli/progress.hpp"

#include <map>

#include <boost/json/object.hpp>

#include "station/answers/json.hpp"
#include "station/answers/printable.hpp"

namespace padtrim::cli {
namespace {

class PlainProgress : public Progress {
  public:
    explicit PlainProgress(WriteLine write) : write_(std::move(write)) {}

    void show(const engine::Event& event) override {
        // A drawing can fill as keys are judged; lines of text would bury what happens.
        if (std::holds_alternative<engine::KeysJudged>(event)) return;
        const auto* step = std::get_if<engine::StepProgress>(&event);
        if (!step || is_new(*step)) write_(answers::line_of(event));
    }
    void remark(const std::string& line) override { write_(answers::printable(line, 400)); }
    void stopping() override { write_("no more units are loaded; running ones end"); }
    void tick(std::chrono::milliseconds) override {}
    void close() override {}

  private:
    bool is_new(const engine::StepProgress& step) {
        const std::string now = step.serial + '\n' + step.step + '\n' + step.key;
        std::string& before = steps_[step.nest];
        if (before == now) return false;
        before = now;
        return true;
    }
    WriteLine write_;
    std::map<std::uint16_t, std::string> steps_;
};

class JsonProgress : public Progress {
  public:
    explicit JsonProgress(WriteLine write) : write_(std::move(write)) {}

    void show(const engine::Event& event) override {
        write_(answers::text_of(answers::to_json(event)));
    }
    void remark(const std::string& line) override {
        write_(answers::text_of(boost::json::object{{"remark", line}}));
    }
    void stopping() override { remark("no more units are loaded; running ones end"); }
    void tick(std::chrono::milliseconds) override {}
    void close() override {}

  private:
    WriteLine write_;
};

}  // namespace

std::unique_ptr<Progress> plain_progress(WriteLine write) {
    return std::make_unique<PlainProgress>(std::move(write));
}

std::unique_ptr<Progress> json_progress(WriteLine write) {
    return std::make_unique<JsonProgress>(std::move(write));
}

}  // namespace padtrim::cli
