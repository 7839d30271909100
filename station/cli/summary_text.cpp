#include <algorithm>

#include <fmt/format.h>

#include "station/answers/figures.hpp"
#include "station/answers/kilohertz.hpp"
#include "station/answers/printable.hpp"
#include "station/answers/yield_report.hpp"
#include "station/cli/line_types.hpp"
#include "station/cli/report_texts.hpp"
#include "station/cli/table.hpp"

namespace padtrim::cli {
namespace {

using answers::Mark;
using answers::printable;

class Sheet {
  public:
    Sheet(const answers::LotReport& report, const Whereabouts& where, const Paper& paper)
        : report_(report), where_(where), paper_(paper) {}

    Lines lines() {
        title();
        tape();
        yield();
        channels();
        not_passed();
        whereabouts();
        try_next();
        return std::move(lines_);
    }

  private:
    void say(const std::string& line) { lines_.push_back(line); }
    void blank() { lines_.emplace_back(); }
    void heading(const std::string& text) {
        blank();
        say(styled(text, {Ink::plain, true}, paper_.colours));
    }
    void say_wrapped(const std::string& text, std::size_t indent) {
        const std::size_t width = std::max<std::size_t>(paper_.width, indent + 20) - indent;
        for (const auto& line : wrapped(text, width)) say(std::string(indent, ' ') + line);
    }

    void title() {
        const auto& lot = report_.lot;
        blank();
        say(styled(fmt::format("Lot {} · {}", printable(lot.name, 60),
                               answers::counted(lot.count.loaded, "unit")),
                   {Ink::plain, true}, paper_.colours));
        say_wrapped(fmt::format("{} · recipe {} revision {} · fixture {} · station {}{}{}",
                                printable(lot.product, 60), printable(lot.recipe, 60),
                                printable(lot.recipe_revision, 20), printable(lot.fixture, 60),
                                printable(lot.station, 60),
                                lot.measure_only ? " · measured only, nothing written" : "",
                                mark_of(lot.permission)),
                    0);
    }

    void tape() {
        if (report_.tape.empty()) return;
        blank();
        for (const auto& line : tape_lines(report_.tape, paper_.width - 2, paper_.colours)) {
            say("  " + line);
        }
        for (const auto& line : tape_legend(report_.tape, paper_.width - 2, paper_.colours)) {
            say("  " + line);
        }
    }

    void yield() {
        blank();
        say("  " + answers::reconciliation(report_.lot.count));
        if (!report_.yield) return;
        const auto& yield = *report_.yield;
        say(fmt::format("  First-pass yield {}: {} of {} at the first try",
                        answers::share_text(yield.first_pass), yield.first_pass.part,
                        answers::counted(yield.first_pass.whole, "unit")));
        if (yield.final_pass.part != yield.first_pass.part) {
            say(fmt::format("  Final yield      {}: {} in the end",
                            answers::share_text(yield.final_pass), yield.final_pass.part));
        }
        say_wrapped("Brackets: 95 % interval (Wilson). Units without a verdict count neither way.",
                    2);
    }

    void channels() {
        if (report_.lines.empty()) return;
        heading("Gain and offset as found, by channel");
        auto table = channel_table(true);
        const bool fits = std::all_of(table.begin(), table.end(), [&](const std::string& line) {
            return answers::columns(line) <= paper_.width;
        });
        if (!fits) table = channel_table(false);
        lines_.insert(lines_.end(), table.begin(), table.end());
        say_wrapped(
            "401.3(9): mean of the units, with one unit's standard uncertainty in the last "
            "digits.",
            2);
    }

    // Without the extremes it fits 80 columns.
    [[nodiscard]] Lines channel_table(bool extremes) const {
        std::vector<std::vector<std::string>> rows = {{"key", "channel", "kHz", "gain, counts/pF",
                                                       "lowest", "highest", "offset, counts",
                                                       "lowest", "highest", "units"}};
        for (const auto& line : report_.lines) {
            rows.push_back({printable(line.key, 12), std::to_string(line.channel),
                            answers::kilohertz(report_.plan, line.frequency),
                            answers::concise(line.gain.mean, line.gain.mean_standard),
                            fmt::format("{:.1f}", line.gain.low),
                            fmt::format("{:.1f}", line.gain.high),
                            answers::concise(line.offset.mean, line.offset.mean_standard),
                            fmt::format("{:.0f}", line.offset.low),
                            fmt::format("{:.0f}", line.offset.high), std::to_string(line.units)});
        }
        if (!extremes) {
            for (auto& row : rows)
                for (const int column : {8, 7, 5, 4}) row.erase(row.begin() + column);
        }
        std::vector<Side> sides(rows.front().size(), Side::right);
        sides.front() = Side::left;
        return table_lines(rows, sides);
    }

    void not_passed() {
        if (report_.groups.empty() && report_.set_aside.empty()) return;
        heading("What did not pass, and why");
        constexpr std::size_t most = 12;
        for (std::size_t i = 0; i < report_.groups.size() && i < most; ++i) {
            group(report_.groups[i]);
        }
        if (report_.groups.size() > most) {
            say(fmt::format("  and {} more; padtrim unit SERIAL tells each.",
                            report_.groups.size() - most));
        }
        for (std::size_t i = 0; i < report_.set_aside.size() && i < most; ++i) {
            const auto& unit = report_.set_aside[i];
            say_wrapped(
                fmt::format("{} set aside: {}", serial_text(unit.serial), printable(unit.reason)),
                2);
        }
    }

    static std::string serial_text(const std::string& serial) {
        return serial.empty() ? "a unit without a readable serial" : printable(serial, 40);
    }

    void group(const answers::UnitGroup& group) {
        std::string serials;
        for (std::size_t i = 0; i < group.serials.size() && i < 4; ++i) {
            serials += (i ? ", " : "") + serial_text(group.serials[i]);
        }
        if (group.serials.size() > 4) serials += fmt::format(", ... ({})", group.serials.size());
        const std::string mark = tape_mark(group.mark);
        say(fmt::format("  {} {}  {}", mark, answers::fitted(name_of(group.mark), 12), serials));
        say_wrapped(printable(group.reason, 400), 18);
        if (!group.next_step.empty()) say_wrapped("> " + printable(group.next_step, 400), 18);
    }

    [[nodiscard]] std::string tape_mark(Mark mark) const {
        return tape_lines({{"", 1, mark}}, 10, paper_.colours).front();
    }

    void whereabouts() {
        heading("Where the results are");
        say(fmt::format("  records  {}", printable(where_.records)));
        say_wrapped("SQLite: raw counts, limits, verdicts; never edited", 11);
        if (!where_.log.empty()) say("  log      " + printable(where_.log));
    }

    void try_next() {
        heading("What to try next");
        const std::string records = " --records " + printable(where_.records);
        std::string example = report_.tape.empty() ? "" : report_.tape.front().serial;
        if (!report_.groups.empty()) example = report_.groups.front().serials.front();
        if (!example.empty()) {
            say("  " + where_.program + " unit " + printable(example, 40) + records);
        }
        say("  " + where_.program + " yield" + records + " --by recipe");
        say("  " + where_.program + " run --help");
    }

    const answers::LotReport& report_;
    const Whereabouts& where_;
    const Paper& paper_;
    Lines lines_;
};

}  // namespace

Lines summary_text(const answers::LotReport& report, const Whereabouts& where, const Paper& paper) {
    return Sheet(report, where, paper).lines();
}

}  // namespace padtrim::cli
