#include <algorithm>
#include <cmath>
#include <map>

#include "recipes/document/nearest.hpp"
#include "recipes/language/check_documents.hpp"
#include "recipes/language/paths.hpp"
#include "recipes/language/words.hpp"

namespace padtrim::language {
namespace {

using document::Document;

constexpr std::size_t most_keys = 1024;

std::vector<std::string_view> names_of(const RegisterMap& map) {
    std::vector<std::string_view> names;
    for (const auto& key : map.keys) names.push_back(key.name);
    return names;
}

void check_key_names(Document& document, const RegisterMap& map) {
    std::map<std::string, std::size_t> seen;
    for (std::size_t i = 0; i < map.keys.size(); ++i)
        if (!map.keys[i].name.empty() && !seen.emplace(map.keys[i].name, i).second)
            document.complain(item_path("key", i, "name"),
                              "two keys have the name " + in_quotes(map.keys[i].name),
                              "Give each key a name of its own.");
}

// A place is told from the shares of neighbouring electrodes; around a wheel both ways.
std::size_t fewest_channels(KeyKind kind) {
    return kind == KeyKind::wheel ? 3 : kind == KeyKind::slider ? 2 : 1;
}

void check_channels(Document& document, const RegisterMap& map) {
    std::map<std::uint16_t, std::string> owners;
    for (std::size_t i = 0; i < map.keys.size(); ++i) {
        const auto path = item_path("key", i, "channels");
        const auto& channels = map.keys[i].channels;
        if (!document.sound(path) || !document.sound("channels") || map.channels == 0) continue;
        if (channels.empty())
            document.complain(path, "this key has no channel", "Name at least one channel.");
        else if (channels.size() < fewest_channels(map.keys[i].kind))
            document.complain(path,
                              std::string("a ") + std::string(word_of(map.keys[i].kind)) + " of " +
                                  std::to_string(channels.size()) +
                                  (channels.size() == 1 ? " channel" : " channels") +
                                  " cannot tell places apart",
                              "Name at least " + std::to_string(fewest_channels(map.keys[i].kind)) +
                                  ", in the order of the track.");
        for (std::size_t c = 0; c < channels.size(); ++c) {
            const auto at = document::path_item(path, c);
            if (channels[c] >= map.channels)
                document.complain(at,
                                  "channel " + std::to_string(channels[c]) +
                                      " does not exist; the product has channels 0 to " +
                                      std::to_string(map.channels - 1),
                                  "Channels count from 0.");
            const auto [owner, fresh] = owners.try_emplace(channels[c], map.keys[i].name);
            if (!fresh)
                document.complain(at,
                                  "channel " + std::to_string(channels[c]) +
                                      " already belongs to key " + in_quotes(owner->second),
                                  "Each channel belongs to one key.");
        }
    }
}

void check_neighbours(Document& document, const RegisterMap& map) {
    const auto names = names_of(map);
    for (std::size_t i = 0; i < map.keys.size(); ++i) {
        const auto& key = map.keys[i];
        for (std::size_t n = 0; n < key.neighbours.size(); ++n) {
            const auto at = document::path_item(item_path("key", i, "neighbours"), n);
            if (key.neighbours[n] == key.name)
                document.complain(at, "this key is its own neighbour", "Leave it out.");
            else if (std::find(names.begin(), names.end(), key.neighbours[n]) == names.end())
                document.complain(at, "there is no key " + in_quotes(key.neighbours[n]),
                                  document::suggestion(key.neighbours[n], names));
        }
    }
}

bool overlap(const Key& a, const Key& b) {
    const double dx = std::abs((a.x - b.x).value());
    const double dy = std::abs((a.y - b.y).value());
    return dx * 2.0 < (a.width + b.width).value() && dy * 2.0 < (a.height + b.height).value();
}

bool inside(double centre, double size, double whole) {
    return centre - size / 2.0 >= 0.0 && centre + size / 2.0 <= whole;
}

void check_geometry(Document& document, const RegisterMap& map) {
    if (!document.sound("panel")) return;
    for (std::size_t i = 0; i < map.keys.size(); ++i) {
        const auto& key = map.keys[i];
        if (!document.sound(item_path("key", i))) continue;
        if (!inside(key.x.value(), key.width.value(), map.panel_width.value()) ||
            !inside(key.y.value(), key.height.value(), map.panel_height.value()))
            document.complain(item_path("key", i),
                              "key " + in_quotes(key.name) + " reaches beyond the panel",
                              "x and y are of the key's centre, from the lower left corner.");
        for (std::size_t other = 0; other < i; ++other)
            if (document.sound(item_path("key", other)) && overlap(key, map.keys[other]))
                document.complain(item_path("key", i),
                                  "key " + in_quotes(key.name) + " lies over key " +
                                      in_quotes(map.keys[other].name),
                                  "Check x, y, width and height of both.");
    }
}

}  // namespace

void check_keys(Document& document, const RegisterMap& map) {
    if (document.sound("key") && map.keys.empty())
        document.complain("key", "this panel has no keys", "Add [[key]] tables.");
    if (map.keys.size() > most_keys)
        return document.complain("key",
                                 "this panel has " + std::to_string(map.keys.size()) + " keys",
                                 "1024 are allowed.");
    check_key_names(document, map);
    check_channels(document, map);
    check_neighbours(document, map);
    check_geometry(document, map);
}

}  // namespace padtrim::language
