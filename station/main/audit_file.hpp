// RECORDS.audit: who changed what over HTTP, a line of JSON each, only ever appended to.
//
//   {"at": "2026-03-31T08:15:02.120Z", "who": "M", "what": "POST /api/lot/start {...}", "status":
//   202}
//
// Safe for several threads.
#pragma once

#include <mutex>
#include <string>

#include "fixtures/serial/clocks.hpp"
#include "station/main/station_log.hpp"
#include "station/web/gate.hpp"

namespace padtrim {

class AuditFile {
  public:
    // A line that cannot be written is told to the log, with what it would have said.
    AuditFile(std::string path, const StationLog& log);
    void add(const web::AuditLine& line) const;

  private:
    const std::string path_;
    const StationLog& log_;
    serial::SystemWallClock clock_;
    mutable std::mutex mutex_;
};

}  // namespace padtrim
