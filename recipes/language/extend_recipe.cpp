#include "recipes/language/extend_recipe.hpp"

#include <algorithm>
#include <filesystem>
#include <utility>
#include <vector>

#include "recipes/document/nearest.hpp"
#include "recipes/language/layouts.hpp"
#include "recipes/language/paths.hpp"

namespace padtrim::language {
namespace {

using document::Document;
using document::Entry;
using document::List;
using document::Node;
using document::Place;
using document::Table;

constexpr std::size_t most_bases = 8;

std::string text_at(const Node& table, std::string_view key) {
    const Node* node = table.find(key);
    const auto* text = node != nullptr ? std::get_if<std::string>(&node->value) : nullptr;
    return text != nullptr ? *text : std::string();
}

// How results would name a step: its name, or its kind.
std::string name_of(const Node& step) {
    auto name = text_at(step, "name");
    return name.empty() ? text_at(step, "do") : name;
}

Place place_of(const Node& table, std::string_view key) {
    if (const auto* entries = std::get_if<Table>(&table.value))
        for (const auto& entry : *entries)
            if (entry.key == key) return entry.node.place;
    return table.place;
}

// The keys of `over` win; tables go on below, lists are taken whole.
void lay_over(Table& base, Table over) {
    for (auto& entry : over) {
        const auto same = std::find_if(base.begin(), base.end(),
                                       [&](const Entry& each) { return each.key == entry.key; });
        if (same == base.end()) {
            base.push_back(std::move(entry));
            continue;
        }
        auto* below = std::get_if<Table>(&same->node.value);
        auto* over_below = std::get_if<Table>(&entry.node.value);
        if (below != nullptr && over_below != nullptr)
            lay_over(*below, std::move(*over_below));
        else
            *same = std::move(entry);
    }
}

void take_out(Table& table, std::string_view key) {
    std::erase_if(table, [&](const Entry& entry) { return entry.key == key; });
}

// The steps of a base under change.
class Steps {
  public:
    Steps(Document& document, List steps) : document_(document), steps_(std::move(steps)) {}

    [[nodiscard]] List take() { return std::move(steps_); }

    void change(Node step) {
        if (!std::holds_alternative<Table>(step.value)) return steps_.push_back(std::move(step));
        const auto name = name_of(step);
        const auto at = find(name);
        // What was dropped may come back as another step.
        if (step.find("drop") != nullptr) return drop(step, name, at);
        if (!name.empty() && std::find(seen_.begin(), seen_.end(), name) != seen_.end())
            return document_.complain_at(
                step.place, "step", "step " + in_quotes(name) + " stands here a second time",
                "Say all that differs in one [[step]], or give a new one a "
                "name of its own.");
        seen_.push_back(name);
        if (at != steps_.size()) return merge(std::move(step), at);
        if (step.find("do") == nullptr) return unknown(step, "name", name);
        place(std::move(step), steps_.size());
    }

  private:
    [[nodiscard]] std::size_t find(const std::string& name) const {
        const auto same = std::find_if(steps_.begin(), steps_.end(), [&](const Node& each) {
            return std::holds_alternative<Table>(each.value) && name_of(each) == name;
        });
        return static_cast<std::size_t>(same - steps_.begin());
    }

    void unknown(const Node& step, std::string_view key, const std::string& name) {
        std::vector<std::string> names;
        for (const auto& each : steps_) names.push_back(name_of(each));
        const std::vector<std::string_view> known(names.begin(), names.end());
        document_.complain_at(place_of(step, key), "step",
                              "the base recipe has no step " + in_quotes(name),
                              document::suggestion(name, known));
    }

    void drop(const Node& step, const std::string& name, std::size_t at) {
        const auto* really = std::get_if<bool>(&step.find("drop")->value);
        if (really == nullptr || !*really)
            return document_.complain_at(place_of(step, "drop"), "step",
                                         "drop is said with true, or not at all",
                                         "Write drop = true, or leave the key out.");
        if (at == steps_.size()) return unknown(step, "name", name);
        if (std::get<Table>(step.value).size() > 2)
            return document_.complain_at(place_of(step, "drop"), "step",
                                         "a step that is dropped has no other keys",
                                         "Write its name and drop = true.");
        steps_.erase(steps_.begin() + static_cast<std::ptrdiff_t>(at));
    }

    void merge(Node over, std::size_t at) {
        const auto kind = text_at(over, "do"), base_kind = text_at(steps_[at], "do");
        if (!kind.empty() && kind != base_kind)
            return document_.complain_at(
                place_of(over, "do"), "step",
                "in the base recipe this step is do = " + in_quotes(base_kind),
                "Give the new step a name of its own, and drop the old one.");
        const bool moved = over.find("before") != nullptr || over.find("after") != nullptr;
        auto& base = std::get<Table>(steps_[at].value);
        lay_over(base, std::move(std::get<Table>(over.value)));
        if (!moved) return;
        Node step = std::move(steps_[at]);
        steps_.erase(steps_.begin() + static_cast<std::ptrdiff_t>(at));
        place(std::move(step), at);
    }

    // Puts a step where its `before` or `after` says, else at `otherwise`.
    void place(Node step, std::size_t otherwise) {
        std::size_t at = otherwise;
        if (step.find("before") != nullptr && step.find("after") != nullptr)
            document_.complain_at(place_of(step, "after"), "step",
                                  "a step stands before or after another, not both",
                                  "Leave one of the two out.");
        for (const std::string_view where : {"before", "after"}) {
            if (step.find(where) == nullptr) continue;
            const auto other = text_at(step, where);
            const auto found = find(other);
            if (found == steps_.size())
                unknown(step, where, other);
            else
                at = where == "before" ? found : found + 1;
            take_out(std::get<Table>(step.value), where);
        }
        steps_.insert(steps_.begin() + static_cast<std::ptrdiff_t>(at), std::move(step));
    }

    Document& document_;
    List steps_;
    std::vector<std::string> seen_;  // in the recipe that changes them
};

List steps_of(Node& root) {
    auto& table = std::get<Table>(root.value);
    for (auto& entry : table)
        if (auto* list = std::get_if<List>(&entry.node.value); list && entry.key == "step") {
            List steps = std::move(*list);
            take_out(table, "step");
            return steps;
        }
    return {};
}

Node laid_over(Document& document, Node base, Node over) {
    Steps steps(document, steps_of(base));
    const Place place = over.find("step") != nullptr ? over.find("step")->place : base.place;
    for (auto& step : steps_of(over)) steps.change(std::move(step));
    auto& table = std::get<Table>(base.value);
    for (const std::string_view own : {"name", "revision"}) take_out(table, own);
    auto& changes = std::get<Table>(over.value);
    take_out(changes, "based_on");
    lay_over(table, std::move(changes));
    table.push_back({"step", place, Node{steps.take(), place}});
    base.place = over.place;
    return base;
}

// One file has many paths: ./a.toml and ../e/a.toml may both be a.toml.
std::string identity_of(const std::string& path) {
    std::error_code ignored;
    const auto whole = std::filesystem::weakly_canonical(path, ignored);
    return whole.empty() ? path : whole.string();
}

// Follows one recipe to its base, that one to its own, and comes back with all laid over.
class Chain {
  public:
    Chain(Document& document, const Fetch& fetch) : document_(document), fetch_(fetch) {}

    std::optional<Node> follow(Node root, const std::string& file) {
        const Node* based_on = root.find("based_on");
        if (based_on == nullptr) return root;
        files_.push_back(identity_of(file));
        const Place place = based_on->place;
        const auto* named = std::get_if<std::string>(&based_on->value);
        if (named == nullptr || named->empty())
            return complain(place,
                            "\"based_on\" is " + std::string(based_on->kind()) +
                                "; the file of a recipe is wanted here",
                            "Write it like based_on = \"family.toml\".");
        auto base = read_base(beside(file, *named), place);
        if (!base) return std::nullopt;
        return laid_over(document_, std::move(*base), std::move(root));
    }

  private:
    std::optional<Node> complain(Place place, std::string message, std::string mend) {
        document_.complain_at(place, "based_on", std::move(message), std::move(mend));
        return std::nullopt;
    }

    std::optional<Node> read_base(const std::string& path, Place named_at) {
        if (std::find(files_.begin(), files_.end(), identity_of(path)) != files_.end())
            return complain(named_at, "this recipe is based on itself, by way of " + path,
                            "A base recipe stands by itself.");
        if (files_.size() > most_bases)
            return complain(named_at, "more than 8 recipes build on one another here",
                            "Lay some of them together.");
        auto text = fetch_ ? fetch_(path) : std::nullopt;
        if (!text)
            return complain(named_at, "the base recipe " + path + " cannot be read",
                            "Give its path from the folder of this file.");
        auto base = document_.add_source(path, std::move(*text));
        if (!base) return std::nullopt;
        if (base->find(recipe_kind) == nullptr) {
            Place top;
            top.source = base->place.source;
            return complain(top, "a recipe is based on this file, which is none itself",
                            "A recipe opens with padtrim_recipe = 1.");
        }
        return follow(std::move(*base), path);
    }

    Document& document_;
    const Fetch& fetch_;
    std::vector<std::string> files_;
};

}  // namespace

std::string beside(const std::string& file, const std::string& path) {
    const auto slash = file.rfind('/');
    if (path.starts_with('/') || slash == std::string::npos) return path;
    return file.substr(0, slash + 1) + path;
}

bool follow_bases(Document& document, const Fetch& fetch) {
    if (document.root().find("based_on") == nullptr) return true;
    auto whole = Chain(document, fetch).follow(document.root(), document.file());
    if (!whole) return false;
    document.replace_root(std::move(*whole));
    return true;
}

}  // namespace padtrim::language
