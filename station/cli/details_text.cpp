// One run in full: budgets, noise, crosstalk.
#include <sstream>

#include <fmt/format.h>

#include "station/answers/kilohertz.hpp"
#include "station/answers/printable.hpp"
#include "station/cli/report_texts.hpp"

namespace padtrim::cli {
namespace {

class DetailsPage {
  public:
    DetailsPage(const answers::UnitDetails& details, const answers::HistoryRun& run,
                const Paper& paper)
        : details_(details), run_(run), paper_(paper) {}

    Lines lines() {
        heading(fmt::format("Run {} in full", run_.stored.summary.run));
        for (const auto& gap : details_.gaps) lines_.push_back("  " + answers::printable(gap));
        for (const auto& line : details_.lines) {
            place(line.channel, line.frequency, line.key);
            add(metrology::text_of(line));
            add_noise_of(line.channel, line.frequency);
        }
        if (details_.lines.empty()) noise_alone();
        budgets();
        crosstalk();
        frequencies();
        return std::move(lines_);
    }

  private:
    void heading(const std::string& text) {
        lines_.emplace_back();
        lines_.push_back(styled(text, {Ink::plain, true}, paper_.colours));
    }
    void place(int channel, int frequency, const std::string& key) {
        heading(fmt::format("Channel {}, {} kHz{}", channel,
                            answers::kilohertz(run_.plan, frequency),
                            key.empty() ? "" : ", " + answers::printable(key, 40)));
    }
    void add(const std::string& text) {
        std::istringstream in(answers::printable_lines(text));
        for (std::string line; std::getline(in, line);) lines_.push_back(line);
    }
    void add_noise_of(int channel, int frequency) {
        for (const auto& noise : details_.noise) {
            if (noise.channel == channel && noise.frequency == frequency)
                add(metrology::text_of(noise));
        }
    }
    void noise_alone() {
        for (const auto& noise : details_.noise) {
            place(noise.channel, noise.frequency, noise.key);
            add(metrology::text_of(noise));
        }
    }
    void budgets() {
        for (const auto& one : details_.budgets) {
            heading(fmt::format("Step {}, channel {}, {} kHz{}", answers::printable(one.step),
                                one.channel, answers::kilohertz(run_.plan, one.frequency),
                                one.key.empty() ? "" : ", " + answers::printable(one.key, 40)));
            add(metrology::budget_text(one.budget));
        }
    }
    void crosstalk() {
        if (details_.crosstalk.empty()) return;
        heading("Crosstalk, % of the touched key's change, lowest frequency first");
        for (const auto& matrix : details_.crosstalk) add(metrology::text_of(matrix));
    }
    void frequencies() {
        if (details_.frequencies.empty()) return;
        heading("Touch at each frequency over the mean of all, each divided by its gain");
        std::vector<std::string> names;
        for (std::size_t f = 0; f < run_.plan->map.frequencies.size(); ++f)
            names.push_back(answers::kilohertz(run_.plan, static_cast<int>(f)));
        for (const auto& key : details_.frequencies) add(metrology::text_of(key, names));
    }

    const answers::UnitDetails& details_;
    const answers::HistoryRun& run_;
    const Paper& paper_;
    Lines lines_;
};

}  // namespace

Lines details_text(const answers::UnitDetails& details, const answers::HistoryRun& run,
                   const Paper& paper) {
    return DetailsPage(details, run, paper).lines();
}

}  // namespace padtrim::cli
