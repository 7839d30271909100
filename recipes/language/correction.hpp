// The correction that a trimmed unit applies to its readings, in whole numbers, so that firmware
// and station cannot disagree by a rounding:
//
//   corrected = ((raw * 2^fo - offset) * gain + nominal) / 2^(fo + fg)
//
// raw, gain and offset as the registers hold them; fo and fg are the fraction bits of the offset
// and gain trims; nominal is the map's nominal offset times 2^(fo + fg), to the nearest whole. The
// quotient is rounded to the nearest, halves away from zero, and kept within what the register of
// corrected counts can hold. Exact for every value that the registers can hold. Pure, thread safe.
#pragma once

#include <cstdint>

#include "recipes/language/register_map.hpp"

namespace padtrim::language {

// A whole number as high * 2^32 + low.
struct WidePair {
    std::int64_t high = 0;
    std::uint32_t low = 0;
};

class Correction {
  public:
    explicit Correction(const RegisterMap& map);
    [[nodiscard]] std::int64_t operator()(std::int64_t raw, std::int64_t gain,
                                          std::int64_t offset) const;

    // What a program that does the same needs to know.
    [[nodiscard]] unsigned offset_bits() const { return offset_bits_; }  // fo
    [[nodiscard]] unsigned shift() const { return shift_; }              // fo + fg
    [[nodiscard]] WidePair nominal() const { return nominal_; }
    [[nodiscard]] std::int64_t low() const { return low_; }
    [[nodiscard]] std::int64_t high() const { return high_; }
    // True when no step of the formula leaves 64 bits.
    [[nodiscard]] bool fits_64_bits() const { return fits_64_bits_; }

  private:
    unsigned offset_bits_, shift_;
    WidePair nominal_;
    std::int64_t low_, high_;
    bool fits_64_bits_;
};

}  // namespace padtrim::language
