#include "station/cli/live_view.hpp"

#include <algorithm>
#include <optional>

#include <fmt/format.h>

#include "station/answers/figures.hpp"
#include "station/answers/printable.hpp"
#include "station/cli/line_types.hpp"
#include "station/cli/panel_drawing.hpp"

namespace padtrim::cli {
namespace {

using answers::Mark;
using answers::NestStatus;

constexpr std::size_t gap = 3;

std::string word_of(const NestStatus& nest) {
    if (nest.mark == Mark::running && !nest.question.empty()) return "asks";
    if (nest.mark == Mark::running && !nest.waits_for.empty()) return "waits";
    if (nest.mark == Mark::running) return answers::lasting(nest.left);
    if (nest.mark == Mark::waiting) return nest.sentence.empty() ? "" : "waiting";
    return upper(name_of(nest.mark));
}

std::string doing(const NestStatus& nest) {
    if (nest.mark != Mark::running) return "";
    std::string text = answers::printable(nest.step, 60);
    if (!nest.waits_for.empty()) return text + ", waits for " + nest.waits_for;
    if (!nest.key.empty()) text += ", key " + answers::printable(nest.key, 20);
    if (nest.of > 1) text += fmt::format(" · {} of {}", nest.done, nest.of);
    return text;
}

// What stands under a panel: progress, or what decided and what to do.
std::string note_of(const NestStatus& nest) {
    if (nest.mark == Mark::running) return doing(nest);
    if (nest.mark == Mark::pass) return "";
    return answers::printable(nest.reason.empty() ? nest.sentence
                                                  : nest.reason + " " + nest.sentence);
}

// How a nest is drawn: its panel, and so many lines for the note below; with none the note stands
// beside the serial.
struct Detail {
    Density density;
    std::size_t notes;
};
constexpr Detail details[] = {{Density::boxes, 3}, {Density::boxes, 2}, {Density::boxes, 1},
                              {Density::named, 2}, {Density::named, 1}, {Density::named, 0},
                              {Density::slim, 1},  {Density::slim, 0}};

// "Nest 1  HOB8-00417                   9 s"
void draw_heading(Canvas& sheet, const NestStatus& nest, bool with_note) {
    const std::size_t width = sheet.width();
    const std::string word = word_of(nest);
    const std::size_t used = 10 + answers::columns(word);
    sheet.write(0, 0, fmt::format("Nest {}", nest.number), {Ink::plain, true});
    std::string text = answers::printable(nest.serial, 60);
    if (with_note) text = answers::fitted(text, 12) + "  " + note_of(nest);
    sheet.write(8, 0, answers::fitted(text, width > used ? width - used : 0));
    Style style = style_of(nest.mark);
    style.bold = true;
    sheet.write(width - std::min(width, answers::columns(word)), 0, word, style);
}

Canvas draw_nest(const NestStatus& nest, const language::RegisterMap& map, const Detail& detail) {
    const Canvas panel = draw_panel(map, nest, detail.density);
    Canvas sheet(panel.width(), panel.height() + 1 + detail.notes);
    draw_heading(sheet, nest, detail.notes == 0);
    sheet.place(0, 1, panel);
    std::size_t y = panel.height() + 1;
    for (const auto& line : wrapped(note_of(nest), panel.width(), detail.notes)) {
        sheet.write(0, y++, line);
    }
    return sheet;
}

std::string nest_line(const NestStatus& nest, std::size_t width) {
    const std::string note = note_of(nest);
    return answers::fitted(fmt::format("Nest {}  {}  {}  {}", nest.number,
                                       answers::fitted(answers::printable(nest.serial, 60), 14),
                                       answers::fitted(word_of(nest), 12), note),
                           width);
}

std::optional<std::vector<std::string>> drawn_nests(const answers::StationStatus& status,
                                                    const language::RegisterMap& map,
                                                    const Detail& detail, TerminalSize room,
                                                    Colours colours) {
    const PanelLayout layout = layout_of(map, detail.density);
    if (layout.width > room.columns) return std::nullopt;
    const std::size_t abreast = (room.columns + gap) / (layout.width + gap);
    const std::size_t rows = (status.nests.size() + abreast - 1) / abreast;
    const std::size_t height = layout.height + 1 + detail.notes;
    if (rows * height > room.rows) return std::nullopt;
    Canvas sheet(room.columns, rows * height);
    for (std::size_t i = 0; i < status.nests.size(); ++i) {
        sheet.place(i % abreast * (layout.width + gap), i / abreast * height,
                    draw_nest(status.nests[i], map, detail));
    }
    return sheet.lines(colours);
}

std::vector<std::string> nests(const answers::StationStatus& status,
                               const language::RegisterMap& map, TerminalSize room,
                               Colours colours) {
    for (const Detail& detail : details) {
        if (auto lines = drawn_nests(status, map, detail, room, colours)) return *lines;
    }
    std::vector<std::string> lines;
    for (const auto& nest : status.nests) {
        Style style = style_of(nest.mark);
        lines.push_back(styled(nest_line(nest, room.columns), style, colours));
    }
    return lines;
}

// The last lines of the tape, since the newest units matter.
std::vector<std::string> tape(const answers::StationStatus& status, TerminalSize size,
                              Colours colours) {
    auto lines = tape_lines(status.tape, size.columns, colours);
    const std::size_t most = size.rows < 30 ? 1 : 3;
    if (lines.size() > most) {
        lines.erase(lines.begin(), lines.end() - static_cast<std::ptrdiff_t>(most));
    }
    if (size.rows < 12) return lines;
    for (auto& line : tape_legend(status.tape, size.columns, colours))
        lines.push_back(std::move(line));
    return lines;
}

Style sentence_style(const answers::StationStatus& status) {
    if (status.state == answers::StationState::blocked) return {Ink::stop, true};
    for (const auto& nest : status.nests) {
        if (nest.mark == Mark::fail) return {Ink::stop, true};
    }
    return {Ink::plain, true};
}

std::vector<std::string> footer(const answers::StationStatus& status, std::size_t width,
                                Colours colours) {
    const auto fit = [&](const std::string& text) {
        auto lines = wrapped(text, width, 1);
        return lines.empty() ? std::string() : lines.front();
    };
    std::vector<std::string> lines;
    const auto running = answers::running_units(status);
    for (auto& line : wrapped(answers::reconciliation(status.count, running), width, 2)) {
        lines.push_back(std::move(line));
    }
    std::string where =
        fmt::format("Lot {} · station {}, {} · {} revision {}", answers::printable(status.lot, 40),
                    answers::printable(status.station, 40), name_of(status.state), status.recipe,
                    status.recipe_revision);
    if (status.measure_only) where += " · measure only";
    if (status.again) where += " · passed units too";
    if (status.draft) where += " · DRAFT";
    lines.push_back(fit(where));
    constexpr const char* caution =
        "Caution: moving finger, live units; hands out of the fixture. Stopping commands is not "
        "stopping motion, and this screen is no safety function.";
    for (const auto& line : wrapped(caution, width, 2))
        lines.push_back(styled(line, {Ink::hand, false}, colours));
    lines.push_back(
        styled(fit(status.stopping ? "No more units are loaded. Ctrl-C again aborts the running "
                                     "ones."
                                   : "Ctrl-C: load no more units. Twice: abort the running ones."),
               {Ink::faint, false}, colours));
    return lines;
}

}  // namespace

std::vector<std::string> live_frame(const answers::StationStatus& status,
                                    const language::RegisterMap& map, TerminalSize size,
                                    Colours colours) {
    std::vector<std::string> lines;
    const std::string sentence = answers::printable(answers::next_sentence(status), 400);
    for (const auto& line : wrapped(sentence, size.columns, 2)) {
        lines.push_back(styled(line, sentence_style(status), colours));
    }
    auto strip = tape(status, size, colours);
    const auto foot = footer(status, size.columns, colours);
    const bool airy = size.rows >= 28;
    if (airy && !status.last_not_passed.empty()) {
        const std::string text =
            "Last not passed: " + answers::printable(status.last_not_passed, 400);
        for (auto& line : wrapped(text, size.columns, 2)) {
            strip.push_back(styled(line, {Ink::stop, false}, colours));
        }
    }
    if (airy) lines.emplace_back();
    const std::size_t used = lines.size() + strip.size() + foot.size() + (airy ? 1 : 0);
    const TerminalSize room{size.columns, size.rows > used ? size.rows - used : 0};
    for (auto& line : nests(status, map, room, colours)) lines.push_back(std::move(line));
    if (airy) lines.emplace_back();
    lines.insert(lines.end(), strip.begin(), strip.end());
    lines.insert(lines.end(), foot.begin(), foot.end());
    if (lines.size() > size.rows) lines.resize(size.rows);
    return lines;
}

void pass_time(answers::StationStatus& status, std::chrono::milliseconds time) {
    for (auto& nest : status.nests) {
        nest.left = std::max(nest.left - time, std::chrono::milliseconds(0));
    }
}

}  // namespace padtrim::cli
