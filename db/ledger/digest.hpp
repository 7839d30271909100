// Digests and seals of the chain of records: BLAKE2b (RFC 7693) with 32 bytes, plain and keyed.
// Pure.
#pragma once

#include <array>
#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "db/ledger/bytes.hpp"

namespace padtrim::ledger {

using Digest = std::array<std::uint8_t, 32>;
// Kept secret; only a program that has it can seal a link.
using SealKey = std::array<std::uint8_t, 32>;

[[nodiscard]] Digest digest_of(std::span<const std::uint8_t> bytes);
[[nodiscard]] Digest seal_of(const SealKey& key, const Digest& link);

[[nodiscard]] std::string hexadecimal(std::span<const std::uint8_t> bytes);
// Nothing unless it is 64 hexadecimal digits.
[[nodiscard]] std::optional<Digest> digest_in(std::string_view text);

}  // namespace padtrim::ledger
