#include "station/answers/station_status.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include <fmt/format.h>

#include "station/answers/figures.hpp"
#include "station/answers/printable.hpp"
#include "station/metrology/nearest_checks.hpp"

namespace padtrim::answers {
namespace {

NestStatus fresh(std::uint16_t number, Mark mark = Mark::waiting) {
    NestStatus nest;
    nest.number = number;
    nest.mark = mark;
    return nest;
}

NestStatus& nest_of(StationStatus& status, std::uint16_t number) {
    auto at = std::find_if(status.nests.begin(), status.nests.end(),
                           [&](const NestStatus& nest) { return nest.number >= number; });
    if (at == status.nests.end() || at->number != number) {
        at = status.nests.insert(at, fresh(number));
    }
    return *at;
}

// The tape keeps the order in which units came: a running mark turns into its verdict in place.
void mark_tape(StationStatus& status, std::uint16_t nest, const std::string& serial, Mark mark) {
    for (auto it = status.tape.rbegin(); it != status.tape.rend(); ++it) {
        if (it->mark != Mark::running || it->nest != nest || it->serial != serial) continue;
        it->mark = mark;
        return;
    }
    status.tape.push_back({serial, nest, mark});
}

struct Folder {
    StationStatus& status;

    void operator()(const engine::LotOpened& opened) const {
        status.state = StationState::running;
        if (status.lot != opened.lot) status.tape.clear();
        status.lot = opened.lot;
        status.count = opened.count;
        status.ended.clear();
        status.last_fault.clear();
        status.last_not_passed.clear();
        status.stopping = false;
        for (auto& nest : status.nests) nest = fresh(nest.number);
    }
    void operator()(const engine::RunSettled& settled) const {
        const Mark mark = mark_of(record::Verdict::no_verdict, settled.disposition);
        if (settled.run.lot_name == status.lot) {
            mark_tape(status, settled.run.nest, settled.run.serial, mark);
        }
    }
    void operator()(const engine::NestWaiting& waiting) const {
        auto& nest = nest_of(status, waiting.nest);
        nest = fresh(waiting.nest);
        nest.sentence = waiting.sentence;
    }
    void operator()(const engine::UnitIdentified& identified) const {
        auto& nest = nest_of(status, identified.nest);
        nest = fresh(identified.nest, Mark::running);
        nest.serial = identified.serial;
        mark_tape(status, identified.nest, identified.serial, Mark::running);
    }
    void operator()(const engine::StepProgress& progress) const {
        auto& nest = nest_of(status, progress.nest);
        if (nest.mark != Mark::running) nest = fresh(progress.nest);
        nest.mark = Mark::running;
        nest.serial = progress.serial;
        nest.step = progress.step;
        nest.key = progress.key;
        nest.done = progress.done;
        nest.of = progress.of;
        nest.left = progress.unit_left;
        nest.waits_for = progress.waits_for;
        nest.question.clear();
        nest.picture.clear();
    }
    void operator()(const engine::KeysJudged& judged) const {
        auto& nest = nest_of(status, judged.nest);
        if (nest.mark != Mark::running) return;
        for (auto& margin : worst_margins(judged.nearest)) {
            const auto at = std::find_if(nest.keys.begin(), nest.keys.end(),
                                         [&](const auto& key) { return key.key == margin.key; });
            if (at == nest.keys.end())
                nest.keys.push_back(std::move(margin));
            else
                *at = std::move(margin);
        }
    }
    void operator()(const engine::PersonAsked& asked) const {
        auto& nest = nest_of(status, asked.nest);
        nest.question = asked.question;
        nest.picture = asked.picture;
    }
    void operator()(const engine::NestPaused& paused) const {
        auto& nest = nest_of(status, paused.nest);
        nest.mark = Mark::paused;
        nest.sentence = paused.sentence;
        status.tape.push_back({"", paused.nest, Mark::paused});
    }
    void operator()(const engine::NestResumed& resumed) const {
        nest_of(status, resumed.nest) = fresh(resumed.nest);
    }
    void operator()(const engine::UnitFinished& finished) const {
        const auto& result = finished.result;
        auto& nest = nest_of(status, finished.nest);
        nest.mark = mark_of(result.verdict, result.disposition);
        nest.question.clear();
        nest.picture.clear();
        nest.serial = finished.serial;
        nest.left = std::chrono::milliseconds(0);
        nest.sentence = result.next_step;
        nest.reason = result.reason;
        nest.keys = worst_margins(result.checks);
        status.count = finished.count;
        if (nest.mark != Mark::pass) {
            status.last_not_passed = fmt::format("{} (nest {}): {} {}", finished.serial,
                                                 finished.nest, result.reason, result.next_step);
        }
        mark_tape(status, finished.nest, finished.serial, nest.mark);
    }
    void operator()(const engine::UnitSetAside& aside) const {
        auto& nest = nest_of(status, aside.nest);
        nest = fresh(aside.nest, Mark::removed);
        nest.serial = aside.serial;
        nest.reason = aside.reason;
        nest.sentence = aside.next_step;
        status.count = aside.count;
        if (aside.of_lot) mark_tape(status, aside.nest, aside.serial, Mark::removed);
    }
    void operator()(const engine::FaultSeen& seen) const {
        status.last_fault = seen.fault.what;
        if (seen.nest != 0) nest_of(status, seen.nest).sentence = seen.fault.what;
        if (seen.fault.blame == record::Blame::fixture) status.state = StationState::blocked;
    }
    void operator()(const engine::LotClosed& closed) const {
        status.count = closed.count;
        status.ended = closed.reason;
        status.stopping = false;
        if (status.state == StationState::running) status.state = StationState::ready;
        for (auto& nest : status.nests) {
            if (nest.mark == Mark::running || nest.mark == Mark::waiting) {
                nest = fresh(nest.number);
            }
        }
    }
};

KeyMargin margin_of(const record::CheckResult& check) {
    const bool noted = check.verdict != record::Verdict::pass && !check.note.empty();
    return {check.key, check.margin, check.verdict, check.check,
            noted ? check.note : sentence_of(check)};
}

}  // namespace

std::string_view name_of(StationState state) {
    switch (state) {
        case StationState::ready:
            return "ready";
        case StationState::running:
            return "running";
        case StationState::needs_check:
            return "needs check";
        case StationState::blocked:
            return "blocked";
    }
    return "";
}

std::string_view name_of(Mark mark) {
    switch (mark) {
        case Mark::waiting:
            return "waiting";
        case Mark::running:
            return "running";
        case Mark::pass:
            return "pass";
        case Mark::fail:
            return "fail";
        case Mark::inconclusive:
            return "inconclusive";
        case Mark::no_verdict:
            return "no verdict";
        case Mark::quarantined:
            return "quarantined";
        case Mark::removed:
            return "removed";
        case Mark::paused:
            return "paused";
    }
    return "";
}

Mark mark_of(record::Verdict verdict, record::Disposition disposition) {
    if (disposition == record::Disposition::quarantined) return Mark::quarantined;
    switch (verdict) {
        case record::Verdict::pass:
            return Mark::pass;
        case record::Verdict::fail:
            return Mark::fail;
        case record::Verdict::inconclusive:
            return Mark::inconclusive;
        case record::Verdict::no_verdict:
            return Mark::no_verdict;
    }
    return Mark::no_verdict;
}

std::vector<KeyMargin> worst_margins(const std::vector<record::CheckResult>& checks) {
    std::vector<KeyMargin> keys;
    for (const auto& check : metrology::nearest_checks(checks)) keys.push_back(margin_of(check));
    return keys;
}

void apply(StationStatus& status, const engine::Event& event) {
    status.condition.take(event);
    std::visit(Folder{status}, event);
}

std::string next_sentence(const StationStatus& status) {
    if (status.state == StationState::blocked && !status.last_fault.empty()) {
        return status.last_fault;
    }
    if (!status.check.empty()) return status.check;
    for (const auto& nest : status.nests) {
        if (nest.question.empty()) continue;
        const std::string see = nest.picture.empty() ? "" : " See " + nest.picture + ".";
        return fmt::format("Nest {}: {}{} Answer yes or no.", nest.number, nest.question, see);
    }
    const NestStatus* waiting = nullptr;
    const NestStatus* soonest = nullptr;
    for (const auto& nest : status.nests) {
        const bool attention = nest.mark != Mark::running && nest.mark != Mark::waiting &&
                               nest.mark != Mark::pass && !nest.sentence.empty();
        if (attention) return fmt::format("Nest {}: {}", nest.number, nest.sentence);
        if (nest.mark == Mark::waiting && !nest.sentence.empty() && !waiting && !status.stopping)
            waiting = &nest;
        // How long another nest keeps what it waits for is in no figure.
        if (nest.mark == Mark::running && nest.waits_for.empty() &&
            (!soonest || nest.left < soonest->left))
            soonest = &nest;
    }
    if (waiting) return fmt::format("Nest {}: {}", waiting->number, waiting->sentence);
    if (soonest && soonest->left < std::chrono::seconds(1)) return "Wait, a moment.";
    if (soonest) return fmt::format("Wait, {}.", lasting(soonest->left));
    if (status.state == StationState::running) return "Wait for the next unit.";
    if (status.state == StationState::needs_check) return "Have the station checked.";
    return std::string(start_a_lot);
}

std::string reconciliation(const record::LotCount& count, std::size_t running) {
    std::string text =
        fmt::format("loaded {} = pass {} + fail {} + inconclusive {} + no verdict {} + removed {}",
                    count.loaded + running, count.pass, count.fail, count.inconclusive,
                    count.no_verdict, count.removed);
    if (running > 0) text += fmt::format(" + running\u00a0{}", running);
    return text;
}

std::size_t running_units(const StationStatus& status) {
    return static_cast<std::size_t>(
        std::count_if(status.nests.begin(), status.nests.end(),
                      [](const NestStatus& nest) { return nest.mark == Mark::running; }));
}

std::size_t quarantined_units(const StationStatus& status) {
    std::map<std::string, Mark> newest;
    std::size_t nameless = 0;
    for (const TapeMark& unit : status.tape) {
        if (!unit.serial.empty())
            newest[unit.serial] = unit.mark;
        else if (unit.mark == Mark::quarantined)
            ++nameless;
    }
    return nameless + static_cast<std::size_t>(std::count_if(
                          newest.begin(), newest.end(),
                          [](const auto& unit) { return unit.second == Mark::quarantined; }));
}

std::string sentence_of(const record::CheckResult& check) {
    std::string text = check.check;
    text += ' ' + concise(check.value, check.standard_uncertainty);
    if (!check.unit.empty() && check.unit != "1") text += ' ' + check.unit;
    const std::string limit = allowed(check.low, check.high);
    if (!limit.empty())
        text += ", " + limit + (check.verdict == record::Verdict::pass ? "" : " needed");
    return text;
}

}  // namespace padtrim::answers
