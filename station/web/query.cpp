#include "station/web/query.hpp"

#include <charconv>

namespace padtrim::web {
namespace {

std::optional<std::string> decoded(std::string_view text) {
    std::string result;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (text[i] == '+') {
            result += ' ';
        } else if (text[i] != '%') {
            result += text[i];
        } else {
            unsigned value = 0;
            if (i + 2 >= text.size()) return std::nullopt;
            const char* first = text.data() + i + 1;
            const auto [end, error] = std::from_chars(first, first + 2, value, 16);
            if (error != std::errc{} || end != first + 2) return std::nullopt;
            result += static_cast<char>(value);
            i += 2;
        }
    }
    return result;
}

}  // namespace

std::optional<std::string> query_value(std::string_view query, std::string_view name) {
    while (!query.empty()) {
        const auto end = query.find('&');
        const std::string_view member = query.substr(0, end);
        query = end == std::string_view::npos ? std::string_view() : query.substr(end + 1);
        const auto equals = member.find('=');
        if (member.substr(0, equals) != name) continue;
        return equals == std::string_view::npos ? std::string()
                                                : decoded(member.substr(equals + 1));
    }
    return std::nullopt;
}

}  // namespace padtrim::web
