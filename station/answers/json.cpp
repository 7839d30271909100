#include "station/answers/json.hpp"

#include <cmath>
#include <ctime>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <boost/json/parse.hpp>
#include <boost/json/serialize.hpp>
#include <fmt/chrono.h>
#include <fmt/format.h>

#include "station/answers/figures.hpp"

namespace padtrim::answers {

Json text(std::string_view words) {
    return Json(boost::json::string(words));
}

namespace {

using Array = boost::json::array;
using Object = boost::json::object;

Json optional_number(const std::optional<double>& value) {
    return value ? number(*value) : Json(nullptr);
}

Json to_json(const KeyMargin& key) {
    return Object{{"key", key.key},
                  {"margin", number(key.margin)},
                  {"verdict", text(record::name_of(key.verdict))},
                  {"check", key.check},
                  {"sentence", key.sentence}};
}

}  // namespace

Json to_json(const std::vector<KeyMargin>& keys) {
    Array list;
    for (const auto& key : keys) list.push_back(to_json(key));
    return list;
}

Json to_json(const NestStatus& nest) {
    return Object{{"nest", nest.number},
                  {"mark", text(name_of(nest.mark))},
                  {"serial", nest.serial},
                  {"step", nest.step},
                  {"key", nest.key},
                  {"done", nest.done},
                  {"of", nest.of},
                  {"waits_for", nest.waits_for},
                  {"left_ms", nest.left.count()},
                  {"sentence", nest.sentence},
                  {"question", nest.question},
                  {"picture", nest.picture},
                  {"reason", nest.reason},
                  {"keys", to_json(nest.keys)}};
}

// Boost.JSON writes every double with an exponent, a count of 400 as 4E2.
Json number(double value) {
    if (!std::isfinite(value)) return nullptr;
    if (std::abs(value) <= largest_whole && std::trunc(value) == value)
        return static_cast<std::int64_t>(value);
    return value;
}

Json to_json(const record::LotCount& count) {
    return Object{{"loaded", count.loaded},
                  {"pass", count.pass},
                  {"fail", count.fail},
                  {"inconclusive", count.inconclusive},
                  {"no_verdict", count.no_verdict},
                  {"removed", count.removed}};
}

Json to_json(const record::Permission& permission) {
    const bool numbered = permission.kind == record::PermissionKind::released ||
                          permission.kind == record::PermissionKind::permit;
    return Object{{"kind", text(name_of(permission.kind))},
                  {"number", numbered ? Json(permission.id) : Json(nullptr)}};
}

Json to_json(const record::CheckResult& check) {
    return Object{{"step", check.step},
                  {"check", check.check},
                  {"key", check.key},
                  {"channel", check.channel},
                  {"frequency", check.frequency},
                  {"stage", text(record::name_of(check.stage))},
                  {"value", number(check.value)},
                  {"unit", check.unit},
                  {"written",
                   text(concise(check.value, check.standard_uncertainty) + unit_after(check.unit))},
                  {"standard_uncertainty", number(check.standard_uncertainty)},
                  {"degrees_of_freedom", number(check.degrees_of_freedom)},
                  {"coverage_factor", number(check.coverage_factor)},
                  {"expanded_uncertainty", number(check.expanded_uncertainty)},
                  {"low", optional_number(check.low)},
                  {"high", optional_number(check.high)},
                  {"margin", number(check.margin)},
                  {"verdict", text(record::name_of(check.verdict))},
                  {"traceability", text(record::name_of(check.traceability))},
                  {"note", check.note}};
}

Json to_json(const record::ChannelLine& line) {
    return Object{{"channel", line.channel},
                  {"frequency", line.frequency},
                  {"key", line.key},
                  {"gain", number(line.gain)},
                  {"offset", number(line.offset)},
                  {"gain_standard", number(line.gain_standard)},
                  {"offset_standard", number(line.offset_standard)},
                  {"covariance", number(line.covariance)},
                  {"gain_expanded", number(line.gain_expanded)},
                  {"offset_expanded", number(line.offset_expanded)},
                  {"degrees_of_freedom", number(line.degrees_of_freedom)}};
}

Json to_json(const record::UnitResult& result) {
    Array checks;
    for (const auto& check : result.checks) checks.push_back(to_json(check));
    Array lines;
    for (const auto& line : result.lines) lines.push_back(to_json(line));
    return Object{{"formula_version", result.formula_version},
                  {"verdict", text(record::name_of(result.verdict))},
                  {"disposition", text(record::name_of(result.disposition))},
                  {"reason", result.reason},
                  {"next_step", result.next_step},
                  {"checks", std::move(checks)},
                  {"lines", std::move(lines)}};
}

Json lamps_json(const engine::Lamps& lamps) {
    Array lit;
    if (lamps.green) lit.emplace_back("green");
    if (lamps.yellow) lit.emplace_back("yellow");
    if (lamps.red) lit.emplace_back("red");
    return lit;
}

Json to_json(const StationStatus& status) {
    Array nests;
    for (const auto& nest : status.nests) nests.push_back(to_json(nest));
    Array tape;
    for (const auto& mark : status.tape) {
        tape.push_back(Object{
            {"serial", mark.serial}, {"nest", mark.nest}, {"mark", text(name_of(mark.mark))}});
    }
    return Object{{"state", text(name_of(status.state))},
                  {"sentence", next_sentence(status)},
                  {"station", status.station},
                  {"lot", status.lot},
                  {"recipe", status.recipe},
                  {"recipe_revision", status.recipe_revision},
                  {"product", status.product},
                  {"measure_only", status.measure_only},
                  {"again", status.again},
                  {"draft", status.draft},
                  {"stopping", status.stopping},
                  {"lamps", lamps_json(engine::lamps_of(status.condition.now()))},
                  {"count", to_json(status.count)},
                  {"nests", std::move(nests)},
                  {"tape", std::move(tape)},
                  {"check", status.check},
                  {"last_fault", status.last_fault},
                  {"last_not_passed", status.last_not_passed},
                  {"ended", status.ended}};
}

std::string iso_8601(record::WallTime at) {
    const auto ms = at.time_since_epoch();
    const auto whole = std::chrono::floor<std::chrono::seconds>(ms);
    return fmt::format("{:%Y-%m-%dT%H:%M:%S}.{:03}Z",
                       fmt::gmtime(static_cast<std::time_t>(whole.count())), (ms - whole).count());
}

std::string day_words(const std::optional<std::chrono::sys_days>& day) {
    if (!day) return "";
    return iso_8601(record::WallTime(*day)).substr(0, 10);
}

std::string text_of(const Json& json) {
    return boost::json::serialize(json);
}

std::optional<Json> parse_json(const std::string& words) {
    boost::json::parse_options limits;
    limits.max_depth = 16;
    boost::json::error_code problem;
    Json value = boost::json::parse(words, problem, {}, limits);
    if (problem) return std::nullopt;
    return value;
}

}  // namespace padtrim::answers
