#include "recipes/language/changes.hpp"

#include <algorithm>
#include <optional>
#include <set>

#include "recipes/document/field_writer.hpp"
#include "recipes/document/quantity_text.hpp"
#include "recipes/document/toml.hpp"
#include "recipes/language/layouts.hpp"

namespace padtrim::language {

namespace {

using document::Node;

template <class T>
Node written(const T& thing) {
    document::FieldWriter writer;
    T copy = thing;  // layouts ask for a variable
    describe(writer, copy);
    return writer.take();
}

// A value as the document has it; texts without their quotation marks.
std::string text_of(const Node& node) {
    if (const auto* text = std::get_if<std::string>(&node.value)) return *text;
    if (std::holds_alternative<document::Table>(node.value)) {
        const std::string list = text_of(Node{document::List{node}, {}});
        return list.substr(1, list.size() - 3);  // without [ and ,]
    }
    std::string line = document::toml_text(Node{document::Table{{"k", {}, node}}, {}});
    line = line.substr(std::min(line.size(), line.find('=') + 1));
    while (!line.empty() && (line.back() == '\n' || line.back() == ' ')) line.pop_back();
    std::string one_line;
    for (const char c : line) {
        if (c == '\n') continue;
        if (c == ' ' && (one_line.empty() || one_line.back() == ' ')) continue;
        one_line += c;
    }
    return one_line;
}

// What tells an item of a list from the others: its name or number, or where it belongs.
std::string name_in(const Node& item) {
    if (const Node* name = item.find("name")) return text_of(*name);
    if (const Node* number = item.find("number")) return text_of(*number);
    std::string name;
    for (const char* key : {"nest", "channel", "reference", "product", "key", "keys", "channels"}) {
        const Node* part = item.find(key);
        if (part != nullptr) name += (name.empty() ? "" : ", ") + (key + (" " + text_of(*part)));
    }
    return name;
}

bool is_list_of_tables(const Node& node) {
    const auto* list = std::get_if<document::List>(&node.value);
    return list != nullptr && !list->empty() &&
           std::holds_alternative<document::Table>(list->front().value);
}

bool all_named(const document::List& list) {
    std::set<std::string> names;
    return std::all_of(list.begin(), list.end(), [&](const Node& item) {
        const std::string name = name_in(item);
        return !name.empty() && names.insert(name).second;
    });
}

// The unit behind the last number of "380 to 430 counts/pF".
std::string unit_in(const std::string& limit) {
    const auto at = limit.find_last_of("0123456789");
    if (at == std::string::npos || at + 2 > limit.size()) return "1";
    return limit.substr(at + 2);
}

std::optional<document::Limit> limit_in(const std::string& text) {
    const auto parsed = document::parse_limit(text, unit_in(text));
    if (!parsed) return std::nullopt;
    return *parsed;
}

// Above 0 when `after` allows more on that side, below 0 when less.
int wider_low(const document::Limit& before, const document::Limit& after) {
    if (before.low == after.low) return 0;
    if (!after.low) return 1;
    return !before.low || *after.low > *before.low ? -1 : 1;
}
int wider_high(const document::Limit& before, const document::Limit& after) {
    if (before.high == after.high) return 0;
    if (!after.high) return 1;
    return !before.high || *after.high < *before.high ? -1 : 1;
}

ChangeKind kind_of(const std::string& before, const std::string& after) {
    const auto was = limit_in(before), is = limit_in(after);
    if (!was || !is || unit_in(before) != unit_in(after)) return ChangeKind::limit_shifted;
    const int low = wider_low(*was, *is), high = wider_high(*was, *is);
    if (low >= 0 && high >= 0) return ChangeKind::limit_widened;
    return low <= 0 && high <= 0 ? ChangeKind::limit_tightened : ChangeKind::limit_shifted;
}

bool is_limit(const std::string& what) {
    return what.rfind("limits.", 0) == 0 || what.find(".limits.") != std::string::npos;
}

std::string subject_of(const std::string& what) {
    if (!is_limit(what)) return what;
    std::string name = what.substr(what.find("limits.") + 7);
    std::replace(name.begin(), name.end(), '_', ' ');
    return "the limit on " + name;
}

const char* verb_of(ChangeKind kind) {
    switch (kind) {
        case ChangeKind::limit_widened:
            return "widened";
        case ChangeKind::limit_tightened:
            return "tightened";
        case ChangeKind::limit_shifted:
            return "shifted";
        case ChangeKind::limit_added:
        case ChangeKind::added:
            return "added";
        case ChangeKind::limit_removed:
        case ChangeKind::removed:
            return "removed";
        default:
            return "changed";
    }
}

class Comparison {
  public:
    explicit Comparison(std::string document) : document_(std::move(document)) {}

    Changes take() { return std::move(changes_); }

    // Fields of two tables, in the order in which they are written.
    void tables(const std::string& place, const std::string& path, const Node& before,
                const Node& after) {
        const auto* left = std::get_if<document::Table>(&before.value);
        const auto* right = std::get_if<document::Table>(&after.value);
        if (!left || !right) return leaf(place, path, &before, &after);
        for (const auto& entry : *left) {
            field(place, below(path, entry.key), &entry.node, after.find(entry.key));
        }
        for (const auto& entry : *right) {
            if (!before.find(entry.key)) {
                field(place, below(path, entry.key), nullptr, &entry.node);
            }
        }
    }

  private:
    static std::string below(const std::string& path, const std::string& key) {
        return path.empty() ? key : path + '.' + key;
    }

    void field(const std::string& place, const std::string& path, const Node* before,
               const Node* after) {
        const bool tables_here =
            (before && std::holds_alternative<document::Table>(before->value)) ||
            (after && std::holds_alternative<document::Table>(after->value));
        if (tables_here) {
            const Node nothing{document::Table{}, {}};
            return tables(place, path, before ? *before : nothing, after ? *after : nothing);
        }
        if ((before && is_list_of_tables(*before)) || (after && is_list_of_tables(*after))) {
            const Node nothing{document::List{}, {}};
            return lists(path, before ? *before : nothing, after ? *after : nothing, place);
        }
        leaf(place, path, before, after);
    }

    void leaf(const std::string& place, const std::string& path, const Node* before,
              const Node* after) {
        const std::string was = before ? text_of(*before) : "", is = after ? text_of(*after) : "";
        if (was == is && (before != nullptr) == (after != nullptr)) return;
        ChangeKind kind = ChangeKind::changed;
        const bool limit = is_limit(path);
        if (!before) kind = limit ? ChangeKind::limit_added : ChangeKind::added;
        if (!after) kind = limit ? ChangeKind::limit_removed : ChangeKind::removed;
        if (before && after && limit) kind = kind_of(was, is);
        std::string sentence = (place.empty() ? "" : "In " + place + " ") + subject_of(path) +
                               " was " + verb_of(kind) + ": ";
        const auto* whole = before ? before : after;
        if (!before || !after) {
            const bool table = std::holds_alternative<document::Table>(whole->value);
            sentence = table ? sentence.substr(0, sentence.size() - 2) + "."
                             : sentence + (before ? "it was " + was : is) + ".";
        }
        if (before && after) sentence += was + " before, " + is + " now.";
        add(kind, place, path, was, is, std::move(sentence));
    }

    void add(ChangeKind kind, const std::string& place, const std::string& what,
             const std::string& before, const std::string& after, std::string sentence) {
        if (sentence[0] >= 'a' && sentence[0] <= 'z')
            sentence[0] = static_cast<char>(sentence[0] - 'a' + 'A');
        changes_.push_back({kind, document_, place, what, before, after, std::move(sentence)});
    }

    void lists(const std::string& path, const Node& before, const Node& after,
               const std::string& place) {
        const auto& left = std::get<document::List>(before.value);
        const auto& right = std::get<document::List>(after.value);
        if (all_named(left) && all_named(right)) return named(path, left, right, place);
        const std::size_t both = std::min(left.size(), right.size());
        for (std::size_t i = 0; i < both; ++i) {
            tables(place, path + '[' + std::to_string(i + 1) + ']', left[i], right[i]);
        }
        for (std::size_t i = both; i < left.size(); ++i) {
            leaf(place, path + '[' + std::to_string(i + 1) + ']', &left[i], nullptr);
        }
        for (std::size_t i = both; i < right.size(); ++i) {
            leaf(place, path + '[' + std::to_string(i + 1) + ']', nullptr, &right[i]);
        }
    }

    void named(const std::string& path, const document::List& left, const document::List& right,
               const std::string& within) {
        const auto place_of = [](const document::List& list, const std::string& name) {
            return std::find_if(list.begin(), list.end(),
                                [&](const Node& item) { return name_in(item) == name; });
        };
        const auto called = [&](const Node& item) {
            return (within.empty() ? "" : within + ", ") + path + " " + name_in(item);
        };
        for (const Node& item : left) {
            const auto other = place_of(right, name_in(item));
            if (other != right.end()) {
                tables(called(item), "", item, *other);
            } else {
                add(path == "step" ? ChangeKind::step_removed : ChangeKind::removed, called(item),
                    "", text_of(item), "", called(item) + " was removed.");
            }
        }
        for (auto item = right.begin(); item != right.end(); ++item) {
            if (place_of(left, name_in(*item)) != left.end()) continue;
            if (item->find("limits") != nullptr && path == "except") {
                tables(called(*item), "limits", Node{document::Table{}, {}}, *item->find("limits"));
                continue;
            }
            const std::string where =
                item == right.begin() ? "at the beginning" : "after " + called(*std::prev(item));
            add(path == "step" ? ChangeKind::step_added : ChangeKind::added, called(*item), "", "",
                text_of(*item), called(*item) + " was added " + where + ".");
        }
        moves(path, left, right);
    }

    // What stands elsewhere among those that both have: all but a longest run in the old order.
    void moves(const std::string& path, const document::List& left, const document::List& right) {
        std::vector<std::string> order;
        for (const Node& item : right) order.push_back(name_in(item));
        std::vector<std::pair<std::string, std::size_t>> kept;  // name, place in `right`
        for (const Node& item : left) {
            const auto at = std::find(order.begin(), order.end(), name_in(item));
            if (at != order.end()) {
                kept.emplace_back(name_in(item), static_cast<std::size_t>(at - order.begin()));
            }
        }
        std::vector<std::size_t> longest(kept.size(), 1), from(kept.size(), kept.size());
        for (std::size_t i = 0; i < kept.size(); ++i) {
            for (std::size_t j = 0; j < i; ++j) {
                if (kept[j].second > kept[i].second || longest[j] + 1 <= longest[i]) continue;
                longest[i] = longest[j] + 1;
                from[i] = j;
            }
        }
        std::set<std::size_t> still;
        if (!kept.empty()) {
            auto at = static_cast<std::size_t>(std::max_element(longest.begin(), longest.end()) -
                                               longest.begin());
            for (; at < kept.size(); at = from[at]) still.insert(at);
        }
        for (std::size_t i = 0; i < kept.size(); ++i) {
            if (still.count(i) > 0) continue;
            const std::size_t to = kept[i].second;
            const std::string where =
                to == 0 ? "to the beginning" : "behind " + path + " " + order[to - 1];
            add(path == "step" ? ChangeKind::step_moved : ChangeKind::changed,
                path + " " + kept[i].first, "", "", "",
                path + " " + kept[i].first + " was moved " + where + ".");
        }
    }

    std::string document_;
    Changes changes_;
};

template <class T>
Changes compared(const char* document, const T& before, const T& after) {
    Comparison comparison(document);
    comparison.tables("", "", written(before), written(after));
    return comparison.take();
}

}  // namespace

std::string_view name_of(ChangeKind kind) {
    constexpr std::string_view names[] = {"step added",    "step removed",    "step moved",
                                          "limit widened", "limit tightened", "limit shifted",
                                          "limit added",   "limit removed",   "changed",
                                          "added",         "removed"};
    return names[static_cast<std::size_t>(kind)];
}

Changes changes_between(const Recipe& before, const Recipe& after) {
    return compared("recipe", before, after);
}

Changes changes_between(const RegisterMap& before, const RegisterMap& after) {
    return compared("register map", before, after);
}

Changes changes_between(const FixtureProfile& before, const FixtureProfile& after) {
    return compared("fixture profile", before, after);
}

Changes changes_between(const Plan& before, const Plan& after) {
    Changes all = changes_between(before.recipe, after.recipe);
    for (auto& change : changes_between(before.map, after.map)) all.push_back(std::move(change));
    for (auto& change : changes_between(before.fixture, after.fixture)) {
        all.push_back(std::move(change));
    }
    return all;
}

}  // namespace padtrim::language
