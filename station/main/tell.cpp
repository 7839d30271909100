#include "station/main/tell.hpp"

#include <cstdio>

#include "station/cli/plot.hpp"
#include "station/main/output.hpp"

namespace padtrim {

cli::Face face_of(bool json, bool csv) {
    if (json) return cli::Face::json;
    return csv ? cli::Face::csv : cli::Face::text;
}

void print_csv(const answers::Table& table) {
    const std::string csv = answers::csv_of(table);
    std::fwrite(csv.data(), 1, csv.size(), stdout);
}

void tell(const answers::Json& json, const answers::Sheet& sheet, cli::Face face) {
    if (face == cli::Face::json)
        print_line(answers::text_of(json));
    else if (face == cli::Face::text)
        print_lines(cli::sheet_text(sheet, paper_of_stdout()));
    else if (!sheet.tables.empty())
        print_csv(sheet.tables.front());
}

}  // namespace padtrim
