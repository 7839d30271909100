#include "station/main/sampling_act.hpp"

#include <algorithm>

#include <boost/json/object.hpp>

#include "db/ledger/reader.hpp"
#include "station/answers/printable.hpp"
#include "station/answers/sampling_answer.hpp"
#include "station/main/waited_for.hpp"

namespace padtrim {
namespace {

using web::Decision;
using web::Outcome;

Decision no_result(const journal::StoreFault& fault) {
    return {Outcome::refused, fault.what, "Nothing was kept."};
}

std::string sampled_json(std::int64_t plan, const record::SampledLot& lot) {
    using answers::Json;
    return answers::text_of(boost::json::object{
        {"plan", plan},
        {"lot", answers::text(lot.lot)},
        {"nonconforming", lot.nonconforming ? Json(*lot.nonconforming) : Json(nullptr)}});
}

Decision told_of(ledger::Ledger& ledger, ledger::Reader& reader,
                 const web::SamplingResultRequest& request, record::WallTime now) {
    const auto standings = answers::sampling_answer(reader, "", "");
    if (!standings) return no_result(standings.error());
    const auto standing = std::find_if(standings->begin(), standings->end(), [&](const auto& one) {
        return one.plan.id == request.plan;
    });
    if (standing == standings->end())
        return {Outcome::unknown,
                "No sampling plan " + std::to_string(request.plan) + " is in force.",
                "GET /api/quality/sampling lists those that are."};
    auto plan = standing->plan;
    const auto lot = std::find_if(plan.lots.begin(), plan.lots.end(),
                                  [&](const auto& one) { return one.lot == request.lot; });
    if (lot == plan.lots.end())
        return {Outcome::unknown, answers::none_chosen_words(request.lot), ""};
    const std::string before = sampled_json(plan.id, *lot);
    const auto result = answers::result_of(plan, *lot, request.nonconforming, request.who, now);
    const auto kept = waited_for(ledger.keep_sampling_result(result));
    if (!kept) return no_result(kept.error());
    *lot = result;
    return {Outcome::accepted, answers::result_sentence(plan, result), "", before,
            sampled_json(plan.id, result)};
}

}  // namespace

std::function<Decision()> sampling_result_of(ledger::Ledger& ledger, std::string records,
                                             web::SamplingResultRequest request,
                                             record::WallTime now) {
    return
        [&ledger, records = std::move(records), request = std::move(request), now]() -> Decision {
            const auto reader = ledger::Reader::open(records);
            if (!reader) return no_result(reader.error());
            return told_of(ledger, **reader, request, now);
        };
}

}  // namespace padtrim
