#include "station/cli/plot.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include <fmt/format.h>

#include "station/answers/figures.hpp"
#include "station/answers/printable.hpp"
#include "station/cli/fitted_table.hpp"

namespace padtrim::cli {
namespace {

using answers::Chart;
using answers::Dot;
using answers::LimitKind;
using answers::Scale;
using answers::Shape;

constexpr std::size_t label_width = 10, widest_plot = 110, most_remarks = 8;
constexpr std::size_t longest_cell = 8000;  // places of a lot's largest sample

struct Range {
    double low = std::numeric_limits<double>::infinity();
    double high = -std::numeric_limits<double>::infinity();
    void take(double value) {
        if (!std::isfinite(value)) return;
        low = std::min(low, value);
        high = std::max(high, value);
    }
    [[nodiscard]] bool empty() const { return !(low <= high); }
    // Limits far away would press everything else into one line.
    [[nodiscard]] bool near(double value) const {
        const double room = high > low ? 3.0 * (high - low) : 1.0 + std::abs(high);
        return value >= low - room && value <= high + room;
    }
    void widen() {
        if (high > low) return;
        const double by = high == 0.0 ? 1.0 : 0.05 * std::abs(high);
        low -= by;
        high += by;
    }
};

class Plot {
  public:
    Plot(const Chart& chart, std::size_t width, std::size_t height)
        : chart_(chart), sheet_(width, height), width_(width), height_(height) {
        for (const auto& series : chart.series) reach(series);
        if (!drawable()) return;
        for (const auto& limit : chart.limits) {
            Range& range = limit.of_x ? x_ : y_;
            if (range.near(limit.value)) range.take(limit.value);
        }
        if (chart.y.low) y_.take(*chart.y.low);
        x_.widen();
        y_.widen();
        for (const auto& limit : chart.limits) draw(limit);
        for (const auto& series : chart.series) draw(series);
    }
    [[nodiscard]] bool drawable() const { return !x_.empty() && !y_.empty(); }

    Lines lines(Colours colours) const {
        Lines lines;
        const auto drawn = sheet_.lines(colours);
        for (std::size_t row = 0; row < drawn.size(); ++row) {
            const bool labelled = row == 0 || row == height_ / 2 || row + 1 == height_;
            const std::string label = labelled ? y_text(value_at(row)) : "";
            lines.push_back(std::string(label_width - answers::columns(label), ' ') + label + " │" +
                            drawn[row]);
        }
        const std::string first = x_text(x_.low), last = x_text(x_.high);
        const std::size_t used = answers::columns(first) + answers::columns(last);
        const std::size_t gap = width_ > used ? width_ - used : 1;
        lines.push_back(std::string(label_width + 2, ' ') + first + std::string(gap, ' ') + last);
        return lines;
    }

  private:
    void reach(const answers::Series& series) {
        for (const auto& dot : series.dots) {
            x_.take(dot.x);
            y_.take(dot.y);
            if (dot.low) y_.take(*dot.low);
            if (dot.high) y_.take(*dot.high);
        }
        if (series.shape == Shape::bars) y_.take(0.0);
    }
    [[nodiscard]] double value_at(std::size_t row) const {
        return y_.high -
               (y_.high - y_.low) * static_cast<double>(row) / static_cast<double>(height_ - 1);
    }
    // A share of so many cells; 0 where it is no number, as it is across the whole range of double.
    static std::size_t cell_of(double share, std::size_t cells) {
        if (!std::isfinite(share)) return 0;
        return static_cast<std::size_t>(
            std::lround(std::clamp(share, 0.0, 1.0) * static_cast<double>(cells - 1)));
    }
    [[nodiscard]] std::size_t column_of(double x) const {
        return cell_of((x - x_.low) / (x_.high - x_.low), width_);
    }
    [[nodiscard]] std::size_t row_of(double y) const {
        return cell_of((y_.high - y) / (y_.high - y_.low), height_);
    }
    [[nodiscard]] bool inside(const Range& range, double value) const {
        return value >= range.low && value <= range.high;
    }

    void draw(const answers::LimitLine& limit) {
        if (!inside(limit.of_x ? x_ : y_, limit.value)) return;
        const bool heavy = limit.kind == LimitKind::specification;
        const Style style{heavy ? Ink::plain : Ink::faint, false};
        if (limit.of_x) {
            const char32_t glyph = heavy ? U'┃' : U'┆';
            for (std::size_t row = 0; row < height_; ++row)
                sheet_.put(column_of(limit.value), row, glyph, style);
            return;
        }
        const char32_t glyph = heavy ? U'━' : limit.kind == LimitKind::control ? U'╌' : U'┄';
        for (std::size_t column = 0; column < width_; ++column)
            if (limit.kind != LimitKind::centre || column % 4 != 3)
                sheet_.put(column, row_of(limit.value), glyph, style);
    }

    void draw(const answers::Series& series) {
        for (const auto& dot : series.dots) {
            if (!std::isfinite(dot.x) || !std::isfinite(dot.y)) continue;
            switch (series.shape) {
                case Shape::bars:
                    draw_bar(dot, series.dots.size());
                    break;
                case Shape::steps:
                    sheet_.put(column_of(dot.x), row_of(dot.y), U'╌', {Ink::faint, false});
                    break;
                case Shape::intervals:
                    draw_interval(dot);
                    [[fallthrough]];
                default:
                    draw_point(dot, series.stroke);
            }
        }
    }
    void draw_point(const Dot& dot, answers::Stroke stroke) {
        const bool struck = !dot.remark.empty();
        const char32_t glyph = struck ? U'╳' : stroke == answers::Stroke::continuous ? U'o' : U'·';
        sheet_.put(column_of(dot.x), row_of(dot.y), glyph,
                   {struck ? Ink::stop : Ink::live, struck});
    }
    void draw_interval(const Dot& dot) {
        if (!dot.low || !dot.high) return;
        for (std::size_t row = row_of(*dot.high); row <= row_of(*dot.low); ++row)
            sheet_.put(column_of(dot.x), row, U'│');
    }
    // A column of whole cells with an eighth on top.
    void draw_bar(const Dot& dot, std::size_t bars) {
        static constexpr char32_t eighths[] = U" ▁▂▃▄▅▆▇";
        const double share = dot.y / y_.high;
        if (!std::isfinite(share)) return;
        const double cells = std::clamp(share, 0.0, 1.0) * static_cast<double>(height_ - 1);
        const auto whole = static_cast<std::size_t>(std::floor(cells));
        const auto part = static_cast<std::size_t>((cells - std::floor(cells)) * 8.0);
        const std::size_t wide = std::max<std::size_t>(1, (width_ - 1) / (2 * bars));
        for (std::size_t i = 0; i < wide; ++i) {
            const std::size_t column = column_of(dot.x) + i;
            for (std::size_t row = 0; row < whole; ++row)
                sheet_.put(column, height_ - 1 - row, U'█');
            if (part > 0) sheet_.put(column, height_ - 1 - whole, eighths[part]);
        }
    }

    [[nodiscard]] std::string y_text(double value) const {
        return chart_.y.share ? answers::percent(value) : fmt::format("{:.5g}", value);
    }
    [[nodiscard]] std::string x_text(double value) const {
        if (chart_.x.scale == Scale::moment)
            return answers::iso_8601(
                       record::WallTime(std::chrono::milliseconds(static_cast<long long>(value))))
                .substr(0, 16);
        if (chart_.x.scale == Scale::number) return fmt::format("{:.5g}", value);
        const auto at = static_cast<std::size_t>(std::max(0.0, std::round(value)));
        return at < chart_.x.names.size() ? answers::printable(chart_.x.names[at], 30) : "";
    }

    const Chart& chart_;
    Canvas sheet_;
    std::size_t width_, height_;
    Range x_, y_;
};

bool ranked(const Chart& chart) {
    return std::any_of(chart.series.begin(), chart.series.end(),
                       [](const auto& series) { return series.shape == Shape::ranked; });
}

// Bars that lie, as wide as name and note leave room.
void add_ranks(Lines& lines, const Chart& chart, std::size_t width) {
    constexpr std::size_t widest_name = 40, note_width = 18;
    std::size_t names = 0;
    double most = 0.0;
    for (const auto& name : chart.x.names)
        names = std::max(names, std::min(widest_name, answers::columns(name)));
    for (const auto& dot : chart.series.front().dots) most = std::max(most, dot.y);
    if (width < names + note_width + 4 || most <= 0.0) return;
    const auto room = static_cast<double>(width - names - note_width - 3);
    for (const auto& dot : chart.series.front().dots) {
        const auto name =
            answers::printable(chart.x.names.at(static_cast<std::size_t>(dot.x)), widest_name);
        std::string line =
            std::string(names - std::min(names, answers::columns(name)), ' ') + name + " │";
        for (long i = std::lround(dot.y / most * room); i > 0; --i) line += "█";
        lines.push_back(line + " " + dot.note);
    }
}

void add_wrapped(Lines& lines, const std::string& text, const Paper& paper) {
    for (auto& line : wrapped(text, paper.width)) lines.push_back(std::move(line));
}

void add_remarks(Lines& lines, const Chart& chart, const Paper& paper) {
    std::size_t told = 0, all = 0;
    for (const auto& series : chart.series) {
        for (const auto& dot : series.dots) {
            if (dot.remark.empty() || ++all > most_remarks) continue;
            ++told;
            add_wrapped(lines, "  ╳ " + answers::printable(dot.remark, 160), paper);
        }
    }
    if (all > told) lines.push_back(fmt::format("  and {} more", all - told));
}

}  // namespace

Lines plot_lines(const Chart& chart, const Paper& paper, std::size_t height) {
    Lines lines = {styled(answers::printable(chart.title), {Ink::plain, true}, paper.colours)};
    const std::size_t width = std::min(paper.width, widest_plot);
    if (ranked(chart)) {
        add_ranks(lines, chart, width);
    } else if (width > label_width + 12) {
        const Plot plot(chart, width - label_width - 3, height);
        if (plot.drawable())
            for (auto& line : plot.lines(paper.colours)) lines.push_back(std::move(line));
    }
    add_wrapped(lines, chart.sentence, paper);
    add_remarks(lines, chart, paper);
    return lines;
}

Lines table_text(const answers::Table& given, const Paper& paper) {
    const answers::Table table = answers::for_reading(given);
    Lines lines;
    if (!table.title.empty())
        lines.push_back(styled(answers::printable(table.title), {Ink::plain, true}, paper.colours));
    std::vector<std::vector<std::string>> rows(1);
    std::vector<Side> sides;
    for (const auto& column : table.columns) {
        rows.front().push_back(column.unit.empty() || column.unit == "1"
                                   ? column.title
                                   : column.title + ", " + column.unit);
        sides.push_back(column.number ? Side::right : Side::left);
    }
    for (const auto& row : table.rows) {
        std::vector<std::string> cells;
        for (const auto& cell : row) cells.push_back(answers::printable(cell.text, longest_cell));
        cells.resize(sides.size());
        rows.push_back(std::move(cells));
    }
    for (auto& line : fitted_table(rows, sides, paper)) lines.push_back(std::move(line));
    return lines;
}

Lines sheet_text(const answers::Sheet& sheet, const Paper& paper) {
    Lines lines = {styled(answers::printable(sheet.title), {Ink::plain, true}, paper.colours)};
    for (const auto& sentence : sheet.sentences) add_wrapped(lines, sentence, paper);
    for (const auto& table : sheet.tables) {
        if (table.rows.empty()) continue;
        lines.emplace_back();
        for (auto& line : table_text(table, paper)) lines.push_back(std::move(line));
    }
    for (const auto& chart : sheet.charts) {
        lines.emplace_back();
        for (auto& line : plot_lines(chart, paper)) lines.push_back(std::move(line));
    }
    return lines;
}

}  // namespace padtrim::cli
