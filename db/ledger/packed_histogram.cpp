#include "db/ledger/packed_histogram.hpp"

#include "db/ledger/stored_words.hpp"

namespace padtrim::ledger {

using statistics::Histogram;

Bytes packed(const Histogram& histogram) {
    ByteWriter writer;
    writer.number(histogram.joined());
    writer.number(histogram.bins().size());
    std::int64_t last = 0;
    for (const Histogram::Bin& bin : histogram.bins()) {
        writer.integer(bin.index - last);
        writer.number(bin.count);
        last = bin.index;
    }
    return writer.bytes();
}

Histogram unpacked_histogram(std::span<const std::uint8_t> bytes) {
    ByteReader reader(bytes);
    const auto joined = reader.narrow<std::uint8_t>();
    std::vector<Histogram::Bin> bins(reader.size(2));
    std::int64_t last = 0;
    for (Histogram::Bin& bin : bins) {
        last += reader.integer();
        bin.index = static_cast<std::int32_t>(last);
        bin.count = reader.number();
    }
    const auto histogram = Histogram::from_parts(joined, std::move(bins));
    if (reader.failed() || reader.left() > 0 || !histogram)
        throw UnknownWord("a row of rollup_value holds a damaged histogram");
    return *histogram;
}

}  // namespace padtrim::ledger
