// The finger of a fixture profile: what it says and hears, and that it moves sideways above every
// panel, with a target in front of it too.
#include <algorithm>
#include <regex>

#include "recipes/document/quantity_text.hpp"
#include "recipes/language/check_documents.hpp"
#include "recipes/language/paths.hpp"

namespace padtrim::language {
namespace {

using document::Document;

// Between the panel and what moves sideways over it. Panels lie tilted, overlays differ in
// thickness and a fingertip gives: common practice, no source.
constexpr Millimetre least_clearance(1.0);

// A number for a faster finger was meant in another unit: common practice, no source.
constexpr MillimetrePerSecond fastest_finger(1000.0);

// A line break inside would begin a second line, which the motion controller would obey.
bool check_line(Document& document, const std::string& key, const std::string& line) {
    const auto path = "finger." + key;
    if (!document.sound(path)) return false;
    if (std::all_of(line.begin(), line.end(), [](char c) { return c >= ' ' && c <= '~'; }))
        return true;
    document.complain(path, "this line has characters that are not printable ASCII",
                      "Write one line, without its end: the station ends it.");
    return false;
}

// The patterns must compile here: otherwise the driver would find out with the finger in motion.
void check_pattern(Document& document, const std::string& key, const std::string& pattern,
                   unsigned groups) {
    constexpr std::size_t longest_pattern = 200;
    const auto path = "finger." + key;
    if (!check_line(document, key, pattern)) return;
    if (pattern.size() > longest_pattern)
        return document.complain(path, "this pattern is longer than 200 characters",
                                 "Write a shorter one.");
    try {
        const std::regex compiled(pattern, std::regex::ECMAScript);
        if (std::regex_match("", compiled) || std::regex_match("zq", compiled))
            document.complain(path, "this pattern takes anything for an answer",
                              "Write the controller's own words.");
        if (compiled.mark_count() < groups)
            document.complain(
                path, "this pattern has too few groups; X, Y, Z and whether it stands need four",
                "Put each of the four in ( ).");
    } catch (const std::regex_error&) {
        document.complain(path, "this is not an ECMAScript regular expression",
                          "Check brackets; put \\\\ before . ? * + ( ) that stand for themselves.");
    }
}

// The parts of a pattern that its groups take, in order.
std::vector<std::string> groups_of(const std::string& pattern) {
    std::vector<std::string> groups;
    std::vector<std::optional<std::size_t>> open;  // places in `groups`, none for (?:
    std::vector<std::size_t> begins;
    bool in_class = false;
    for (std::size_t i = 0; i < pattern.size(); ++i) {
        const char c = pattern[i];
        if (c == '\\') {
            ++i;
        } else if (in_class) {
            in_class = c != ']';
        } else if (c == '[') {
            in_class = true;
        } else if (c == '(') {
            const bool counts = i + 1 >= pattern.size() || pattern[i + 1] != '?';
            open.push_back(counts ? std::optional(groups.size()) : std::nullopt);
            begins.push_back(i + 1);
            if (counts) groups.emplace_back();
        } else if (c == ')' && !open.empty()) {
            if (open.back())
                groups[*open.back()] = pattern.substr(begins.back(), i - begins.back());
            open.pop_back();
            begins.pop_back();
        }
    }
    return groups;
}

// X, Y, Z, then whether it stands: a finger that is thought to stand somewhere else hits something.
void check_position(Document& document, const Finger& finger) {
    if (!document.sound("finger.position_reply") || !document.sound("finger.standing")) return;
    const auto groups = groups_of(finger.position_reply);
    if (groups.size() < 4) return;
    const auto takes = [](const std::string& group, const std::string& text) {
        return std::regex_match(text, std::regex(group, std::regex::ECMAScript));
    };
    for (std::size_t i = 0; i < 3; ++i)
        if (!takes(groups[i], "12.345") && !takes(groups[i], "12345") && !takes(groups[i], "12.3"))
            return document.complain(
                "finger.position_reply",
                "group " + std::to_string(i + 1) + " does not take a number; X, Y and Z come first",
                "Write the groups in the order X, Y, Z, whether it stands.");
    if (!takes(groups[3], finger.standing))
        document.complain("finger.standing",
                          "group 4 of position_reply does not take this word: the finger would "
                          "never stand",
                          "Write the word that the controller says when it stands.");
}

void check_words_apart(Document& document, const Finger& finger) {
    if (!document.sound("finger")) return;
    if (finger.refusal == finger.acknowledgement)
        document.complain("finger.refusal", "a refusal would be read as the acknowledgement",
                          "Write what the controller says when it refuses a line.");
    if (!finger.alarm.empty() && finger.alarm == finger.acknowledgement)
        document.complain("finger.alarm", "an alarm would be read as the acknowledgement",
                          "Write what the controller says when it has stopped by itself.");
}

void check_stopping(Document& document, const Finger& finger) {
    check_line(document, "stop", finger.stop);
    check_line(document, "resume", finger.resume);
    check_line(document, "discard", finger.discard);
    const bool ends = !finger.resume.empty() || !finger.discard.empty();
    if (finger.stop.empty() != ends || !document.sound("finger")) return;
    const char* const end = finger.discard.empty() ? "finger.resume" : "finger.discard";
    document.complain(finger.stop.empty() ? end : "finger.stop",
                      finger.stop.empty() ? "nothing begins the hold that this line ends"
                                          : "nothing ends the hold that this line begins",
                      "Write stop together with resume or discard, or none of them.");
}

void check_touch_zone(Document& document, const Finger& finger) {
    if (!document.sound("finger") || finger.touch_zone <= Millimetre(0.0)) return;
    if (finger.touch_speed <= MillimetrePerSecond(0.0))
        document.complain("finger.touch_zone", "no speed is given for this zone",
                          "Add touch_speed, or leave touch_zone out.");
    else if (finger.touch_speed > finger.approach_speed)
        document.complain("finger.touch_speed", "this is faster than approach_speed",
                          "Write a slower speed: the zone is where the panel may be hit.");
}

void check_heights(Document& document, const Finger& finger) {
    if (!document.sound("finger")) return;
    if (finger.safe_height <= finger.surface_height)
        document.complain("finger.safe_height",
                          "lateral moves at this height would strike the panel",
                          "Write a height above surface_height.");
    else if (finger.safe_height < finger.surface_height + least_clearance)
        document.complain(
            "finger.safe_height",
            "lateral moves at this height pass " +
                document::rounded((finger.safe_height - finger.surface_height).value()) +
                " mm above the panel",
            "Write a height at least 1 mm above surface_height.");
    if (finger.safe_height > finger.travel_z)
        document.complain("finger.safe_height", "this height is beyond travel_z",
                          "The finger can only be where 0 to travel_z allows.");
}

void check_speed(Document& document, const std::string& key, MillimetrePerSecond speed) {
    const auto path = "finger." + key;
    if (speed <= fastest_finger || !document.sound(path)) return;
    document.complain(
        path, "no finger is meant to move at " + document::quantity_text(speed.value(), "mm/s"),
        "Write a speed of at most " + document::quantity_text(fastest_finger.value(), "mm/s") +
            '.');
}

// What swings in front of the finger hangs below its tip during lateral moves.
void check_targets(Document& document, const FixtureProfile& fixture, const Finger& finger) {
    if (!document.sound("finger")) return;
    const Millimetre room = finger.safe_height - finger.surface_height - least_clearance;
    for (std::size_t i = 0; i < fixture.targets.size(); ++i) {
        const auto path = item_path("target", i, "thickness");
        const auto& target = fixture.targets[i];
        if (!target.coil || target.thickness <= room || !document.sound(path)) continue;
        document.complain(path,
                          "in front of the finger at its safe height, " + in_quotes(target.name) +
                              " would strike the panel or pass less than 1 mm above it",
                          "Raise safe_height, or use a target of at most " +
                              document::rounded(room.value()) + " mm.");
    }
}

// Left out, a panel would lie at 0, 0, and the finger would be sent there.
void check_origins(Document& document, const FixtureProfile& fixture) {
    for (std::size_t i = 0; i < fixture.nests.size(); ++i) {
        const auto path = item_path("nest", i);
        const auto& nest = document::nearest_node(document.root(), path);
        if (!document.sound(path) ||
            (nest.find("origin_x") != nullptr && nest.find("origin_y") != nullptr))
            continue;
        document.complain(path, "nothing tells the finger where the panel of this nest lies",
                          "Add origin_x and origin_y, of the panel's lower left corner.");
    }
}

}  // namespace

void check_finger_profile(Document& document, const FixtureProfile& fixture) {
    if (!fixture.finger) return;
    const auto& finger = *fixture.finger;
    check_line(document, "home", finger.home);
    check_line(document, "position_request", finger.position_request);
    check_pattern(document, "greeting", finger.greeting, 0);
    check_pattern(document, "acknowledgement", finger.acknowledgement, 0);
    check_pattern(document, "refusal", finger.refusal, 0);
    check_pattern(document, "position_reply", finger.position_reply, 4);
    check_pattern(document, "alarm", finger.alarm, 0);
    check_line(document, "standing", finger.standing);
    check_stopping(document, finger);
    check_position(document, finger);
    check_words_apart(document, finger);
    check_touch_zone(document, finger);
    check_speed(document, "travel_speed", finger.travel_speed);
    check_speed(document, "approach_speed", finger.approach_speed);
    check_heights(document, finger);
    check_targets(document, fixture, finger);
    check_origins(document, fixture);
}

}  // namespace padtrim::language
