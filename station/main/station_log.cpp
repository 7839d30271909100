#include "station/main/station_log.hpp"

#include <filesystem>
#include <vector>

#include <spdlog/logger.h>
#include <spdlog/sinks/rotating_file_sink.h>
#include <spdlog/sinks/stdout_sinks.h>

#include "station/answers/printable.hpp"

namespace padtrim {
namespace {

// Five files of 4 MiB hold some days of a busy station.
constexpr std::size_t file_bytes = 4U << 20U;
constexpr std::size_t files = 5;

spdlog::level::level_enum level_of(const std::string& name, spdlog::level::level_enum otherwise) {
    return name.empty() ? otherwise : spdlog::level::from_str(name);
}

template <class Level>
spdlog::level::level_enum level_of(Level level) {
    switch (level) {
        case Level::debug:
            return spdlog::level::debug;
        case Level::info:
            return spdlog::level::info;
        case Level::warning:
            return spdlog::level::warn;
        case Level::error:
            return spdlog::level::err;
    }
    return spdlog::level::info;
}

// One line whatever a device said.
template <class Log, class Level>
Log writer(const std::shared_ptr<spdlog::logger>& logger) {
    return [logger](Level level, const std::string& line) {
        logger->log(level_of(level), answers::printable(line, 2000));
    };
}

// The sink would make missing folders; that the records' folder is missing is the ledger's to say.
// Returns the file, "" when there is none.
std::string open_file(const cli::LogWish& wish, const std::string& records,
                      std::vector<spdlog::sink_ptr>& sinks) {
    const std::string file = wish.file.empty() ? records + ".log" : wish.file;
    const auto folder = std::filesystem::absolute(file).parent_path();
    std::error_code unreadable;
    if (!std::filesystem::is_directory(folder, unreadable)) return "";
    try {
        sinks.push_back(
            std::make_shared<spdlog::sinks::rotating_file_sink_mt>(file, file_bytes, files));
        sinks.back()->set_level(level_of(wish.level, spdlog::level::info));
    } catch (const spdlog::spdlog_ex& failure) {
        std::fprintf(stderr, "padtrim: no log file: %s\n", failure.what());
        return "";
    }
    return file;
}

}  // namespace

StationLog::StationLog(const cli::LogWish& wish, const std::string& records, bool quiet_terminal) {
    std::vector<spdlog::sink_ptr> sinks;
    if (!quiet_terminal) {
        sinks.push_back(std::make_shared<spdlog::sinks::stderr_sink_mt>());
        sinks.back()->set_level(level_of(wish.level, spdlog::level::warn));
    }
    file_ = open_file(wish, records, sinks);
    logger_ = std::make_shared<spdlog::logger>("padtrim", sinks.begin(), sinks.end());
    logger_->set_level(spdlog::level::debug);
    logger_->flush_on(spdlog::level::info);
    logger_->set_pattern("%Y-%m-%dT%H:%M:%S.%e%z %l %v");
}

StationLog::~StationLog() {
    if (file_.empty()) return;
    logger_->flush();
    std::error_code ignored;
    if (std::filesystem::file_size(file_, ignored) == 0) std::filesystem::remove(file_, ignored);
}

drivers::Log StationLog::for_drivers() const {
    return writer<drivers::Log, drivers::LogLevel>(logger_);
}

engine::Log StationLog::for_engine() const {
    return writer<engine::Log, engine::LogLevel>(logger_);
}

void StationLog::info(const std::string& line) const {
    logger_->info(answers::printable(line, 2000));
}

void StationLog::error(const std::string& line) const {
    logger_->error(answers::printable(line, 2000));
}

}  // namespace padtrim
