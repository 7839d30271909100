// A chart as a plain value: what is drawn, with its limits, its notes and its table. The terminal,
// the report and the web pages draw the same description; its table is also its CSV. Pure.
//
// A description says what things mean (a specification limit, a point that signals), never how they
// look: each face draws that in its own line types.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "station/answers/json.hpp"

namespace padtrim::answers {

// order: whole numbers from 0, each with its name; moment: milliseconds since 1970, UTC.
enum class Scale { number, order, moment };

struct Axis {
    std::string title, unit;
    Scale scale = Scale::number;
    std::vector<std::string> names = {};  // of an axis in order
    std::optional<double> low = {}, high = {};
    bool share = false;  // values are shares of 1, read in percent
};

// intervals: a stroke from low to high with the value on it; steps: a level from one place to the
// next; ranked: bars that lie, the first on top, each with its note at the end.
enum class Shape { line, points, bars, intervals, steps, ranked };
enum class Stroke { continuous, dashed, dotted };
[[nodiscard]] std::string_view name_of(Shape shape);
[[nodiscard]] std::string_view name_of(Stroke stroke);

struct Dot {
    double x = 0.0, y = 0.0;
    std::optional<double> low = {}, high = {};
    std::string remark = {};  // what is out of the ordinary here: the point is struck out
    std::string note = {};    // of a ranked bar
};
struct Series {
    std::string name;
    Shape shape = Shape::line;
    Stroke stroke = Stroke::continuous;
    std::vector<Dot> dots = {};
};

// specification: allowed by the recipe; control: what the process does by itself; centre: its mean.
enum class LimitKind { specification, control, centre };
[[nodiscard]] std::string_view name_of(LimitKind kind);
struct LimitLine {
    std::string name;
    double value = 0.0;
    LimitKind kind = LimitKind::control;
    bool of_x = false;  // stands upright
};

// A cell is read by people, or, where it holds a number, by programs in full.
struct TableCell {
    std::string text;
    std::optional<double> value;
    TableCell(std::string words) : text(std::move(words)) {}  // NOLINT: cells are made of words
    TableCell(const char* words) : text(words) {}             // NOLINT
    TableCell(std::string words, double number) : text(std::move(words)), value(number) {}
};
// "12", "12.3 %", "0.0123": so many digits, whole numbers in full, and "-" for what is no number.
[[nodiscard]] TableCell count_cell(std::uint64_t count);
[[nodiscard]] TableCell number_cell(double value, int digits = 4);
[[nodiscard]] TableCell share_cell(double share);
// "< 0.001" where a model's tail says less than anybody could have counted.
[[nodiscard]] TableCell ppm_cell(double parts_per_million);

struct Column {
    std::string title, unit;
    bool number = false;
};
struct Table {
    std::string title;
    std::vector<Column> columns;
    std::vector<std::vector<TableCell>> rows = {};
};

struct Chart {
    std::string id;  // of lower-case letters, digits and '-': names the chart in pages and files
    std::string title;
    std::string sentence;  // what it says, in one sentence
    Axis x, y;
    std::vector<Series> series = {};
    std::vector<LimitLine> limits = {};
    Table table = {};
    bool below = false;  // belongs under the chart before it, lower than that
};

// Keys at their places on the panel, in mm from its lower left corner, y upwards.
struct PanelPlace {
    std::string key;
    bool round = false;
    double x = 0.0, y = 0.0, width = 0.0, height = 0.0;  // centre and size
    std::string value;                                   // in two words at most
    std::string detail = {};                             // one sentence
    double tone = 0.0;                                   // 0 nothing to see, 1 the worst: hatching
    Stroke outline = Stroke::continuous;                 // verdict by line type
    std::optional<std::size_t> chart = {};               // its own small chart
};
struct PanelFigure {
    std::string id, title, sentence;
    double width = 0.0, height = 0.0;
    std::vector<PanelPlace> places = {};
    std::vector<Chart> charts = {};
    Table table = {};
};

// The units of a lot in the order they came, a mark each; its word is the mark's meaning.
struct TapeFigure {
    std::string id, title, sentence;
    struct Unit {
        std::string serial, mark;
    };
    std::vector<Unit> units = {};
};

// What one question has to show: its figures and tables under one title.
struct Sheet {
    std::string title;
    std::vector<std::string> sentences = {};
    std::vector<TapeFigure> tapes = {};
    std::vector<Table> tables = {};
    std::vector<PanelFigure> panels = {};
    std::vector<Chart> charts = {};
    Json finding = nullptr;  // what it found, as data: sheet_findings.hpp
};

// For paper: tables of at most so many rows and so many panels, which say what is left out.
[[nodiscard]] Sheet shortened(Sheet sheet, std::size_t rows, std::size_t panels);

// As it is read: moments to the minute, UTC said once, in the heading; figures with a minus. The
// CSV keeps moments in full and hyphens.
[[nodiscard]] Table for_reading(Table table);
[[nodiscard]] Json to_json(const Table& table);  // for reading
[[nodiscard]] Json to_json(const Chart& chart);
[[nodiscard]] Json to_json(const PanelFigure& figure);
[[nodiscard]] Json to_json(const TapeFigure& tape);
[[nodiscard]] Json to_json(const Sheet& sheet);
// The same marks as rows.
[[nodiscard]] Table table_of(const TapeFigure& tape);

// RFC 4180 with a heading line: CRLF, quotes where needed, numbers in full. A cell that a
// spreadsheet would take for a formula begins with an apostrophe.
[[nodiscard]] std::string csv_of(const Table& table);
[[nodiscard]] std::string csv_rows(const Table& table);  // without the heading
[[nodiscard]] std::string csv_line(const std::vector<std::string>& cells);
// "0.1", "100000", "1e-07": the shortest text that reads back as the same number, without an
// exponent from 1e-6 to 2^53; "" for none.
[[nodiscard]] std::string exact(double value);

// "gain, key hob 1" as "gain-key-hob-1".
[[nodiscard]] std::string id_of(std::string_view words);

}  // namespace padtrim::answers
