// How far the chain of records has come, told outside the database: "<ledger>.anchor".
//
// Two lines of 256 bytes, written in turn, so that one is whole when a write of the other is cut
// short: "link <sequence> <link> sealed <seal>". Written after the commit, so that the database may
// be ahead of it after a power cut, and never behind.
// One thread at a time. A file that cannot be written is left; verification says what it says.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "db/ledger/digest.hpp"

namespace padtrim::ledger {

struct Anchor {
    std::int64_t sequence = 0;
    Digest link{}, seal{};
    friend bool operator==(const Anchor&, const Anchor&) = default;
};

// The newer line whose seal is the key's; nothing when there is none.
[[nodiscard]] std::optional<Anchor> read_anchor(const std::string& ledger_path, const SealKey& key);

class AnchorFile {
  public:
    AnchorFile() = default;
    explicit AnchorFile(const std::string& ledger_path);
    AnchorFile(AnchorFile&& other) noexcept;
    AnchorFile& operator=(AnchorFile&& other) noexcept;
    AnchorFile(const AnchorFile&) = delete;
    AnchorFile& operator=(const AnchorFile&) = delete;
    ~AnchorFile();

    void write(const Anchor& anchor);
    void sync();

  private:
    int descriptor_ = -1;
    int line_ = 0;  // the next to write
};

}  // namespace padtrim::ledger
