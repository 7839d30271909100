#include "station/report/page.hpp"

#include <boost/json/array.hpp>

#include "station/answers/figures.hpp"
#include "station/answers/printable.hpp"
#include "station/charts/scripts.hpp"
#include "station/report/page_style.hpp"

namespace padtrim::report {
namespace {

using answers::Json;

// Draws each figure into its place once the page stands; before printing nothing has to change.
constexpr const char* start_script = R"js(
for (const place of document.querySelectorAll("[data-figure]")) {
  const figure = JSON.parse(document.getElementById("figures").textContent)[Number(place.dataset.figure)];
  if (figure.places) padtrimDrawing.drawPanel(place, figure);
  else if (figure.units) padtrimDrawing.drawTape(place, figure);
  else padtrimDrawing.drawChart(place, figure);
}
document.documentElement.dataset.drawn = "yes";
)js";

// Cells that are not worth a second line.
constexpr std::size_t most_brief = 16;
// Tables of more columns are set smaller, so that they fit the sheet.
constexpr std::size_t most_columns = 8;

// A text inside <script> must not end it.
std::string for_script(const Json& json) {
    std::string safe;
    for (const char c : answers::text_of(json)) {
        if (c == '<')
            safe += "\\u003c";
        else
            safe += c;
    }
    return safe;
}

// Its table stands in the page already.
answers::Chart without_table(answers::Chart chart) {
    chart.table = {};
    return chart;
}

class Writer {
  public:
    std::string page(const answers::Report& report) {
        for (const auto& sheet : report.sheets) add(report, sheet);
        // The policy forbids every address: the page can neither load nor tell anything.
        return "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
               "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; "
               "style-src 'unsafe-inline'; script-src 'unsafe-inline'\">\n"
               "<meta name=\"viewport\" content=\"width=device-width\">\n<title>" +
               escaped(report.title) + "</title>\n<style>" + page_style +
               "</style>\n</head>\n<body>\n" + text_ +
               "<script type=\"application/json\" id=\"figures\">" + for_script(figures_) +
               "</script>\n<script>" + std::string(charts::library_script()) +
               "</script>\n<script>" + std::string(charts::drawing_script()) +
               "</script>\n<script>" + start_script + "</script>\n</body>\n</html>\n";
    }

  private:
    void add(const answers::Report& report, const answers::Sheet& sheet) {
        text_ += "<section class=\"sheet\">\n";
        if (&sheet == &report.sheets.front()) text_ += "<h1>" + escaped(report.title) + "</h1>\n";
        if (sheet.title != report.title) text_ += "<h2>" + escaped(sheet.title) + "</h2>\n";
        for (const auto& sentence : sheet.sentences)
            text_ += "<p>" + escaped(answers::with_minus(sentence)) + "</p>\n";
        for (const auto& tape : sheet.tapes) add(tape);
        for (const auto& panel : sheet.panels) add(panel);
        for (const auto& table : sheet.tables) add(table);
        for (const auto& chart : sheet.charts) add(chart);
        add_block(report, sheet);
        text_ += "</section>\n";
    }

    void add_block(const answers::Report& report, const answers::Sheet& sheet) {
        text_ += "<div class=\"block\"><div class=\"whole\"><span>sheet</span>" +
                 escaped(sheet.title) + "</div>";
        for (const auto& [name, value] : report.block)
            text_ += "<div><span>" + escaped(name) + "</span>" + escaped(value) + "</div>";
        if (report.block.size() % 2 == 1) text_ += "<div></div>";
        text_ += "</div>\n";
    }

    void add(const answers::Table& given) {
        if (given.rows.empty()) return;
        const answers::Table table = answers::for_reading(given);
        text_ += table.columns.size() > most_columns ? "<table class=\"wide\">" : "<table>";
        if (!table.title.empty()) text_ += "<caption>" + escaped(table.title) + "</caption>";
        text_ += "<thead><tr>";
        for (const auto& column : table.columns) {
            text_ += column.number ? "<th class=\"n\" scope=\"col\">" : "<th scope=\"col\">";
            text_ += escaped(column.title);
            if (!column.unit.empty() && column.unit != "1") text_ += "<br>" + escaped(column.unit);
            text_ += "</th>";
        }
        text_ += "</tr></thead><tbody>\n";
        for (const auto& row : table.rows) {
            text_ += "<tr>";
            for (std::size_t i = 0; i < row.size(); ++i) {
                const bool number = i < table.columns.size() && table.columns[i].number;
                const bool brief = answers::columns(row[i].text) <= most_brief;
                text_ += number ? "<td class=\"n\">" : brief ? "<td class=\"s\">" : "<td>";
                text_ += escaped(row[i].text) + "</td>";
            }
            text_ += "</tr>\n";
        }
        text_ += "</tbody></table>\n";
    }

    void folded(const answers::Table& table) {
        text_ +=
            "<details><summary>Table, " + std::to_string(table.rows.size()) + " rows</summary>\n";
        add(table);
        text_ += "</details>\n";
    }

    void place_of(const char* kind, Json description) {
        text_ += "<div class=\"" + std::string(kind) + "\" data-figure=\"" +
                 std::to_string(figures_.size()) + "\"></div>\n";
        figures_.push_back(std::move(description));
    }

    void add(const answers::Chart& chart) {
        text_ += "<figure id=\"" + escaped(chart.id) + "\"><h3>" + escaped(chart.title) + "</h3>\n";
        place_of(chart.below ? "chart below" : "chart", to_json(without_table(chart)));
        text_ += "<figcaption><p>" + escaped(answers::with_minus(chart.sentence)) + "</p>\n";
        add_remarks(chart);
        folded(chart.table);
        text_ += "</figcaption></figure>\n";
    }

    void add_remarks(const answers::Chart& chart) {
        std::string items;
        for (const auto& series : chart.series)
            for (const auto& dot : series.dots)
                if (!dot.remark.empty())
                    items += "<li>" + escaped(answers::with_minus(dot.remark)) + "</li>\n";
        if (!items.empty()) text_ += "<ol type=\"a\" class=\"remarks\">" + items + "</ol>\n";
    }

    void add(const answers::TapeFigure& tape) {
        text_ += "<figure id=\"" + escaped(tape.id) + "\"><h3>" + escaped(tape.title) + "</h3>\n";
        place_of("tape", to_json(tape));
        text_ += "<figcaption><p>" + escaped(tape.sentence) + "</p>\n";
        folded(table_of(tape));
        text_ += "</figcaption></figure>\n";
    }

    void add(const answers::PanelFigure& figure) {
        text_ +=
            "<figure id=\"" + escaped(figure.id) + "\"><h3>" + escaped(figure.title) + "</h3>\n";
        place_of("panel", to_json(figure));
        text_ += "<figcaption><p>" + escaped(answers::with_minus(figure.sentence)) + "</p>\n";
        folded(figure.table);
        for (const auto& chart : figure.charts)
            if (!chart.table.rows.empty()) folded_of(chart);
        text_ += "</figcaption></figure>\n";
    }

    void folded_of(const answers::Chart& chart) {
        answers::Table table = chart.table;
        table.title = chart.title;
        folded(table);
    }

    std::string text_;
    boost::json::array figures_;
};

}  // namespace

std::string escaped(std::string_view text) {
    std::string safe;
    for (const char c : answers::printable_lines(text)) {
        switch (c) {
            case '&':
                safe += "&amp;";
                break;
            case '<':
                safe += "&lt;";
                break;
            case '>':
                safe += "&gt;";
                break;
            case '"':
                safe += "&quot;";
                break;
            case '\'':
                safe += "&#39;";
                break;
            default:
                safe += c;
        }
    }
    return safe;
}

std::string page_of(const answers::Report& report) {
    return Writer().page(report);
}

}  // namespace padtrim::report
