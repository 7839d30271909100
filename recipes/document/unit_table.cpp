#include "recipes/document/unit_table.hpp"

#include "recipes/document/quantity_text.hpp"

namespace padtrim::document {
namespace {

// SI prefixes as in the SI Brochure (BIPM, 9th edition, table 7); %RH and counts are our own.
constexpr UnitName names[] = {
    {"pF", "pF"},
    {"fF", "pF", 1, 1000},
    {"nF", "pF", 1000, 1},
    {"uF", "pF", 1e6, 1},
    {"counts", "counts"},
    {"count", "counts"},
    {"counts/pF", "counts/pF"},
    {"counts/fF", "counts/pF", 1000, 1},
    {"mm", "mm"},
    {"um", "mm", 1, 1000},
    {"\u00b5m", "mm", 1, 1000},
    {"cm", "mm", 10, 1},
    {"m", "mm", 1000, 1},
    {"mm/s", "mm/s"},
    {"mm/min", "mm/s", 1, 60},
    {"m/s", "mm/s", 1000, 1},
    {"ms", "ms"},
    {"us", "ms", 1, 1000},
    {"\u00b5s", "ms", 1, 1000},
    {"s", "ms", 1000, 1},
    {"min", "ms", 60000, 1},
    {"h", "ms", 3600000, 1},
    {"degC", "degC"},
    {"\u00b0C", "degC"},
    {"ppm/K", "ppm/K"},
    {"%", "%"},
    {"%RH", "%RH"},
    {"kHz", "kHz"},
    {"Hz", "kHz", 1, 1000},
    {"MHz", "kHz", 1000, 1},
    {"V", "V"},
    {"mV", "V", 1, 1000},
    {"ohm", "ohm"},
    {"kohm", "ohm", 1000, 1},
    {"Mohm", "ohm", 1e6, 1},
    {"\u03a9", "ohm"},
    {"k\u03a9", "ohm", 1000, 1},
};

struct Dimension {
    std::string_view base, words;
};
constexpr Dimension dimensions[] = {
    {"pF", "a capacitance in pF"},
    {"counts", "a reading in counts"},
    {"counts/pF", "a gain in counts/pF"},
    {"mm", "a length in mm"},
    {"mm/s", "a speed in mm/s"},
    {"ms", "a time in ms"},
    {"degC", "a temperature in degC"},
    {"ppm/K", "a temperature coefficient in ppm/K"},
    {"%", "a share in %"},
    {"%RH", "a relative humidity in %RH"},
    {"kHz", "a frequency in kHz"},
    {"V", "a voltage in V"},
    {"ohm", "a resistance in ohm"},
    {"1", "a plain number"},
};

}  // namespace

const UnitName* find_unit(std::string_view name) {
    for (const auto& unit : names)
        if (unit.name == name) return &unit;
    return nullptr;
}

std::vector<std::string_view> units_like(std::string_view base) {
    std::vector<std::string_view> like;
    for (const auto& unit : names)
        if (unit.base == base) like.push_back(unit.name);
    return like;
}

std::string dimension_of(std::string_view unit) {
    for (const auto& dimension : dimensions)
        if (dimension.base == unit) return std::string(dimension.words);
    return "a quantity in " + std::string(unit);
}

}  // namespace padtrim::document
