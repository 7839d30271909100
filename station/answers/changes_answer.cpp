// Two documents or released plans compared, and releases as JSON.
#include <algorithm>
#include <filesystem>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <fmt/format.h>

#include "recipes/language/load.hpp"
#include "station/answers/documents_check.hpp"
#include "station/answers/releases.hpp"

namespace padtrim::answers {
namespace {

using Array = boost::json::array;
using Object = boost::json::object;

template <class T>
void put(language::ReadDocument<T> read, std::optional<T>& into, ChangesAnswer& answer) {
    for (auto& each : read.diagnostics) answer.diagnostics.push_back(std::move(each));
    into = std::move(read.value);
}

// False when there is no such file.
bool read_file(const std::string& path, Compared& side, ChangesAnswer& answer) {
    std::error_code error;
    if (!std::filesystem::exists(path, error)) return false;
    side.name = path;
    const auto read = language::read_text(path);
    if (!read.value) {
        answer.diagnostics = read.diagnostics;
        return true;
    }
    const std::string& text = *read.value;
    switch (kind_of(text)) {
        case DocumentKind::recipe:
            put(language::read_recipe(text, path, &language::text_of_file), side.recipe, answer);
            return true;
        case DocumentKind::register_map:
            put(language::read_register_map(text, path), side.map, answer);
            return true;
        case DocumentKind::fixture_profile:
            put(language::read_fixture_profile(text, path), side.fixture, answer);
            return true;
        case DocumentKind::unknown:
            answer.problem = path + " is no recipe, register map or fixture profile.";
            return true;
    }
    return true;
}

bool is_number(const std::string& text) {
    return !text.empty() && text.size() < 10 &&
           text.find_first_not_of("0123456789") == std::string::npos;
}

// By its number, or the newest of a revision; of the other side's recipe where that is known.
const record::Release* find_release(const std::vector<record::Release>& releases,
                                    const std::string& word, const Compared& other) {
    for (const auto& release : releases) {
        if (is_number(word) && release.id == std::stoll(word)) return &release;
    }
    for (const auto& release : releases) {
        const bool of_other = !other.recipe || other.recipe->name == release.plan.recipe;
        if (release.plan.recipe_revision == word && of_other) return &release;
    }
    return nullptr;
}

void read_release(const std::vector<record::Release>& releases, const std::string& word,
                  const Compared& other, Compared& side, ChangesAnswer& answer) {
    const auto* release = find_release(releases, word, other);
    if (!release) {
        answer.problem = "There is no file '" + word +
                         "', and no release or released revision of that name in the records. "
                         "padtrim release --records FILE lists the releases.";
        return;
    }
    const auto plan = language::read_plan(release->plan.text).plan;
    if (!plan) {
        answer.problem =
            fmt::format("The plan of release {} cannot be read by this padtrim.", release->id);
        return;
    }
    side.name = fmt::format("{} revision {} (release {})", release->plan.recipe,
                            release->plan.recipe_revision, release->id);
    side.recipe = plan->recipe;
    side.map = plan->map;
    side.fixture = plan->fixture;
}

void compare(ChangesAnswer& answer) {
    const auto add = [&](const auto& before, const auto& after) {
        if (!before || !after) return false;
        for (auto& change : language::changes_between(*before, *after)) {
            answer.changes.push_back(std::move(change));
        }
        return true;
    };
    bool any = add(answer.before.recipe, answer.after.recipe);
    any |= add(answer.before.map, answer.after.map);
    any |= add(answer.before.fixture, answer.after.fixture);
    if (!any) {
        answer.problem = answer.before.name + " and " + answer.after.name +
                         " are documents of different kinds; give two of one kind.";
    }
}

Json moment(const std::optional<record::WallTime>& at) {
    return at ? text(iso_8601(*at)) : Json(nullptr);
}

}  // namespace

journal::Stored<ChangesAnswer> changes_of(ledger::Reader* reader, const std::string& before,
                                          const std::string& after) {
    ChangesAnswer answer;
    const bool left = read_file(before, answer.before, answer);
    const bool right = read_file(after, answer.after, answer);
    if ((!left || !right) && reader == nullptr) {
        answer.problem = "There is no file '" + (left ? after : before) +
                         "'. For a released revision give --records FILE too.";
        return answer;
    }
    if (!left || !right) {
        const auto releases = reader->releases();
        if (!releases) return releases.error();
        if (!left) read_release(*releases, before, answer.after, answer.before, answer);
        if (!right) read_release(*releases, after, answer.before, answer.after, answer);
    }
    if (answer.problem.empty() && answer.diagnostics.empty()) compare(answer);
    return answer;
}

Json to_json(const language::Changes& changes) {
    Array list;
    for (const auto& change : changes) {
        list.push_back(Object{{"kind", text(name_of(change.kind))},
                              {"document", change.document},
                              {"place", text(change.place)},
                              {"what", text(change.what)},
                              {"before", text(change.before)},
                              {"after", text(change.after)},
                              {"sentence", text(change.sentence)}});
    }
    return list;
}

Json to_json(const ChangesAnswer& answer) {
    return Object{{"before", text(answer.before.name)},
                  {"after", text(answer.after.name)},
                  {"changes", to_json(answer.changes)}};
}

Json to_json(const record::Release& release) {
    return Object{{"release", release.id},
                  {"plan_hash", release.plan.hash},
                  {"recipe", text(release.plan.recipe)},
                  {"recipe_revision", text(release.plan.recipe_revision)},
                  {"product", text(release.plan.product)},
                  {"fixture", text(release.plan.fixture)},
                  {"at", text(iso_8601(release.at))},
                  {"who", text(release.who)},
                  {"why", text(release.why)},
                  {"withdrawn", moment(release.withdrawn)}};
}

Json to_json(const record::Permit& permit) {
    Array changes;
    for (const auto& change : permit.changes) changes.push_back(text(change));
    return Object{{"permit", permit.id},
                  {"name", text(permit.name)},
                  {"plan_hash", permit.plan.hash},
                  {"recipe", text(permit.plan.recipe)},
                  {"recipe_revision", text(permit.plan.recipe_revision)},
                  {"release", permit.release},
                  {"changes", std::move(changes)},
                  {"until", moment(permit.until)},
                  {"quantity", permit.quantity ? Json(*permit.quantity) : Json(nullptr)},
                  {"used", permit.used},
                  {"at", text(iso_8601(permit.at))},
                  {"who", text(permit.who)},
                  {"why", text(permit.why)}};
}

}  // namespace padtrim::answers
