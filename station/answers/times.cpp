#include "station/answers/times.hpp"

#include <chrono>
#include <cstdio>
#include <string_view>

#include "station/answers/json.hpp"

namespace padtrim::answers {
namespace {

using namespace std::chrono;
constexpr std::size_t day_length = 10;  // "2026-03-31"

std::optional<sys_days> day_of(const std::string& text) {
    int y = 0, used = 0;
    unsigned m = 0, d = 0;
    if (std::sscanf(text.c_str(), "%4d-%2u-%2u%n", &y, &m, &d, &used) != 3 ||
        used != static_cast<int>(day_length))
        return std::nullopt;
    const year_month_day date{year{y}, month{m}, day{d}};
    if (!date.ok()) return std::nullopt;
    return sys_days(date);
}

}  // namespace

std::string minute_words(record::WallTime at) {
    return *minute_words(iso_8601(at));
}

std::optional<std::string> minute_words(const std::string& iso) {
    constexpr std::string_view shape = "0000-00-00T00:00";
    if (iso.size() < shape.size()) return std::nullopt;
    for (std::size_t i = 0; i < iso.size(); ++i) {
        const char wanted = i < shape.size() ? shape[i] : '0';
        const bool digit = iso[i] >= '0' && iso[i] <= '9';
        const bool rest = i >= shape.size() && (iso[i] == ':' || iso[i] == '.' || iso[i] == 'Z');
        if (wanted == '0' ? !digit && !rest : iso[i] != wanted) return std::nullopt;
    }
    return iso.substr(0, 10) + " " + iso.substr(11, 5);
}

std::optional<record::WallTime> moment_of(const std::string& text) {
    const auto date = day_of(text.substr(0, day_length));
    if (!date) return std::nullopt;
    std::string rest = text.substr(day_length);
    if (rest.empty()) return record::WallTime(*date);
    if (rest.back() == 'Z') rest.pop_back();
    unsigned h = 0, m = 0, s = 0;
    int used = 0;
    const bool whole = std::sscanf(rest.c_str(), "T%2u:%2u:%2u%n", &h, &m, &s, &used) == 3;
    if (!whole && std::sscanf(rest.c_str(), "T%2u:%2u%n", &h, &m, &used) != 2) return std::nullopt;
    if (used != static_cast<int>(rest.size()) || h > 23 || m > 59 || s > 59) return std::nullopt;
    return record::WallTime(*date) + hours(h) + minutes(m) + seconds(s);
}

std::optional<record::WallTime> end_of(const std::string& text) {
    auto moment = moment_of(text);
    if (moment && text.size() == day_length) *moment += days(1);
    return moment;
}

std::optional<int> minutes_of_day(const std::string& text) {
    unsigned h = 0, m = 0;
    int used = 0;
    if (std::sscanf(text.c_str(), "%2u:%2u%n", &h, &m, &used) != 2) return std::nullopt;
    if (used != static_cast<int>(text.size()) || used != 5 || h > 23 || m > 59) return std::nullopt;
    return static_cast<int>(60 * h + m);
}

std::string time_of_day(int minutes) {
    const auto two = [](int number) { return (number < 10 ? "0" : "") + std::to_string(number); };
    return two(minutes / 60) + ":" + two(minutes % 60);
}

}  // namespace padtrim::answers
