#include "station/answers/sampling_answer.hpp"

#include <algorithm>
#include <cmath>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <fmt/format.h>

#include "db/quality/names.hpp"
#include "station/answers/figures.hpp"
#include "station/answers/printable.hpp"

namespace padtrim::answers {
namespace {

using quality::Severity;

// FNV-1a (Fowler, Noll, Vo; constants from memory): any spread-out number will do.
std::int64_t seed_of(const std::string& text) {
    std::uint64_t hash = 14695981039346656037ULL;
    for (const char c : text) {
        hash ^= static_cast<unsigned char>(c);
        hash *= 1099511628211ULL;
    }
    return static_cast<std::int64_t>(hash >> 1);
}

quality::LotResult lot_result(const record::SampledLot& lot) {
    quality::LotResult result;
    result.accepted = accepted(lot);
    result.acceptance_number = lot.accept;
    result.accepted_one_step_tighter = lot.tighter;
    result.reduced_allowed = false;
    return result;
}

std::string chosen_words(const record::SampledLot& lot) {
    std::string words;
    for (const auto unit : chosen_units(lot))
        words += (words.empty() ? "" : " ") + std::to_string(unit);
    return words;
}

constexpr const char* stopped_words =
    "Inspection is stopped: too many lots were refused. Mend the cause; then F7 on the sheet "
    "Sampling lets it go on, or padtrim sampling --resume.";

std::string next_words(Severity severity) {
    if (severity == Severity::stopped) return stopped_words;
    return fmt::format("The next lot gets {} inspection.", quality::name_of(severity));
}

std::string result_words(const record::SampledLot& lot) {
    if (!lot.nonconforming) return "not told yet";
    return fmt::format("{} nonconforming: {}", *lot.nonconforming,
                       accepted(lot) ? "accepted" : "refused");
}

Json lot_json(const record::SampledLot& lot) {
    boost::json::array units;
    for (const auto unit : chosen_units(lot)) units.push_back(unit);
    return boost::json::object{
        {"lot", text(lot.lot)},
        {"size", lot.size},
        {"severity", text(lot.severity)},
        {"letter", text(lot.letter)},
        {"sample", lot.sample},
        {"accept", lot.accept},
        {"units", std::move(units)},
        {"nonconforming", lot.nonconforming ? Json(*lot.nonconforming) : Json(nullptr)},
        {"accepted", lot.nonconforming ? Json(accepted(lot)) : Json(nullptr)}};
}

}  // namespace

bool is_stopped(const record::SamplingPlan& plan) {
    return switching_of(plan).severity() == Severity::stopped;
}

// A new plan would begin at normal inspection, as if no lot had been refused.
std::string why_not_replaced(const record::SamplingPlan& plan) {
    if (!is_stopped(plan)) return "";
    return std::string("A new plan does not start it again. ") + stopped_words;
}

std::string why_not_resumed(const record::SamplingPlan& plan) {
    return is_stopped(plan) ? "" : "Inspection is not stopped, so there is nothing to resume.";
}

std::string why_no_lot(const record::SamplingPlan& plan, statistics::Flaw flaw) {
    if (is_stopped(plan)) return stopped_words;
    return "No plan for a lot of that size: " + std::string(statistics::text_of(flaw)) + ".";
}

std::string none_chosen_words(const std::string& lot) {
    return "No units were chosen of lot '" + printable(lot, 60) +
           "': F6 on the sheet Sampling chooses them, or padtrim sampling --lot --size.";
}

std::string result_sentence(const record::SamplingPlan& plan, const record::SampledLot& lot) {
    return fmt::format("Lot {}: {} of {} units nonconforming, {}. {}", printable(lot.lot, 60),
                       lot.nonconforming.value_or(0), lot.sample,
                       accepted(lot) ? "accepted" : "refused",
                       next_words(switching_of(plan).severity()));
}

std::string quality_limits_words() {
    const auto limits = quality::acceptance_quality_limits();
    std::string words;
    for (std::size_t i = 0; i < limits.size(); ++i)
        words += (i == 0                   ? ""
                  : i + 1 == limits.size() ? " and "
                                           : ", ") +
                 fmt::format("{:g}", limits[i]);
    return "An AQL is one of " + words + " %.";
}

bool is_quality_limit(double percent) {
    const auto limits = quality::acceptance_quality_limits();
    return std::any_of(limits.begin(), limits.end(),
                       [&](double limit) { return std::abs(limit - percent) < 1e-9; });
}

bool accepted(const record::SampledLot& lot) {
    return lot.nonconforming && *lot.nonconforming <= lot.accept;
}

// In the order that results were told, as the station knew them; a lot chosen earlier may be told
// later.
quality::Switching switching_of(const record::SamplingPlan& plan) {
    std::vector<const record::SampledLot*> told;
    for (const auto& lot : plan.lots)
        if (lot.nonconforming) told.push_back(&lot);
    std::stable_sort(told.begin(), told.end(),
                     [](const auto* a, const auto* b) { return a->at < b->at; });
    quality::Switching switching;
    auto resumption = plan.resumptions.begin();
    for (const auto* lot : told) {
        for (; resumption != plan.resumptions.end() && resumption->at < lot->at; ++resumption)
            switching.resume();
        switching.after(lot_result(*lot));
    }
    for (; resumption != plan.resumptions.end(); ++resumption) switching.resume();
    return switching;
}

statistics::Checked<record::SampledLot> lot_to_sample(const record::SamplingPlan& plan,
                                                      const std::string& lot, std::uint64_t size,
                                                      record::WallTime at) {
    const Severity severity = switching_of(plan).severity();
    const auto level = quality::inspection_level_of(plan.level);
    if (!level) return statistics::Flaw::out_of_domain;
    const auto letter = quality::code_letter(size, *level);
    if (!letter) return letter.error();
    const auto found = quality::master_plan(*letter, plan.quality_limit, severity);
    if (!found) return found.error();
    record::SampledLot sampled;
    sampled.lot = lot;
    sampled.size = size;
    sampled.severity = quality::name_of(severity);
    sampled.letter = std::string(1, found->letter);
    sampled.sample = std::min(found->plan.sample, size);
    sampled.accept = found->plan.accept;
    sampled.seed = seed_of(std::to_string(plan.id) + " " + lot + " " + iso_8601(at));
    sampled.at = at;
    return sampled;
}

std::vector<std::uint64_t> chosen_units(const record::SampledLot& lot) {
    return quality::units_to_look_at(lot.size, lot.sample, static_cast<std::uint64_t>(lot.seed));
}

record::SampledLot result_of(const record::SamplingPlan& plan, record::SampledLot lot,
                             std::uint64_t nonconforming, const std::string& who,
                             record::WallTime at) {
    lot.nonconforming = nonconforming;
    lot.who = who;
    lot.at = at;
    lot.tighter = false;
    const auto limits = quality::acceptance_quality_limits();
    const auto level = quality::inspection_level_of(plan.level);
    const auto here = std::lower_bound(limits.begin(), limits.end(), plan.quality_limit * 0.999);
    if (!level || here == limits.begin() || here == limits.end()) return lot;
    const auto letter = quality::code_letter(lot.size, *level);
    if (!letter) return lot;
    const auto tighter = quality::master_plan(*letter, *(here - 1), Severity::normal);
    lot.tighter = tighter && nonconforming <= tighter->plan.accept;
    return lot;
}

namespace {

// A newer plan of a step takes over its lots: what was refused stays refused, and what is not told
// yet can still be told.
record::SamplingPlan replaced(record::SamplingPlan older, record::SamplingPlan newer) {
    newer.lots.insert(newer.lots.begin(), older.lots.begin(), older.lots.end());
    newer.resumptions.insert(newer.resumptions.begin(), older.resumptions.begin(),
                             older.resumptions.end());
    return newer;
}

}  // namespace

journal::Stored<std::vector<SamplingStanding>> sampling_answer(ledger::Reader& reader,
                                                               const std::string& product,
                                                               const std::string& step) {
    const auto plans = reader.sampling_plans();
    if (!plans) return plans.error();
    std::vector<SamplingStanding> standings;
    for (const auto& plan : *plans) {
        if ((!product.empty() && plan.product != product) || (!step.empty() && plan.step != step))
            continue;
        const auto older =
            std::find_if(standings.begin(), standings.end(), [&](const SamplingStanding& standing) {
                return standing.plan.product == plan.product && standing.plan.step == plan.step;
            });
        if (older == standings.end())
            standings.push_back({plan, {}});
        else
            older->plan = replaced(std::move(older->plan), plan);
    }
    for (auto& standing : standings) standing.switching = switching_of(standing.plan);
    return standings;
}

Json to_json(const std::vector<SamplingStanding>& standings) {
    boost::json::array plans;
    for (const auto& standing : standings) {
        boost::json::array lots;
        for (const auto& lot : standing.plan.lots) lots.push_back(lot_json(lot));
        plans.push_back(
            boost::json::object{{"plan", standing.plan.id},
                                {"product", text(standing.plan.product)},
                                {"step", text(standing.plan.step)},
                                {"level", text(standing.plan.level)},
                                {"quality_limit", number(standing.plan.quality_limit)},
                                {"next_severity", quality::name_of(standing.switching.severity())},
                                {"score", standing.switching.score()},
                                {"at", iso_8601(standing.plan.at)},
                                {"who", text(standing.plan.who)},
                                {"why", text(standing.plan.why)},
                                {"lots", std::move(lots)}});
    }
    return boost::json::object{{"plans", std::move(plans)}};
}

Sheet sheet_of(const std::vector<SamplingStanding>& standings) {
    Sheet sheet;
    sheet.title = "Sampling plans";
    if (standings.empty())
        sheet.sentences.emplace_back(
            "No sampling plan is set: F4 on the sheet Sampling sets one, or padtrim sampling "
            "--set.");
    for (const auto& standing : standings) {
        const auto& plan = standing.plan;
        sheet.sentences.push_back(fmt::format("Step {} of {}: level {}, AQL {:g} %. {}",
                                              printable(plan.step, 40), printable(plan.product, 40),
                                              plan.level, plan.quality_limit,
                                              next_words(standing.switching.severity())));
        Table table{printable(plan.step, 40),
                    {{"lot", "", false},
                     {"units", "", true},
                     {"inspection", "", false},
                     {"letter", "", false},
                     {"looked at", "", true},
                     {"accepted with", "", true},
                     {"result", "", false}},
                    {}};
        Table units{"Units to look at, in the order they come",
                    {{"lot", "", false}, {"units", "", false}},
                    {}};
        for (const auto& lot : plan.lots) {
            table.rows.push_back({printable(lot.lot, 40), count_cell(lot.size), lot.severity,
                                  lot.letter, count_cell(lot.sample), count_cell(lot.accept),
                                  result_words(lot)});
            if (!lot.nonconforming)
                units.rows.push_back({printable(lot.lot, 40), chosen_words(lot)});
        }
        sheet.tables.push_back(std::move(table));
        sheet.tables.push_back(std::move(units));
    }
    if (sheet.tables.empty()) sheet.tables.push_back({"", {{"plan", "", false}}, {}});
    return sheet;
}

}  // namespace padtrim::answers
