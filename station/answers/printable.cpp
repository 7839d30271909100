#include "station/answers/printable.hpp"

#include <cstdint>

#include <fmt/format.h>

namespace padtrim::answers {
namespace {

struct Point {
    char32_t value = 0;
    std::size_t bytes = 1;
    bool valid = false;
};

bool continues(char byte) {
    return (static_cast<unsigned char>(byte) & 0xC0u) == 0x80u;
}

// One code point of RFC 3629: no overlong form, no surrogate, nothing above U+10FFFF.
Point point_at(std::string_view text, std::size_t at) {
    const auto lead = static_cast<unsigned char>(text[at]);
    if (lead < 0x80) return {lead, 1, true};
    const std::size_t bytes = lead >= 0xF0 ? 4 : lead >= 0xE0 ? 3 : 2;
    if (lead < 0xC2 || lead > 0xF4 || at + bytes > text.size()) return {lead, 1, false};
    char32_t value = lead & (0xFFu >> (bytes + 1));
    for (std::size_t i = 1; i < bytes; ++i) {
        if (!continues(text[at + i])) return {lead, 1, false};
        value = value << 6 | (static_cast<unsigned char>(text[at + i]) & 0x3Fu);
    }
    constexpr char32_t smallest[] = {0, 0, 0x80, 0x800, 0x10000};
    const bool surrogate = value >= 0xD800 && value <= 0xDFFF;
    if (value < smallest[bytes] || surrogate || value > 0x10FFFF) return {lead, 1, false};
    return {value, bytes, true};
}

// C0, C1, and what changes direction or joins without being seen.
bool unseen(char32_t value) {
    return value < 0x20 || (value >= 0x7F && value <= 0x9F) ||
           (value >= 0x200B && value <= 0x200F) || (value >= 0x2028 && value <= 0x202E) ||
           (value >= 0x2060 && value <= 0x206F) || value == 0xFEFF || value == 0xAD ||
           value >= 0xE0000;
}

std::string shown(const Point& point, std::string_view bytes) {
    if (!point.valid) return fmt::format("\\x{:02x}", static_cast<std::uint32_t>(point.value));
    if (!unseen(point.value)) return std::string(bytes);
    const auto value = static_cast<std::uint32_t>(point.value);
    if (value < 0x80) return fmt::format("\\x{:02x}", value);
    return fmt::format("\\u{{{:x}}}", value);
}

}  // namespace

std::string printable(std::string_view text, std::size_t most) {
    std::string result;
    std::size_t used = 0;
    for (std::size_t at = 0; at < text.size();) {
        const Point point = point_at(text, at);
        const std::string piece = shown(point, text.substr(at, point.bytes));
        if (used + columns(piece) > most) return result + "...";
        used += columns(piece);
        result += piece;
        at += point.bytes;
    }
    return result;
}

std::string printable_lines(std::string_view text) {
    std::string result;
    for (;;) {
        const auto end = text.find('\n');
        result += printable(text.substr(0, end), 2000);
        if (end == std::string_view::npos) return result;
        result += '\n';
        text.remove_prefix(end + 1);
    }
}

std::size_t columns(std::string_view text) {
    std::size_t count = 0;
    for (const char byte : text) count += continues(byte) ? 0 : 1;
    return count;
}

std::string fitted(std::string_view text, std::size_t width) {
    std::string result;
    std::size_t used = 0;
    for (std::size_t at = 0; at < text.size() && used < width; ++used) {
        std::size_t end = at + 1;
        while (end < text.size() && continues(text[end])) ++end;
        result += text.substr(at, end - at);
        at = end;
    }
    return result + std::string(width - used, ' ');
}

}  // namespace padtrim::answers
