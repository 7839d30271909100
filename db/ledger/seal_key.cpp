#include "db/ledger/seal_key.hpp"

#include <cerrno>
#include <filesystem>
#include <fstream>

#include <fcntl.h>
#include <sodium.h>
#include <unistd.h>

#include "db/ledger/store_faults.hpp"

namespace padtrim::ledger {

using journal::Stored;

namespace {

std::string key_path(const std::string& ledger_path) {
    return ledger_path + ".key";
}

// The name of a new file is durable when its folder is.
void sync_folder_of(const std::string& path) {
    const std::string folder = std::filesystem::absolute(path).parent_path();
    const int descriptor = open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (descriptor < 0) return;
    fsync(descriptor);
    close(descriptor);
}

Stored<SealKey> make_key(const std::string& path) {
    SealKey key{};
    if (sodium_init() < 0) return out_of_order("no random numbers for the key '" + path + "'");
    randombytes_buf(key.data(), key.size());
    const int descriptor = open(path.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0600);
    if (descriptor < 0) return fault_of_errno(errno, path);
    const std::string text = hexadecimal(key) + "\n";
    const ssize_t size = write(descriptor, text.data(), text.size());
    const bool kept = size == static_cast<ssize_t>(text.size()) && fsync(descriptor) == 0;
    const int error = size < 0 ? errno : ENOSPC;
    close(descriptor);
    if (!kept) {
        unlink(path.c_str());
        return fault_of_errno(error, path);
    }
    sync_folder_of(path);
    return key;
}

}  // namespace

std::optional<SealKey> read_seal_key(const std::string& ledger_path) {
    std::ifstream file(key_path(ledger_path));
    std::string text;
    if (!std::getline(file, text)) return std::nullopt;
    return digest_in(text);
}

Stored<KeptKey> keep_seal_key(const std::string& ledger_path) {
    const std::string path = key_path(ledger_path);
    if (const auto key = read_seal_key(ledger_path)) return KeptKey{*key, false};
    if (std::filesystem::exists(path))
        return out_of_order("'" + path +
                            "' does not hold the key of these records, or cannot be read: put the "
                            "key back from a copy, or move the file away and a new key is made");
    const Stored<SealKey> key = make_key(path);
    if (!key) return key.error();
    return KeptKey{*key, true};
}

}  // namespace padtrim::ledger
