#include "station/cli/teach_texts.hpp"

#include <cctype>
#include <charconv>
#include <cmath>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <fmt/format.h>

#include "station/answers/json.hpp"
#include "station/answers/printable.hpp"

namespace padtrim::cli {
namespace {

// A panel that is drawn right and lies straight agrees better. Common practice, no source.
constexpr double badly_agreed = 0.5;  // mm

std::optional<double> number_of(std::string text) {
    if (!text.empty() && text.front() == '+') text.erase(0, 1);
    double value = 0.0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error != std::errc{} || end != text.data() + text.size() || !std::isfinite(value))
        return std::nullopt;
    return value;
}

TeachLine step_of(char axis, const std::string& text) {
    TeachLine line;
    const auto value = number_of(text);
    if (!value) return line;
    line.act = TeachAct::step;
    (axis == 'x' ? line.by.x : axis == 'y' ? line.by.y : line.by.z) = Millimetre(*value);
    return line;
}

TeachLine search_of(std::string key) {
    constexpr std::string_view here = " here";
    TeachLine line;
    if (key.size() > here.size() && key.ends_with(here)) {
        line.here = true;
        key.erase(key.size() - here.size());
    }
    line.act = TeachAct::find;
    line.key = std::move(key);
    return line;
}

std::string lower(std::string text) {
    for (char& letter : text)
        letter = static_cast<char>(std::tolower(static_cast<unsigned char>(letter)));
    return text;
}

}  // namespace

TeachLine read_teach_line(const std::string& typed) {
    std::string line = typed;
    const bool key = lower(line).starts_with("find ");  // names of keys have their own case
    if (!key) line = lower(line);
    static const std::vector<std::pair<std::string, TeachAct>> words = {
        {"", TeachAct::nothing}, {"clear", TeachAct::clear}, {"stop", TeachAct::stop},
        {"all", TeachAct::all},  {"where", TeachAct::where}, {"write", TeachAct::write},
        {"quit", TeachAct::quit}};
    for (const auto& [word, act] : words)
        if (line == word) return {act, {}, {}, false};
    const std::size_t blank = line.find(' ');
    if (blank == std::string::npos) return {};
    const std::string word = line.substr(0, blank);
    std::string rest;  // single blanks within, as keys' names have
    for (const char letter : line.substr(line.find_first_not_of(' ', blank)))
        if (letter != ' ' || rest.back() != ' ') rest += letter;
    if (key) return search_of(rest);
    if (word == "x" || word == "y" || word == "z") return step_of(word.front(), rest);
    return {};
}

std::string waits_text(bool discards) {
    return std::string(
               "Nothing moves until somebody types clear. If the finger lost its place it "
               "then ") +
           (discards ? "" : "drives the rest of the way it was stopped on and ") +
           "homes over its whole travel.";
}

std::string no_word_text(const std::string& line) {
    return "\"" + answers::printable(line, 60) +
           "\" is no word of this session. There are: x MM, y MM, z MM, find KEY [here], all, "
           "where, clear, stop, write, quit.";
}

std::string left_out_text(const language::Key& key) {
    return answers::printable(key.name, 40) +
           (key.kind == language::KeyKind::wheel
                ? ": left out; a wheel's centre is not found by its counts."
                : ": left out, since it is no single button; type find and its name to try.");
}

std::string centre_text(const std::string& key, const metrology::FoundCentre& found,
                        const metrology::Spot& expected) {
    return fmt::format(
        "{}: centre at X {:.2f}, Y {:.2f} mm, {:+.2f} and {:+.2f} from where the profile has it; "
        "half the change over {:.1f} by {:.1f} mm; repeats to {:.2f} mm; {} looks",
        answers::printable(key, 40), found.centre.x.value(), found.centre.y.value(),
        (found.centre.x - expected.x).value(), (found.centre.y - expected.y).value(),
        found.width_x.value(), found.width_y.value(), std::abs(found.repeat.value()), found.looks);
}

Lines taught_lines(const TaughtNest& taught) {
    if (taught.keys.empty()) return {"No key was found yet."};
    const auto origin = metrology::origin_of(taught.keys);
    Lines lines = {
        fmt::format("Nest {}: origin X {:.2f}, Y {:.2f} mm from {} {} (before: {:.2f}, {:.2f})",
                    taught.nest, origin.origin.x.value(), origin.origin.y.value(),
                    taught.keys.size(), taught.keys.size() == 1 ? "key" : "keys",
                    taught.origin_before.x.value(), taught.origin_before.y.value())};
    if (taught.keys.size() < 2) {
        lines.emplace_back(
            "One key does not tell whether the panel lies turned; two far apart do.");
    } else {
        lines.push_back(
            fmt::format("Key {} lies farthest from where this origin puts it: {:.2f} mm.",
                        answers::printable(origin.key, 40), origin.farthest.value()));
        if (origin.farthest.value() > badly_agreed)
            lines.emplace_back(
                "That is much: the panel lies turned, or the register map has the keys elsewhere.");
    }
    return lines;
}

boost::json::value taught_json(const TaughtNest& taught, const std::string& written) {
    boost::json::array keys;
    for (std::size_t at = 0; at < taught.keys.size(); ++at) {
        const auto& found = taught.centres[at];
        keys.push_back({{"key", answers::text(taught.keys[at].key)},
                        {"x_mm", found.centre.x.value()},
                        {"y_mm", found.centre.y.value()},
                        {"width_x_mm", found.width_x.value()},
                        {"width_y_mm", found.width_y.value()},
                        {"repeat_mm", found.repeat.value()},
                        {"change_counts", found.change},
                        {"looks", found.looks}});
    }
    boost::json::object all{{"nest", taught.nest}, {"keys", std::move(keys)}};
    if (!taught.keys.empty()) {
        const auto origin = metrology::origin_of(taught.keys);
        all["origin_x_mm"] = origin.origin.x.value();
        all["origin_y_mm"] = origin.origin.y.value();
        all["farthest_mm"] = origin.farthest.value();
    }
    all["written"] = answers::text(written);
    return all;
}

}  // namespace padtrim::cli
