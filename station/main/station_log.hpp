// The program's log on spdlog: one line an event, to a rotating file and to stderr.
//
// Never the only record of anything. Rooms get it as functions; none but this one knows spdlog.
#pragma once

#include <memory>
#include <string>

#include "fixtures/drivers/log.hpp"
#include "station/cli/command_line.hpp"
#include "station/engine/lot_run.hpp"

namespace spdlog {
class logger;
}

namespace padtrim {

class StationLog {
  public:
    // A file that cannot be written is said on stderr and the station works without.
    // `quiet_terminal`: nothing to stderr while that is the terminal with the live view.
    StationLog(const cli::LogWish& wish, const std::string& records, bool quiet_terminal);
    // A file to which nothing was said goes again: a start that failed leaves none.
    ~StationLog();
    StationLog(const StationLog&) = delete;
    StationLog& operator=(const StationLog&) = delete;

    [[nodiscard]] drivers::Log for_drivers() const;
    [[nodiscard]] engine::Log for_engine() const;
    void info(const std::string& line) const;
    void error(const std::string& line) const;
    [[nodiscard]] const std::string& file() const { return file_; }  // "" when there is none

  private:
    std::string file_;
    std::shared_ptr<spdlog::logger> logger_;
};

}  // namespace padtrim
