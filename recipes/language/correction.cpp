#include "recipes/language/correction.hpp"

#include <algorithm>
#include <cmath>

#include "recipes/language/register_extent.hpp"

namespace padtrim::language {
namespace {

__extension__ using Wide = __int128;

constexpr double two_to_32 = 4294967296.0;

double largest(const Register& where) {
    const HeldRange range = range_of(where.cell);
    return std::max(std::abs(range.low), std::abs(range.high));
}

// A binary64 of this size is split without loss.
WidePair split(double whole) {
    const double high = std::floor(whole / two_to_32);
    return {static_cast<std::int64_t>(high), static_cast<std::uint32_t>(whole - high * two_to_32)};
}

}  // namespace

Correction::Correction(const RegisterMap& map)
    : offset_bits_(map.offset_trim.fraction_bits),
      shift_(map.offset_trim.fraction_bits + map.gain_trim.fraction_bits) {
    const double nominal =
        std::round(std::ldexp(map.nominal_offset.value(), static_cast<int>(shift_)));
    nominal_ = split(nominal);
    const HeldRange held = range_of(map.corrected_counts.cell);
    low_ = static_cast<std::int64_t>(held.low);
    high_ = static_cast<std::int64_t>(held.high);
    const double part = std::ldexp(largest(map.raw_counts), static_cast<int>(offset_bits_)) +
                        largest(map.offset_trim.where);
    const double sum = part * largest(map.gain_trim.where) + std::abs(nominal) +
                       std::ldexp(1.0, static_cast<int>(shift_));
    fits_64_bits_ = sum < std::ldexp(1.0, 62);
}

std::int64_t Correction::operator()(std::int64_t raw, std::int64_t gain,
                                    std::int64_t offset) const {
    const Wide part = Wide(raw) * (Wide(1) << offset_bits_) - offset;
    const Wide sum = part * gain + Wide(nominal_.high) * (Wide(1) << 32) + nominal_.low;
    const Wide half = shift_ == 0 ? 0 : Wide(1) << (shift_ - 1);
    const Wide size = ((sum < 0 ? -sum : sum) + half) >> shift_;
    const Wide rounded = sum < 0 ? -size : size;
    return static_cast<std::int64_t>(std::clamp<Wide>(rounded, low_, high_));
}

}  // namespace padtrim::language
