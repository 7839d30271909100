#include "station/main/output.hpp"

#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <filesystem>

#include <unistd.h>

#include "station/answers/printable.hpp"
#include "station/cli/screen.hpp"
#include "station/files/whole_file.hpp"

namespace padtrim {

namespace fs = std::filesystem;

namespace {

fs::path real_place(const std::string& path) {
    std::error_code error;
    const fs::path real = fs::is_symlink(path, error) ? fs::canonical(path, error) : fs::path();
    return error || real.empty() ? fs::path(path) : real;
}

}  // namespace

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

std::string wrong_with_target(const std::string& out, bool write, const std::string& own) {
    std::error_code error;
    if (!write && out.empty())
        return "Say where the new profile goes: --out FILE, or --write for its own place.";
    if (!write && fs::exists(out, error)) return out + " is there already; --out makes a new file.";
    const fs::path place = write ? real_place(own) : fs::path(out);
    const fs::path folder = fs::absolute(place, error).parent_path();
    if (!fs::is_directory(folder, error))
        return "There is no folder " + folder.string() + " for " + out + ". Make it first.";
    if (::access(folder.c_str(), W_OK) != 0)
        return "Nothing may be written into " + folder.string() + ". Give --out another place.";
    const auto permissions = fs::status(place, error).permissions();
    if (write && (permissions & fs::perms::owner_write) == fs::perms::none)
        return own + " may not be written. Give --out a new file.";
    return "";
}

std::string write_whole(const std::string& path, const std::string& text) {
    const fs::path real = real_place(path);
    std::error_code unread;
    if (fs::is_symlink(real, unread)) return path + " is a symbolic link that leads nowhere.";
    std::error_code error;
    const auto before = fs::status(real, error);
    const auto permissions = fs::exists(before) ? before.permissions() : fs::perms{0644};
    if (files::replace_file(real, text, permissions)) return "";
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
