#include "station/main/output.hpp"

#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>

#include <unistd.h>

#include "station/answers/printable.hpp"
#include "station/cli/screen.hpp"

namespace padtrim {

void print_line(const std::string& line) {
    std::fputs(line.c_str(), stdout);
    std::fputc('\n', stdout);
    std::fflush(stdout);
}

namespace {

// What stopped stdout says so again; errno may be of something later by now.
bool reader_went_away() {
    std::clearerr(stdout);
    errno = 0;
    std::fputc('\n', stdout);
    std::fflush(stdout);
    return errno == EPIPE;
}

}  // namespace

int with_output_kept(int exit_code) {
    std::fflush(stdout);
    // A pipe whose reader went away has been read as far as somebody wanted.
    if (!std::ferror(stdout) || exit_code > cli::some_did_not_pass || reader_went_away())
        return exit_code;
    return complain({cli::station_fault,
                     "the output could not be written: is its disk full? What was stored stands; "
                     "padtrim yield and padtrim unit show it."});
}

void print_lines(const std::vector<std::string>& lines) {
    for (const auto& line : lines) print_line(line);
}

void warn_of(drivers::LogLevel level, const std::string& line) {
    if (level >= drivers::LogLevel::warning) std::fprintf(stderr, "padtrim: %s\n", line.c_str());
}

int complain(const GivesUp& trouble) {
    std::fprintf(stderr, "padtrim: %s\n", answers::printable_lines(trouble.sentence).c_str());
    return trouble.exit_code;
}

// Beside the place first, so that a full disk leaves what was there.
std::string write_whole(const std::string& path, const std::string& text) {
    namespace fs = std::filesystem;
    const std::string beside = path + ".new";
    std::ofstream file(beside, std::ios::binary);
    file << text;
    file.close();
    std::error_code error;
    if (file) fs::rename(beside, path, error);
    if (file && !error) return "";
    std::error_code ignored;
    fs::remove(beside, ignored);
    return path + " cannot be written. Is the disk full, or the folder read-only?";
}

cli::Paper paper_of_stdout() {
    cli::Paper paper;
    if (!::isatty(STDOUT_FILENO)) return paper;
    paper.width = cli::terminal_size(STDOUT_FILENO).columns;
    paper.colours =
        cli::colours_for(std::getenv("NO_COLOR"), std::getenv("COLORTERM"), std::getenv("TERM"));
    return paper;
}

}  // namespace padtrim
