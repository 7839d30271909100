// Quantities whose unit is part of their type: a capacitance is not a double.
//
// A Quantity<U> holds one double in the unit U. Sums and comparisons need equal units; the few
// products that the measurement model uses (counts/pF times pF is counts) are spelt out below.
// Values are plain; nothing here allocates, throws or reads state.
#pragma once

#include <compare>
#include <optional>
#include <string_view>

namespace padtrim {

template <class U>
class Quantity {
  public:
    using unit = U;
    constexpr Quantity() = default;
    constexpr explicit Quantity(double value) : value_(value) {}
    [[nodiscard]] constexpr double value() const { return value_; }
    [[nodiscard]] static constexpr std::string_view symbol() { return U::symbol; }

    constexpr Quantity& operator+=(Quantity other) {
        value_ += other.value_;
        return *this;
    }
    constexpr Quantity& operator-=(Quantity other) {
        value_ -= other.value_;
        return *this;
    }
    friend constexpr Quantity operator+(Quantity a, Quantity b) {
        return Quantity(a.value_ + b.value_);
    }
    friend constexpr Quantity operator-(Quantity a, Quantity b) {
        return Quantity(a.value_ - b.value_);
    }
    friend constexpr Quantity operator-(Quantity a) { return Quantity(-a.value_); }
    friend constexpr Quantity operator*(Quantity a, double f) { return Quantity(a.value_ * f); }
    friend constexpr Quantity operator*(double f, Quantity a) { return Quantity(a.value_ * f); }
    friend constexpr Quantity operator/(Quantity a, double f) { return Quantity(a.value_ / f); }
    friend constexpr double operator/(Quantity a, Quantity b) { return a.value_ / b.value_; }
    friend constexpr auto operator<=>(Quantity, Quantity) = default;

  private:
    double value_ = 0.0;
};

namespace units {
struct Picofarad {
    static constexpr std::string_view symbol = "pF";
};
struct Counts {
    static constexpr std::string_view symbol = "counts";
};
struct CountsPerPicofarad {
    static constexpr std::string_view symbol = "counts/pF";
};
struct Millimetre {
    static constexpr std::string_view symbol = "mm";
};
struct MillimetrePerSecond {
    static constexpr std::string_view symbol = "mm/s";
};
struct Millisecond {
    static constexpr std::string_view symbol = "ms";
};
struct Celsius {
    static constexpr std::string_view symbol = "degC";
};
struct PartsPerMillionPerKelvin {
    static constexpr std::string_view symbol = "ppm/K";
};
struct Percent {
    static constexpr std::string_view symbol = "%";
};
struct RelativeHumidity {
    static constexpr std::string_view symbol = "%RH";
};
struct Kilohertz {
    static constexpr std::string_view symbol = "kHz";
};
struct Volt {
    static constexpr std::string_view symbol = "V";
};
struct Ohm {
    static constexpr std::string_view symbol = "ohm";
};
struct One {
    static constexpr std::string_view symbol = "1";
};
}  // namespace units

using Picofarad = Quantity<units::Picofarad>;
using Counts = Quantity<units::Counts>;
using CountsPerPicofarad = Quantity<units::CountsPerPicofarad>;
using Millimetre = Quantity<units::Millimetre>;
using MillimetrePerSecond = Quantity<units::MillimetrePerSecond>;
using Millisecond = Quantity<units::Millisecond>;
using Celsius = Quantity<units::Celsius>;
using PartsPerMillionPerKelvin = Quantity<units::PartsPerMillionPerKelvin>;
using Percent = Quantity<units::Percent>;
using RelativeHumidity = Quantity<units::RelativeHumidity>;
using Kilohertz = Quantity<units::Kilohertz>;
using Volt = Quantity<units::Volt>;
using Ohm = Quantity<units::Ohm>;
using Ratio = Quantity<units::One>;

constexpr Counts operator*(CountsPerPicofarad gain, Picofarad step) {
    return Counts(gain.value() * step.value());
}
constexpr Counts operator*(Picofarad step, CountsPerPicofarad gain) {
    return gain * step;
}
constexpr CountsPerPicofarad operator/(Counts change, Picofarad step) {
    return CountsPerPicofarad(change.value() / step.value());
}
constexpr Picofarad operator/(Counts change, CountsPerPicofarad gain) {
    return Picofarad(change.value() / gain.value());
}

// What a limit allows: a missing side is unlimited.
template <class Q>
struct Interval {
    std::optional<Q> low;
    std::optional<Q> high;
    [[nodiscard]] constexpr bool limited() const { return low.has_value() || high.has_value(); }
    friend constexpr bool operator==(const Interval&, const Interval&) = default;
};

}  // namespace padtrim
