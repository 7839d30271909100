// Where a command's words go, and when it has to give up early.
#pragma once

#include <string>
#include <vector>

#include "fixtures/drivers/log.hpp"
#include "station/cli/command_line.hpp"
#include "station/cli/report_texts.hpp"

namespace padtrim {

// A fault that ends the command: what to say on stderr, and the exit code.
struct GivesUp {
    int exit_code = cli::station_fault;
    std::string sentence;
};

void print_line(const std::string& line);  // to stdout, at once
// The command's exit code, or a fault's when stdout could not take all that was said.
[[nodiscard]] int with_output_kept(int exit_code);
void print_lines(const std::vector<std::string>& lines);
// What a driver warns of, to stderr; the rest of its log is dropped.
void warn_of(drivers::LogLevel level, const std::string& line);
int complain(const GivesUp& trouble);  // to stderr; the exit code
// Where a changed document shall go, `--out FILE` or `--write` for its `own` place: "" or what is
// wrong with it, as a sentence. To ask before anything moves.
[[nodiscard]] std::string wrong_with_target(const std::string& out, bool write,
                                            const std::string& own);
// The whole file, or nothing: "" or what is wrong, as a sentence. A file that is there keeps its
// permissions, and a symbolic link to it stays one.
[[nodiscard]] std::string write_whole(const std::string& path, const std::string& text);
// Width and colours of stdout.
[[nodiscard]] cli::Paper paper_of_stdout();

}  // namespace padtrim
