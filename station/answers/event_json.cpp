// Events to JSON and back. Reading trusts nothing: it may come from another process.
#include <limits>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>

#include "station/answers/json.hpp"

namespace padtrim::answers {
namespace {

using Array = boost::json::array;
using Object = boost::json::object;

Json to_json(const record::FaultNote& fault) {
    return Object{{"step", fault.step},
                  {"kind", fault.kind},
                  {"device", fault.device},
                  {"what", fault.what},
                  {"blame", fault.blame == record::Blame::unit ? "unit" : "fixture"}};
}

struct Writer {
    Json operator()(const engine::LotOpened& event) const {
        return Object{
            {"event", "lot opened"}, {"lot", event.lot}, {"count", answers::to_json(event.count)}};
    }
    Json operator()(const engine::RunSettled& event) const {
        return Object{{"event", "run settled"},
                      {"run", event.run.run},
                      {"lot", event.run.lot_name},
                      {"serial", event.run.serial},
                      {"nest", event.run.nest},
                      {"stage", text(record::name_of(event.run.stage))},
                      {"disposition", text(record::name_of(event.disposition))},
                      {"reason", event.reason}};
    }
    Json operator()(const engine::NestWaiting& event) const {
        return Object{
            {"event", "nest waiting"}, {"nest", event.nest}, {"sentence", event.sentence}};
    }
    Json operator()(const engine::PersonAsked& event) const {
        return Object{{"event", "person asked"},
                      {"nest", event.nest},
                      {"serial", event.serial},
                      {"question", event.question},
                      {"picture", event.picture}};
    }
    Json operator()(const engine::NestPaused& event) const {
        return Object{{"event", "nest paused"}, {"nest", event.nest}, {"sentence", event.sentence}};
    }
    Json operator()(const engine::NestResumed& event) const {
        return Object{{"event", "nest resumed"}, {"nest", event.nest}};
    }
    Json operator()(const engine::UnitIdentified& event) const {
        return Object{{"event", "unit identified"}, {"nest", event.nest}, {"serial", event.serial}};
    }
    Json operator()(const engine::StepProgress& event) const {
        return Object{{"event", "step"},
                      {"nest", event.nest},
                      {"serial", event.serial},
                      {"step", event.step},
                      {"key", event.key},
                      {"done", event.done},
                      {"of", event.of},
                      {"left_ms", event.unit_left.count()},
                      {"waits_for", event.waits_for}};
    }
    Json operator()(const engine::KeysJudged& event) const {
        Array nearest;
        for (const auto& check : event.nearest) nearest.push_back(answers::to_json(check));
        return Object{{"event", "keys judged"},
                      {"nest", event.nest},
                      {"serial", event.serial},
                      {"nearest", std::move(nearest)}};
    }
    Json operator()(const engine::UnitFinished& event) const {
        return Object{{"event", "unit finished"},
                      {"nest", event.nest},
                      {"serial", event.serial},
                      {"result", answers::to_json(event.result)},
                      {"count", answers::to_json(event.count)}};
    }
    Json operator()(const engine::UnitSetAside& event) const {
        return Object{{"event", "unit set aside"},
                      {"nest", event.nest},
                      {"serial", event.serial},
                      {"reason", event.reason},
                      {"next_step", event.next_step},
                      {"of_lot", event.of_lot},
                      {"count", answers::to_json(event.count)}};
    }
    Json operator()(const engine::FaultSeen& event) const {
        return Object{{"event", "fault"}, {"nest", event.nest}, {"fault", to_json(event.fault)}};
    }
    Json operator()(const engine::LotClosed& event) const {
        return Object{{"event", "lot closed"},
                      {"count", answers::to_json(event.count)},
                      {"reason", event.reason}};
    }
};

// Members of an object that may lack any of them.
class Members {
  public:
    explicit Members(const Json* json) : object_(json ? json->if_object() : nullptr) {}
    [[nodiscard]] const Json* at(std::string_view name) const {
        return object_ ? object_->if_contains(name) : nullptr;
    }
    [[nodiscard]] std::string words(std::string_view name) const {
        const Json* value = at(name);
        const auto* string = value ? value->if_string() : nullptr;
        return string ? std::string(*string) : std::string();
    }
    template <class Integer>
    [[nodiscard]] Integer whole(std::string_view name) const {
        const Json* value = at(name);
        boost::json::error_code problem;
        const auto result = value ? value->to_number<Integer>(problem) : Integer{};
        return problem ? Integer{} : result;
    }
    [[nodiscard]] std::optional<double> real(std::string_view name) const {
        const Json* value = at(name);
        boost::json::error_code problem;
        if (!value) return std::nullopt;
        const double result = value->to_number<double>(problem);
        return problem ? std::nullopt : std::optional(result);
    }

  private:
    const Object* object_;
};

// The enumerator of that name, or the first one.
template <class Enum>
Enum named(const std::string& name, Enum last) {
    for (int i = 0; i <= static_cast<int>(last); ++i) {
        if (record::name_of(static_cast<Enum>(i)) == name) return static_cast<Enum>(i);
    }
    return Enum{};
}

record::Verdict verdict_named(const std::string& name) {
    for (const auto verdict :
         {record::Verdict::pass, record::Verdict::fail, record::Verdict::inconclusive}) {
        if (record::name_of(verdict) == name) return verdict;
    }
    return record::Verdict::no_verdict;
}

record::LotCount count_of(const Json* json) {
    const Members from(json);
    const auto whole = [&](std::string_view name) { return from.whole<std::uint32_t>(name); };
    return {whole("loaded"),       whole("pass"),       whole("fail"),
            whole("inconclusive"), whole("no_verdict"), whole("removed")};
}

record::CheckResult check_of(const Json& json) {
    const Members from(&json);
    record::CheckResult check;
    check.step = from.words("step");
    check.check = from.words("check");
    check.key = from.words("key");
    check.channel = from.whole<int>("channel");
    check.frequency = from.whole<int>("frequency");
    check.stage = named(from.words("stage"), record::Stage::as_left);
    check.value = from.real("value").value_or(0.0);
    check.unit = from.words("unit");
    check.standard_uncertainty = from.real("standard_uncertainty").value_or(0.0);
    check.degrees_of_freedom =
        from.real("degrees_of_freedom").value_or(std::numeric_limits<double>::infinity());
    check.coverage_factor = from.real("coverage_factor").value_or(0.0);
    check.expanded_uncertainty = from.real("expanded_uncertainty").value_or(0.0);
    check.low = from.real("low");
    check.high = from.real("high");
    check.margin = from.real("margin").value_or(0.0);
    check.verdict = verdict_named(from.words("verdict"));
    check.traceability = named(from.words("traceability"), record::Traceability::indication);
    check.note = from.words("note");
    return check;
}

record::ChannelLine line_from(const Json& json) {
    const Members from(&json);
    const auto real = [&](std::string_view name) { return from.real(name).value_or(0.0); };
    return {.channel = from.whole<int>("channel"),
            .frequency = from.whole<int>("frequency"),
            .key = from.words("key"),
            .gain = real("gain"),
            .offset = real("offset"),
            .gain_standard = real("gain_standard"),
            .offset_standard = real("offset_standard"),
            .covariance = real("covariance"),
            .gain_expanded = real("gain_expanded"),
            .offset_expanded = real("offset_expanded"),
            .degrees_of_freedom = real("degrees_of_freedom")};
}

// Each item of a list that may be no list.
template <class Read>
auto all_of(const Members& from, std::string_view name, Read read) {
    std::vector<decltype(read(Json()))> all;
    const Json* list = from.at(name);
    if (!list || !list->is_array()) return all;
    for (const auto& item : list->get_array()) all.push_back(read(item));
    return all;
}

record::UnitResult result_of(const Json* json) {
    const Members from(json);
    record::UnitResult result;
    result.formula_version = from.words("formula_version");
    result.verdict = verdict_named(from.words("verdict"));
    result.disposition = named(from.words("disposition"), record::Disposition::quarantined);
    result.reason = from.words("reason");
    result.next_step = from.words("next_step");
    result.checks = all_of(from, "checks", check_of);
    result.lines = all_of(from, "lines", line_from);
    return result;
}

record::FaultNote fault_of(const Json* json) {
    const Members from(json);
    const bool unit = from.words("blame") == "unit";
    return {from.words("step"), from.words("kind"), from.words("device"), from.words("what"),
            unit ? record::Blame::unit : record::Blame::fixture};
}

engine::RunSettled settled_of(const Members& from) {
    engine::RunSettled settled;
    settled.run.run = from.whole<record::RunId>("run");
    settled.run.lot_name = from.words("lot");
    settled.run.serial = from.words("serial");
    settled.run.nest = from.whole<std::uint16_t>("nest");
    settled.run.stage = named(from.words("stage"), record::WriteStage::verified);
    settled.disposition = named(from.words("disposition"), record::Disposition::quarantined);
    settled.reason = from.words("reason");
    return settled;
}

}  // namespace

Json to_json(const engine::Event& event) {
    return std::visit(Writer{}, event);
}

std::optional<engine::Event> event_from_json(const Json& json) {
    const Members from(&json);
    const std::string kind = from.words("event");
    const auto nest = from.whole<std::uint16_t>("nest");
    const std::string serial = from.words("serial");
    if (kind == "lot opened") {
        return engine::LotOpened{from.words("lot"), count_of(from.at("count"))};
    }
    if (kind == "run settled") return settled_of(from);
    if (kind == "nest waiting") return engine::NestWaiting{nest, from.words("sentence")};
    if (kind == "nest paused") return engine::NestPaused{nest, from.words("sentence")};
    if (kind == "nest resumed") return engine::NestResumed{nest};
    if (kind == "person asked") {
        return engine::PersonAsked{nest, serial, from.words("question"), from.words("picture")};
    }
    if (kind == "unit identified") return engine::UnitIdentified{nest, serial};
    if (kind == "step") {
        return engine::StepProgress{nest,
                                    serial,
                                    from.words("step"),
                                    from.words("key"),
                                    from.whole<std::uint32_t>("done"),
                                    from.whole<std::uint32_t>("of"),
                                    std::chrono::milliseconds(from.whole<std::int64_t>("left_ms")),
                                    from.words("waits_for")};
    }
    if (kind == "keys judged")
        return engine::KeysJudged{nest, serial, all_of(from, "nearest", check_of)};
    if (kind == "unit finished") {
        return engine::UnitFinished{nest, serial, result_of(from.at("result")),
                                    count_of(from.at("count"))};
    }
    if (kind == "unit set aside") {
        const Json* of_lot = from.at("of_lot");
        return engine::UnitSetAside{nest,
                                    serial,
                                    from.words("reason"),
                                    from.words("next_step"),
                                    of_lot == nullptr || *of_lot != Json(false),
                                    count_of(from.at("count"))};
    }
    if (kind == "fault") return engine::FaultSeen{nest, fault_of(from.at("fault"))};
    if (kind == "lot closed") {
        return engine::LotClosed{count_of(from.at("count")), from.words("reason")};
    }
    return std::nullopt;
}

}  // namespace padtrim::answers
