// RECORDS.daemon: how a command finds the daemon that writes a file of records.
//
//   {"station": "line-3", "port": 8480, "ports": "/dev/serial/by-id", "pid": 4711}
//
// The daemon holds an exclusive flock on it for as long as it lives; a file without that lock was
// left by a daemon that was killed, and means nothing.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <variant>

#include "station/main/output.hpp"

namespace padtrim {

struct DaemonPlace {
    std::string station;
    std::uint16_t port = 0;
    std::string ports;  // the directory whose ports it works
    // What commands of the same user show where the station keeps logins; in RECORDS.daemon-key,
    // which only its owner may read.
    std::string key{};
};

// The running daemon of these records, or nothing.
[[nodiscard]] std::optional<DaemonPlace> find_daemon(const std::string& records);

class DaemonFile {
  public:
    // Gives up when another daemon holds it, or when it cannot be written.
    static std::variant<DaemonFile, GivesUp> claim(const std::string& records);
    DaemonFile(DaemonFile&& other) noexcept;
    DaemonFile& operator=(DaemonFile&&) = delete;
    ~DaemonFile();  // removes the file

    void tell(const DaemonPlace& place);

  private:
    DaemonFile(std::string path, int descriptor);
    void keep_key(const std::string& key) const;
    std::string path_;
    int descriptor_ = -1;
};

}  // namespace padtrim
