#include "station/web/members.hpp"

#include "station/answers/names.hpp"
#include "station/answers/printable.hpp"

namespace padtrim::web {

using answers::Json;

Members::Members(const std::string& body) {
    if (body.empty()) return;
    auto value = answers::parse_json(body);
    if (value && value->is_object())
        object_ = std::move(value->get_object());
    else
        wrong_ = "The body is not a JSON object.";
}

void Members::take(const char* name, std::string& into) {
    if (const Json* value = find(name, "a string", &Json::is_string))
        into = std::string(value->get_string());
}

void Members::take(const char* name, bool& into) {
    if (const Json* value = find(name, "true or false", &Json::is_bool)) into = value->get_bool();
}

void Members::take(const char* name, std::uint32_t& into) {
    constexpr const char* wanted = "a whole number from 0 to 1000000";
    const Json* value = find(name, wanted, &Json::is_int64);
    if (!value) return;
    if (value->get_int64() < 0 || value->get_int64() > 1'000'000) return refuse(name, wanted);
    into = static_cast<std::uint32_t>(value->get_int64());
}

void Members::take(const char* name, std::int64_t& into) {
    constexpr const char* wanted = "a whole number from 1 on";
    const Json* value = find(name, wanted, &Json::is_int64);
    if (!value) return;
    if (value->get_int64() < 1) return refuse(name, wanted);
    into = value->get_int64();
}

void Members::take(const char* name, double& into) {
    const Json* value = find(name, "a number", &Json::is_number);
    if (value != nullptr) into = value->to_number<double>();
}

void Members::take_name(const char* name, std::string& into, bool required) {
    take(name, into);
    if (!wrong_.empty() || (into.empty() && !required)) return;
    wrong_ = answers::wrong_with_name(name, into);
}

std::string Members::wrong() const {
    if (!wrong_.empty() || object_.empty()) return wrong_;
    const std::string_view key(object_.begin()->key());
    return "There is no member \"" + answers::printable(key, 40) + "\" in this call.";
}

const Json* Members::find(const char* name, const char* wanted, bool (Json::*is)() const noexcept) {
    const Json* value = object_.if_contains(name);
    if (value == nullptr) return nullptr;
    taken_ = *value;
    object_.erase(name);
    if ((taken_.*is)()) return &taken_;
    refuse(name, wanted);
    return nullptr;
}

void Members::refuse(const char* name, const char* wanted) {
    if (wrong_.empty()) wrong_ = std::string("\"") + name + "\" has to be " + wanted + ".";
}

}  // namespace padtrim::web
