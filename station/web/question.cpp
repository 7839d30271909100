#include "station/web/question.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <limits>

#include <boost/json/object.hpp>

#include "station/answers/chart.hpp"
#include "station/answers/json.hpp"
#include "station/answers/printable.hpp"
#include "station/web/query.hpp"

namespace padtrim::web {
namespace {

std::string listed(const std::vector<std::string>& names) {
    std::string list;
    for (const auto& name : names) list += (list.empty() ? "" : ", ") + name;
    return list;
}

template <class Number>
std::optional<Number> read_number(const std::string& text) {
    Number value{};
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error != std::errc{} || end != text.data() + text.size()) return std::nullopt;
    return value;
}

// As an address would say it.
std::optional<std::string> words_of_value(const answers::Json& value) {
    if (value.is_string()) return std::string(value.get_string());
    if (value.is_bool()) return value.get_bool() ? "yes" : "no";
    if (value.is_int64()) return std::to_string(value.get_int64());
    if (value.is_double()) return answers::exact(value.get_double());
    return std::nullopt;
}

}  // namespace

Question::Question(std::string_view query) {
    while (!query.empty()) {
        const auto end = query.find('&');
        const std::string_view member = query.substr(0, end);
        query = end == std::string_view::npos ? std::string_view() : query.substr(end + 1);
        if (member.empty()) continue;
        const std::string name(member.substr(0, member.find('=')));
        const auto value = query_value(member, name);
        if (!value && wrong_.empty()) wrong_ = "The address is not properly encoded.";
        if (!members_.emplace(name, value.value_or("")).second && wrong_.empty())
            wrong_ = "'" + answers::printable(name, 40) + "' is said twice.";
    }
}

Question Question::of_body(const std::string& body) {
    Question question("");
    const auto json = answers::parse_json(body);
    if (!json || !json->is_object()) {
        question.wrong_ = "The body is not a JSON object.";
        return question;
    }
    for (const auto& [key, value] : json->get_object()) {
        const auto words = words_of_value(value);
        if (!words) question.refuse(answers::printable(key, 40), "a text, a number, true or false");
        question.members_.emplace(std::string(key), words.value_or(""));
    }
    return question;
}

void Question::refuse(std::string_view name, const std::string& wanted) {
    if (wrong_.empty()) wrong_ = "'" + std::string(name) + "' has to be " + wanted + ".";
}

// An empty field of a form says nothing.
std::optional<std::string> Question::text(std::string_view name) {
    const auto at = members_.find(name);
    if (at == members_.end()) return std::nullopt;
    std::string value = std::move(at->second);
    members_.erase(at);
    if (value.empty()) return std::nullopt;
    return value;
}

std::string Question::one_of(std::string_view name, const std::vector<std::string>& names) {
    const auto value = text(name);
    if (!value) return names.front();
    if (std::find(names.begin(), names.end(), *value) != names.end()) return *value;
    refuse(name, "one of " + listed(names));
    return names.front();
}

std::vector<std::string> Question::some_of(std::string_view name,
                                           const std::vector<std::string>& names) {
    std::vector<std::string> some;
    std::string rest = text(name).value_or("");
    while (!rest.empty()) {
        const auto comma = rest.find(',');
        const std::string one = rest.substr(0, comma);
        rest = comma == std::string::npos ? "" : rest.substr(comma + 1);
        if (std::find(names.begin(), names.end(), one) == names.end())
            refuse(name, "of " + listed(names));
        else
            some.push_back(one);
    }
    return some;
}

bool Question::says(std::initializer_list<std::string_view> names) const {
    return std::any_of(names.begin(), names.end(), [this](std::string_view name) {
        const auto at = members_.find(name);
        return at != members_.end() && !at->second.empty();
    });
}

bool Question::flag(std::string_view name) {
    const auto at = members_.find(name);
    if (at == members_.end()) return false;
    const std::string value = std::move(at->second);
    members_.erase(at);
    if (value == "no" || value == "0") return false;
    if (value != "yes" && value != "1" && !value.empty()) refuse(name, "yes or no");
    return true;
}

std::optional<double> Question::number(std::string_view name, const answers::NumberRange& range) {
    const auto typed = text(name);
    if (!typed) return std::nullopt;
    const auto value = read_number<double>(*typed);
    if (value && *value >= range.low && *value <= range.high) return value;
    refuse(name,
           "a number from " + answers::exact(range.low) + " to " + answers::exact(range.high));
    return std::nullopt;
}

std::optional<std::size_t> Question::count(std::string_view name,
                                           const answers::CountRange& range) {
    const auto typed = text(name);
    if (!typed) return std::nullopt;
    const auto value = read_number<std::size_t>(*typed);
    if (value && *value >= range.low && *value <= range.high) return value;
    refuse(name, "a whole number from " + std::to_string(range.low) + " to " +
                     std::to_string(range.high));
    return std::nullopt;
}

answers::QualityWords Question::words() {
    constexpr answers::CountRange places{0, 65535};
    answers::QualityWords words;
    words.since = text("since").value_or("");
    words.until = text("until").value_or("");
    words.lot = text("lot");
    words.station = text("station");
    words.product = text("product");
    words.recipe = text("recipe");
    words.recipe_revision = text("revision");
    words.fixture = text("fixture");
    words.check = text("check");
    words.key = text("key");
    words.step = text("step");
    if (const auto channel = count("channel", places)) words.channel = static_cast<int>(*channel);
    if (const auto frequency = count("frequency", places))
        words.frequency = static_cast<int>(*frequency);
    if (const auto nest = count("nest", places)) words.nest = static_cast<std::uint16_t>(*nest);
    words.measure_only = flag("measure-only");
    words.drafts = flag("drafts");
    return words;
}

std::string Question::wrong() const {
    if (!wrong_.empty() || members_.empty()) return wrong_;
    return "There is no '" + answers::printable(members_.begin()->first, 40) + "' in this call.";
}

}  // namespace padtrim::web
