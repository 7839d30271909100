#include "station/main/books_desk.hpp"

#include <algorithm>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>

#include "db/ledger/reader.hpp"
#include "db/quality/names.hpp"
#include "station/answers/contact_wear.hpp"
#include "station/answers/printable.hpp"
#include "station/answers/sampling_answer.hpp"
#include "station/main/waited_for.hpp"

namespace padtrim {
namespace {

using answers::Json;
using boost::json::object;
using web::Decision;
using web::Outcome;
using Standing = answers::SamplingStanding;

Decision not_kept(std::string why) {
    return {Outcome::refused, std::move(why), "Nothing was kept."};
}

// A step's newest plan is the one in force.
journal::Stored<std::optional<Standing>> standing_of(const std::string& records,
                                                     const std::string& product,
                                                     const std::string& step) {
    const auto reader = ledger::Reader::open(records);
    if (!reader) return reader.error();
    auto all = answers::sampling_answer(**reader, product, step);
    if (!all) return all.error();
    return all->empty() ? std::nullopt : std::optional(std::move(all->front()));
}

std::string plan_json(const record::SamplingPlan& plan) {
    return answers::text_of(object{{"product", answers::text(plan.product)},
                                   {"step", answers::text(plan.step)},
                                   {"level", answers::text(plan.level)},
                                   {"quality_limit", plan.quality_limit}});
}

std::string severity_json(std::int64_t plan, quality::Severity severity) {
    return answers::text_of(object{{"plan", plan}, {"severity", quality::name_of(severity)}});
}

// The plan of this number, done with `work`; or why there is nothing to do.
template <class Work>
Decision with_plan(const std::string& records, std::int64_t number, Work work) {
    const auto reader = ledger::Reader::open(records);
    if (!reader) return not_kept(reader.error().what);
    const auto all = answers::sampling_answer(**reader, "", "");
    if (!all) return not_kept(all.error().what);
    const auto at = std::find_if(all->begin(), all->end(),
                                 [&](const Standing& one) { return one.plan.id == number; });
    if (at == all->end())
        return {Outcome::unknown, "No sampling plan " + std::to_string(number) + " is in force.",
                "GET /api/quality/sampling lists those that are."};
    return work(*at);
}

Decision chosen(ledger::Ledger& ledger, const Standing& standing,
                const web::SampledUnitsRequest& request, record::WallTime now) {
    const auto lot = answers::lot_to_sample(standing.plan, request.lot, request.size, now);
    if (!lot) return not_kept(answers::why_no_lot(standing.plan, lot.error()));
    const auto kept = waited_for(ledger.keep_sampled_lot(standing.plan.id, *lot));
    if (!kept) return not_kept(kept.error().what);
    return {Outcome::accepted,
            "Lot " + answers::printable(lot->lot, 60) + ": " + std::to_string(lot->sample) +
                " of " + std::to_string(lot->size) + " units are chosen.",
            "", "null",
            answers::text_of(object{{"plan", standing.plan.id},
                                    {"lot", answers::text(lot->lot)},
                                    {"size", lot->size},
                                    {"sample", lot->sample}})};
}

Decision resumed(ledger::Ledger& ledger, const Standing& standing,
                 const web::SamplingResumptionRequest& request, record::WallTime now) {
    if (auto no = answers::why_not_resumed(standing.plan); !no.empty())
        return not_kept(std::move(no));
    const record::SamplingResumption resumption{0, now, request.who,
                                                answers::printable(request.why, 2000)};
    const auto kept = waited_for(ledger.resume_sampling(standing.plan.id, resumption));
    if (!kept) return not_kept(kept.error().what);
    auto after = standing.switching;
    after.resume();
    return {Outcome::accepted,
            "Inspection goes on: the next lot gets " +
                std::string(quality::name_of(after.severity())) + " inspection.",
            "", severity_json(standing.plan.id, standing.switching.severity()),
            severity_json(standing.plan.id, after.severity())};
}

// What the coils of a request switch, in words; none of an unknown one.
std::optional<std::string> uses_of(const language::FixtureProfile& fixture,
                                   const std::vector<std::uint16_t>& coils,
                                   std::uint16_t& unknown) {
    std::string words;
    const auto contacts = answers::wear_of(fixture, {}).contacts;
    for (const auto coil : coils) {
        const auto at = std::find_if(contacts.begin(), contacts.end(),
                                     [&](const auto& contact) { return contact.coil == coil; });
        unknown = coil;
        if (at == contacts.end()) return std::nullopt;
        words += (words.empty() ? "" : ", ") + at->use;
    }
    return words;
}

std::string counts_json(ledger::Reader& reader, const language::FixtureProfile& fixture,
                        const std::string& station, const std::vector<std::uint16_t>& coils) {
    boost::json::array counts;
    const auto worn = answers::wear_in(reader, fixture, station);
    if (!worn) return "null";
    for (const auto& contact : worn->contacts)
        if (std::find(coils.begin(), coils.end(), contact.coil) != coils.end())
            counts.push_back(object{{"coil", contact.coil}, {"operations", contact.operations}});
    return answers::text_of(counts);
}

}  // namespace

web::BooksControl::Work BooksDesk::set_sampling_plan(web::SamplingPlanRequest request) {
    return [&ledger = ledger_, records = records_, request = std::move(request),
            now = wall_clock_.now()]() -> Decision {
        const auto before = standing_of(records, request.product, request.step);
        if (!before) return not_kept(before.error().what);
        if (*before)
            if (auto no = answers::why_not_replaced((*before)->plan); !no.empty())
                return not_kept(std::move(no));
        record::SamplingPlan plan;
        plan.product = request.product;
        plan.step = request.step;
        plan.level = request.level;
        plan.quality_limit = request.quality_limit;
        plan.at = now;
        plan.who = request.who;
        plan.why = answers::printable(request.why, 2000);
        const auto kept = waited_for(ledger.keep_sampling_plan(plan));
        if (!kept) return not_kept(kept.error().what);
        return {Outcome::accepted,
                "Sampling plan " + std::to_string(*kept) + " is in force for step " +
                    answers::printable(plan.step, 60) + " of " +
                    answers::printable(plan.product, 60) + ".",
                "", *before ? plan_json((*before)->plan) : "null", plan_json(plan)};
    };
}

web::BooksControl::Work BooksDesk::choose_units(web::SampledUnitsRequest request) {
    return [&ledger = ledger_, records = records_, request = std::move(request),
            now = wall_clock_.now()] {
        return with_plan(records, request.plan, [&](const Standing& standing) {
            return chosen(ledger, standing, request, now);
        });
    };
}

web::BooksControl::Work BooksDesk::resume_sampling(web::SamplingResumptionRequest request) {
    return [&ledger = ledger_, records = records_, request = std::move(request),
            now = wall_clock_.now()] {
        return with_plan(records, request.plan, [&](const Standing& standing) {
            return resumed(ledger, standing, request, now);
        });
    };
}

web::BooksControl::Work BooksDesk::replace_contacts(web::ReplacementRequest request) {
    return [&ledger = ledger_, records = records_, station = station_, plan = plan_,
            request = std::move(request), now = wall_clock_.now()]() -> Decision {
        std::uint16_t unknown = 0;
        const auto uses = uses_of(plan->fixture, request.coils, unknown);
        if (!uses)
            return {Outcome::unknown, "The profile uses no coil " + std::to_string(unknown) + ".",
                    "GET /api/fixture/wear lists them."};
        const auto reader = ledger::Reader::open(records);
        if (!reader) return not_kept(reader.error().what);
        const auto before = counts_json(**reader, plan->fixture, station, request.coils);
        const auto kept = waited_for(ledger.replace_contacts(
            {station, plan->fixture.fixture, request.coils, request.who, request.why, now}));
        if (!kept) return not_kept(kept.error().what);
        return {Outcome::accepted, "Replaced: " + *uses + ". Counts begin anew.", "", before,
                counts_json(**reader, plan->fixture, station, request.coils)};
    };
}

}  // namespace padtrim
