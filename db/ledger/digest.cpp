#include "db/ledger/digest.hpp"

#include <sodium.h>

namespace padtrim::ledger {

Digest digest_of(std::span<const std::uint8_t> bytes) {
    Digest digest{};
    crypto_generichash(digest.data(), digest.size(), bytes.data(), bytes.size(), nullptr, 0);
    return digest;
}

Digest seal_of(const SealKey& key, const Digest& link) {
    Digest seal{};
    crypto_generichash(seal.data(), seal.size(), link.data(), link.size(), key.data(), key.size());
    return seal;
}

std::string hexadecimal(std::span<const std::uint8_t> bytes) {
    std::string text(bytes.size() * 2 + 1, '\0');
    sodium_bin2hex(text.data(), text.size(), bytes.data(), bytes.size());
    text.pop_back();
    return text;
}

std::optional<Digest> digest_in(std::string_view text) {
    Digest digest{};
    std::size_t size = 0;
    if (text.size() != digest.size() * 2 ||
        sodium_hex2bin(digest.data(), digest.size(), text.data(), text.size(), nullptr, &size,
                       nullptr) != 0 ||
        size != digest.size())
        return std::nullopt;
    return digest;
}

}  // namespace padtrim::ledger
