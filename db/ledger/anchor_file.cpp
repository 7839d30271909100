#include "db/ledger/anchor_file.hpp"

#include <fstream>
#include <sstream>
#include <utility>

#include <fcntl.h>
#include <unistd.h>

namespace padtrim::ledger {

namespace {

constexpr std::size_t line_size = 256;

std::string anchor_path(const std::string& ledger_path) {
    return ledger_path + ".anchor";
}

std::string line_of(const Anchor& anchor) {
    std::string line = "link " + std::to_string(anchor.sequence) + " " + hexadecimal(anchor.link) +
                       " sealed " + hexadecimal(anchor.seal);
    line.resize(line_size - 1, ' ');
    return line + "\n";
}

std::optional<Anchor> anchor_in(const std::string& line, const SealKey& key) {
    std::istringstream words(line);
    std::string first, link, sealed, seal;
    Anchor anchor;
    if (!(words >> first >> anchor.sequence >> link >> sealed >> seal)) return std::nullopt;
    const auto link_digest = digest_in(link), seal_digest = digest_in(seal);
    if (first != "link" || sealed != "sealed" || !link_digest || !seal_digest) return std::nullopt;
    anchor.link = *link_digest;
    anchor.seal = *seal_digest;
    if (anchor.seal != seal_of(key, anchor.link)) return std::nullopt;
    return anchor;
}

}  // namespace

std::optional<Anchor> read_anchor(const std::string& ledger_path, const SealKey& key) {
    std::ifstream file(anchor_path(ledger_path));
    std::optional<Anchor> newest;
    for (std::string line; std::getline(file, line);) {
        const std::optional<Anchor> anchor = anchor_in(line, key);
        if (anchor && (!newest || anchor->sequence > newest->sequence)) newest = anchor;
    }
    return newest;
}

AnchorFile::AnchorFile(const std::string& ledger_path)
    : descriptor_(open(anchor_path(ledger_path).c_str(), O_WRONLY | O_CREAT | O_CLOEXEC, 0644)) {}

AnchorFile::AnchorFile(AnchorFile&& other) noexcept
    : descriptor_(std::exchange(other.descriptor_, -1)), line_(other.line_) {}

AnchorFile& AnchorFile::operator=(AnchorFile&& other) noexcept {
    std::swap(descriptor_, other.descriptor_);
    std::swap(line_, other.line_);
    return *this;
}

AnchorFile::~AnchorFile() {
    if (descriptor_ >= 0) close(descriptor_);
}

void AnchorFile::write(const Anchor& anchor) {
    if (descriptor_ < 0) return;
    const std::string line = line_of(anchor);
    const auto place = static_cast<off_t>(static_cast<std::size_t>(line_) * line_size);
    if (pwrite(descriptor_, line.data(), line.size(), place) == static_cast<ssize_t>(line.size()))
        line_ = 1 - line_;
}

void AnchorFile::sync() {
    if (descriptor_ >= 0) fdatasync(descriptor_);
}

}  // namespace padtrim::ledger
