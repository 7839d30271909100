// A run's observations as one blob: docs/ledger.md, "The observation blob", is the format's
// document; a program in any language can be written from it.
//
//   magic "PTOB", version (2 bytes), size of the body (8 bytes), zstd frame of the body
//
// Pure, no state. Packing the same observations gives the same bytes with the same zstd release.
// Unpacking takes any bytes: a fault names the place, nothing is read or allocated beyond what the
// bytes can hold. Every pack/unpack round trip is exact, to the bit of every real.
#pragma once

#include <cstdint>
#include <span>
#include <string>

#include <boost/system/result.hpp>

#include "db/ledger/bytes.hpp"
#include "db/record/observations.hpp"

namespace padtrim::ledger {

struct BlobFault {
    std::string what;
};
[[noreturn]] void throw_exception_from_error(const BlobFault& fault,
                                             const boost::source_location& where);

template <class T>
using Unpacked = boost::system::result<T, BlobFault>;

inline constexpr std::uint16_t blob_version = 3;  // as written; all from 1 on are read
// 100,000 scans of 24 channels at 8 frequencies stay below; a damaged header that claims more is
// refused before memory is set aside.
inline constexpr std::uint64_t largest_body = 64U << 20U;

[[nodiscard]] Unpacked<Bytes> pack(const record::Observations& observations);
[[nodiscard]] Unpacked<record::Observations> unpack(std::span<const std::uint8_t> blob);

// The body without header and compression; the fuzzer and the tests use them too.
[[nodiscard]] Bytes encode_body(const record::Observations& observations);
[[nodiscard]] Unpacked<record::Observations> decode_body(std::span<const std::uint8_t> body,
                                                         std::uint64_t version = blob_version);

}  // namespace padtrim::ledger
