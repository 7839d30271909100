#include <algorithm>

#include <fmt/format.h>

#include "station/answers/figures.hpp"
#include "station/answers/printable.hpp"
#include "station/answers/station_status.hpp"

namespace padtrim::answers {
namespace {

std::string at_nest(std::uint16_t nest, const std::string& serial) {
    const std::string who = serial.empty() ? "" : "  " + printable(serial, 40);
    return fmt::format("nest {}{}", nest, who);
}

struct Line {
    std::string operator()(const engine::LotOpened& event) const {
        const char* how = event.count.loaded == 0 ? "opened" : "goes on";
        return fmt::format("lot {} {}: {}", printable(event.lot), how, reconciliation(event.count));
    }
    std::string operator()(const engine::RunSettled& event) const {
        return fmt::format("settled an earlier run of {} in lot {} (stage: {}): {}. {}",
                           printable(event.run.serial, 40), printable(event.run.lot_name),
                           record::name_of(event.run.stage), record::name_of(event.disposition),
                           printable(event.reason));
    }
    std::string operator()(const engine::NestWaiting& event) const {
        return fmt::format("nest {}  {}", event.nest, printable(event.sentence));
    }
    std::string operator()(const engine::PersonAsked& event) const {
        std::string text =
            at_nest(event.nest, event.serial) + "  asks: " + printable(event.question);
        if (!event.picture.empty()) text += " (see " + printable(event.picture) + ")";
        return text + " yes or no?";
    }
    std::string operator()(const engine::NestPaused& event) const {
        return fmt::format("nest {}  paused: {}", event.nest, printable(event.sentence, 400));
    }
    std::string operator()(const engine::NestResumed& event) const {
        return fmt::format("nest {}  goes on", event.nest);
    }
    std::string operator()(const engine::UnitIdentified& event) const {
        return at_nest(event.nest, event.serial) + "  identified";
    }
    std::string operator()(const engine::StepProgress& event) const {
        std::string text = at_nest(event.nest, event.serial) + "  " + printable(event.step);
        if (!event.key.empty()) text += ", key " + printable(event.key);
        if (!event.waits_for.empty()) return text + ", waits for " + event.waits_for;
        if (event.of > 1) text += fmt::format("  {} of {}", event.done, event.of);
        return text + "  " + lasting(event.unit_left) + " left";
    }
    std::string operator()(const engine::KeysJudged& event) const {
        const auto failed = [](const auto& check) {
            return check.verdict == record::Verdict::fail;
        };
        std::string text = at_nest(event.nest, event.serial);
        text += fmt::format("  {} keys judged anew", event.nearest.size());
        const auto at = std::find_if(event.nearest.begin(), event.nearest.end(), failed);
        if (at == event.nearest.end()) return text;
        return text + fmt::format("; key {}: {}", printable(at->key), printable(sentence_of(*at)));
    }
    std::string operator()(const engine::UnitFinished& event) const {
        const Mark mark = mark_of(event.result.verdict, event.result.disposition);
        std::string text = at_nest(event.nest, event.serial) + "  ";
        text += record::name_of(event.result.verdict);
        if (mark == Mark::quarantined) text += ", quarantined";
        if (mark == Mark::pass) return text;
        return text + ": " + printable(event.result.reason) + " " +
               printable(event.result.next_step);
    }
    std::string operator()(const engine::UnitSetAside& event) const {
        return at_nest(event.nest, event.serial) + "  set aside: " + printable(event.reason) + " " +
               printable(event.next_step);
    }
    std::string operator()(const engine::FaultSeen& event) const {
        const std::string where = event.nest == 0 ? "station" : fmt::format("nest {}", event.nest);
        return fmt::format("{}  {} ({}): {}", where, event.fault.kind,
                           printable(event.fault.device), printable(event.fault.what, 400));
    }
    std::string operator()(const engine::LotClosed& event) const {
        return fmt::format("lot ends: {}; {}", reconciliation(event.count),
                           printable(event.reason));
    }
};

}  // namespace

std::string line_of(const engine::Event& event) {
    return std::visit(Line{}, event);
}

}  // namespace padtrim::answers
