// Little-endian bytes, the alphabet of the observation blob: fixed 8-byte reals, variable-length
// integers (7 bits a byte, lowest first), zigzag for signed ones, length-prefixed strings.
//
// ByteReader never reads past its end: the first thing that does not fit sets failed(), and every
// later read yields zero. Callers check failed() where they use a size.
#pragma once

#include <bit>
#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace padtrim::ledger {

using Bytes = std::vector<std::uint8_t>;

constexpr std::uint64_t zigzag(std::int64_t value) {
    return (static_cast<std::uint64_t>(value) << 1U) ^ static_cast<std::uint64_t>(value >> 63);
}
constexpr std::int64_t unzigzag(std::uint64_t value) {
    return static_cast<std::int64_t>((value >> 1U) ^ (~(value & 1U) + 1U));
}

class ByteWriter {
  public:
    void byte(std::uint8_t value) { bytes_.push_back(value); }
    void flag(bool value) { byte(value ? 1 : 0); }
    void number(std::uint64_t value) {
        for (; value >= 0x80U; value >>= 7U) byte(static_cast<std::uint8_t>(value | 0x80U));
        byte(static_cast<std::uint8_t>(value));
    }
    void integer(std::int64_t value) { number(zigzag(value)); }
    void fixed(std::uint64_t value, unsigned size) {
        for (unsigned i = 0; i < size; ++i) byte(static_cast<std::uint8_t>(value >> (8U * i)));
    }
    void real(double value) { fixed(std::bit_cast<std::uint64_t>(value), 8); }
    void text(std::string_view value) {
        number(value.size());
        bytes_.insert(bytes_.end(), value.begin(), value.end());
    }
    [[nodiscard]] const Bytes& bytes() const { return bytes_; }

  private:
    Bytes bytes_;
};

class ByteReader {
  public:
    explicit ByteReader(std::span<const std::uint8_t> bytes) : bytes_(bytes) {}
    [[nodiscard]] bool failed() const { return failed_; }
    [[nodiscard]] std::size_t left() const { return bytes_.size() - at_; }

    std::uint8_t byte() {
        if (failed_ || left() == 0) return fail();
        return bytes_[at_++];
    }
    // A byte no larger than `last`: flags and enumerations.
    std::uint8_t choice(std::uint8_t last) {
        const std::uint8_t value = byte();
        return value <= last ? value : fail();
    }
    bool flag() { return choice(1) == 1; }
    std::uint64_t number() {
        std::uint64_t value = 0;
        for (unsigned shift = 0; shift < 64; shift += 7) {
            const std::uint64_t part = byte();
            if (shift == 63 && part > 1) break;  // more than 64 bits
            value |= (part & 0x7FU) << shift;
            if (part < 0x80U) return failed_ ? 0 : value;
        }
        return fail();
    }
    std::int64_t integer() { return unzigzag(number()); }
    // A number that must fit `Target`.
    template <class Target>
    Target narrow() {
        const std::uint64_t value = number();
        const auto target = static_cast<Target>(value);
        return static_cast<std::uint64_t>(target) == value ? target : static_cast<Target>(fail());
    }
    std::uint64_t fixed(unsigned size) {
        std::uint64_t value = 0;
        for (unsigned i = 0; i < size; ++i) value |= std::uint64_t{byte()} << (8U * i);
        return value;
    }
    double real() { return std::bit_cast<double>(fixed(8)); }
    // How many elements follow; each takes at least `least` bytes, so a lie is seen before memory
    // is set aside for it.
    std::size_t size(std::size_t least = 1) {
        const std::uint64_t count = number();
        if (count > left() / least) return fail();
        return static_cast<std::size_t>(count);
    }
    std::string text() {
        const std::size_t count = size();
        const auto part = bytes_.subspan(at_, count);
        at_ += count;
        return {part.begin(), part.end()};
    }
    std::uint8_t fail() {
        failed_ = true;
        at_ = bytes_.size();
        return 0;
    }

  private:
    std::span<const std::uint8_t> bytes_;
    std::size_t at_ = 0;
    bool failed_ = false;
};

}  // namespace padtrim::ledger
