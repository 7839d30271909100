// A histogram as rollup_value.histogram holds it; docs/ledger.md, "Rollups", is its document. Pure.
#pragma once

#include <span>

#include "db/ledger/bytes.hpp"
#include "db/statistics/histogram.hpp"

namespace padtrim::ledger {

[[nodiscard]] Bytes packed(const statistics::Histogram& histogram);
// Throws UnknownWord (stored_words.hpp) at bytes that packed() cannot have given.
[[nodiscard]] statistics::Histogram unpacked_histogram(std::span<const std::uint8_t> bytes);

}  // namespace padtrim::ledger
