#include "db/ledger/observation_blob.hpp"

#include <algorithm>
#include <array>
#include <memory>
#include <stdexcept>

#include <zstd.h>

namespace padtrim::ledger {

namespace {

constexpr std::array<std::uint8_t, 4> magic{'P', 'T', 'O', 'B'};
constexpr std::size_t header_size = 14;
// Counts that barely change are half of a body; higher levels gain a few percent for twice the
// time.
constexpr int compression_level = 3;

using Compressor = std::unique_ptr<ZSTD_CCtx, decltype(&ZSTD_freeCCtx)>;

BlobFault too_large(std::uint64_t size) {
    return {"observations of " + std::to_string(size) + " bytes are larger than a ledger takes (" +
            std::to_string(largest_body) + ")"};
}

Unpacked<Bytes> inflate(std::span<const std::uint8_t> frame, std::uint64_t size) {
    if (ZSTD_getFrameContentSize(frame.data(), frame.size()) != size)
        return BlobFault{"the compressed observations do not have the size that their header says"};
    // One more byte than needed, so that the pointer is never null.
    Bytes body(static_cast<std::size_t>(size) + 1);
    const std::size_t done = ZSTD_decompress(body.data(), size, frame.data(), frame.size());
    if (ZSTD_isError(done) != 0)
        return BlobFault{std::string("the compressed observations are damaged: ") +
                         ZSTD_getErrorName(done)};
    body.resize(done);
    return body;
}

}  // namespace

void throw_exception_from_error(const BlobFault& fault, const boost::source_location&) {
    throw std::logic_error("blob fault taken for a value: " + fault.what);
}

Unpacked<Bytes> pack(const record::Observations& observations) {
    const Bytes body = encode_body(observations);
    if (body.size() > largest_body) return too_large(body.size());
    ByteWriter header;
    for (const std::uint8_t letter : magic) header.byte(letter);
    header.fixed(blob_version, 2);
    header.fixed(body.size(), 8);
    Bytes blob = header.bytes();
    blob.resize(header_size + ZSTD_compressBound(body.size()));
    const Compressor compressor(ZSTD_createCCtx(), &ZSTD_freeCCtx);
    if (!compressor) throw std::bad_alloc();
    ZSTD_CCtx_setParameter(compressor.get(), ZSTD_c_compressionLevel, compression_level);
    ZSTD_CCtx_setParameter(compressor.get(), ZSTD_c_checksumFlag, 1);
    const std::size_t done = ZSTD_compress2(compressor.get(), blob.data() + header_size,
                                            blob.size() - header_size, body.data(), body.size());
    if (ZSTD_isError(done) != 0) return BlobFault{ZSTD_getErrorName(done)};
    blob.resize(header_size + done);
    return blob;
}

Unpacked<record::Observations> unpack(std::span<const std::uint8_t> blob) {
    if (blob.size() < header_size || !std::equal(magic.begin(), magic.end(), blob.begin()))
        return BlobFault{"these bytes are no observations: they do not begin with PTOB"};
    ByteReader header(blob.subspan(magic.size()));
    const std::uint64_t version = header.fixed(2);
    const std::uint64_t size = header.fixed(8);
    if (version < 1 || version > blob_version)
        return BlobFault{"the observations have format " + std::to_string(version) +
                         ", this padtrim reads formats 1 to " + std::to_string(blob_version)};
    if (size > largest_body) return too_large(size);
    const Unpacked<Bytes> body = inflate(blob.subspan(header_size), size);
    if (!body) return body.error();
    return decode_body(*body, version);
}

}  // namespace padtrim::ledger
