#include <algorithm>

#include <fmt/format.h>

#include "station/answers/figures.hpp"
#include "station/answers/kilohertz.hpp"
#include "station/answers/printable.hpp"
#include "station/answers/times.hpp"
#include "station/cli/line_types.hpp"
#include "station/cli/panel_drawing.hpp"
#include "station/cli/report_texts.hpp"
#include "station/cli/table.hpp"

namespace padtrim::cli {
namespace {

using answers::printable;
using record::CheckResult;

std::string stamp(record::WallTime at) {
    return answers::minute_words(at) + " UTC";
}

class Page {
  public:
    Page(const answers::HistoryRun& run, const Paper& paper, bool newest, Checks which)
        : run_(run), about_(run.stored.summary), paper_(paper), newest_(newest), which_(which) {}

    Lines lines() {
        heading();
        verdict();
        if (newest_ && run_.plan) panel();
        lines_of_channels();
        trims();
        checks();
        decisions();
        return std::move(lines_);
    }

  private:
    void say(const std::string& line) { lines_.push_back(line); }
    void say_wrapped(const std::string& text) {
        for (const auto& line : wrapped(text, paper_.width - 2)) say("  " + line);
    }

    void heading() {
        std::string text = fmt::format("Run {} · lot {} · nest {} · station {} · {}", about_.run,
                                       printable(about_.lot_name, 60), about_.nest,
                                       printable(about_.station, 60), stamp(about_.started));
        if (about_.ended) text += ", " + answers::lasting(*about_.ended - about_.started);
        say("");
        say(styled(text, {Ink::plain, true}, paper_.colours));
        say(fmt::format("  try {} in this lot · recipe {} revision {} · plan {}{}{}",
                        about_.attempt, printable(about_.recipe, 60),
                        printable(about_.recipe_revision, 20), about_.plan_hash.substr(0, 12),
                        about_.measure_only ? " · measured only" : "", mark_of(about_.permission)));
    }

    void verdict() {
        if (!about_.ended)
            return say("  Running now, or cut off: the station's next start settles it.");
        const auto mark = answers::mark_of(about_.verdict, about_.disposition);
        Style style = style_of(mark);
        style.bold = true;
        say(styled(fmt::format("  {}, {}", upper(record::name_of(about_.verdict)),
                               record::name_of(about_.disposition)),
                   style, paper_.colours));
        say_wrapped(printable(about_.reason, 400));
        if (!about_.next_step.empty()) say_wrapped("> " + printable(about_.next_step, 400));
        say(fmt::format("  write-back: {}", record::name_of(about_.write_stage)));
    }

    void panel() {
        answers::NestStatus nest;
        nest.mark = answers::mark_of(about_.verdict, about_.disposition);
        nest.keys = answers::worst_margins(run_.stored.result.checks);
        if (nest.keys.empty()) return;
        say("");
        for (const auto& line :
             draw_panel(run_.plan->map, nest, Density::boxes).lines(paper_.colours)) {
            say("  " + line);
        }
        say("  Ten ticks a key: its worst margin, from 0 (on the limit) to 1 (certain).");
    }

    void lines_of_channels() {
        const auto& lines = run_.stored.result.lines;
        if (lines.empty() || !newest_) return;
        say("");
        say("  As found");
        std::vector<std::vector<std::string>> rows = {
            {"key", "channel", "kHz", "gain, counts/pF", "U 95 %", "offset, counts", "U 95 %"}};
        for (const auto& line : lines) {
            rows.push_back({printable(line.key, 12), std::to_string(line.channel),
                            answers::kilohertz(run_.plan, line.frequency),
                            answers::concise(line.gain, line.gain_standard),
                            fmt::format("{:.2g}", line.gain_expanded),
                            answers::concise(line.offset, line.offset_standard),
                            fmt::format("{:.2g}", line.offset_expanded)});
        }
        add_table(rows, {Side::left, Side::right, Side::right, Side::right, Side::right,
                         Side::right, Side::right});
    }

    void trims() {
        if (!newest_ || !run_.stored.observations) return;
        constexpr std::string_view moments[] = {"as found", "written", "read back",
                                                "after power off"};
        std::vector<std::vector<std::string>> rows = {
            {"trims", "gain registers", "offset registers"}};
        for (const auto& trims : run_.stored.observations->trims) {
            rows.push_back({std::string(moments[static_cast<std::size_t>(trims.moment)]),
                            numbers(trims.gain), numbers(trims.offset)});
        }
        if (rows.size() == 1) return;
        say("");
        add_table(rows, {Side::left, Side::left, Side::left});
    }

    static std::string numbers(const std::vector<std::int32_t>& values) {
        std::string text;
        for (const auto value : values) text += (text.empty() ? "" : " ") + std::to_string(value);
        return text;
    }

    // A place of a check that is shown, and for how many it stands.
    struct Shown {
        const CheckResult* check;
        std::size_t of;
    };
    [[nodiscard]] std::vector<Shown> shown_checks() const {
        std::vector<Shown> shown;
        for (const auto& check : run_.stored.result.checks) {
            const bool passed = check.verdict == record::Verdict::pass;
            if (!newest_ && passed) continue;
            const auto same = std::find_if(shown.begin(), shown.end(), [&](const Shown& other) {
                const auto& known = *other.check;
                return passed && which_ == Checks::worst && known.verdict == check.verdict &&
                       known.step == check.step && known.check == check.check &&
                       known.stage == check.stage;
            });
            if (same == shown.end()) {
                shown.push_back({&check, 1});
                continue;
            }
            ++same->of;
            if (check.margin < same->check->margin) same->check = &check;
        }
        return shown;
    }

    void checks() {
        std::vector<std::vector<std::string>> rows = {
            {"step", "check", "key", "kHz", "stage", "value", "allowed", "margin", "verdict"}};
        for (const auto& shown : shown_checks()) {
            rows.push_back(row(*shown.check));
            if (shown.of > 1) rows.back().back() += fmt::format(", worst of {}", shown.of);
        }
        if (rows.size() == 1) return;
        say("");
        add_table(rows, {Side::left, Side::left, Side::left, Side::right, Side::left, Side::right,
                         Side::left, Side::left, Side::left});
        if (newest_) traceability();
    }

    // Which results rest on the references, which only compare, which only indicate.
    void traceability() {
        const std::pair<record::Traceability, std::string_view> classes[] = {
            {record::Traceability::traceable, "Traceable to the references"},
            {record::Traceability::comparable, "Comparable, held by check standards"},
            {record::Traceability::indication, "Indication"}};
        for (const auto& [wanted, words] : classes) {
            std::vector<std::string> names;
            for (const auto& check : run_.stored.result.checks) {
                if (check.traceability != wanted) continue;
                if (std::find(names.begin(), names.end(), check.check) == names.end())
                    names.push_back(check.check);
            }
            if (names.empty()) continue;
            std::string list;
            for (const auto& name : names) list += (list.empty() ? "" : ", ") + printable(name, 24);
            say_wrapped(fmt::format("{}: {}.", words, list));
        }
    }

    std::vector<std::string> row(const CheckResult& check) const {
        const bool condition = check.unit == "1" && check.standard_uncertainty <= 0.0;
        std::string value = answers::concise(check.value, check.standard_uncertainty);
        if (check.unit != "1") value += " " + check.unit;
        if (condition) value = check.value > 0.0 ? "holds" : "does not hold";
        if (check.verdict == record::Verdict::no_verdict) value = "not read";
        const std::string margin =
            condition ? ""
                      : margin_strip(check.margin, false) + fmt::format(" {:.2g}", check.margin);
        const std::string limits = condition ? "" : answers::allowed(check.low, check.high);
        const std::string key = check.key.empty() && check.channel >= 0
                                    ? fmt::format("channel {}", check.channel)
                                    : printable(check.key, 12);
        return {printable(check.step, 24),
                printable(check.check, 24),
                key,
                answers::kilohertz(run_.plan, check.frequency),
                std::string(record::name_of(check.stage)),
                value,
                limits,
                margin,
                std::string(record::name_of(check.verdict))};
    }

    void decisions() {
        const auto& changes = run_.stored.dispositions;
        if (changes.size() < 2) return;
        say("");
        say("  Decisions");
        for (const auto& change : changes) {
            say_wrapped(fmt::format("{}  {} by {}: {}", stamp(change.at),
                                    record::name_of(change.disposition), printable(change.who, 40),
                                    printable(change.reason)));
        }
    }

    void add_table(const std::vector<std::vector<std::string>>& rows,
                   const std::vector<Side>& sides) {
        for (auto& line : table_lines(rows, sides)) say(line);
    }

    const answers::HistoryRun& run_;
    const ledger::RunSummary& about_;
    const Paper& paper_;
    bool newest_;
    Checks which_;
    Lines lines_;
};

}  // namespace

Lines unit_text(const answers::UnitHistory& history, const Paper& paper, Checks checks) {
    Lines lines = {styled(fmt::format("{} · {}", printable(history.serial, 60),
                                      answers::counted(history.runs.size(), "run")),
                          {Ink::plain, true}, paper.colours)};
    for (std::size_t i = 0; i < history.runs.size(); ++i) {
        const bool newest = i + 1 == history.runs.size();
        for (auto& line : Page(history.runs[i], paper, newest, checks).lines()) {
            lines.push_back(std::move(line));
        }
    }
    return lines;
}

}  // namespace padtrim::cli
