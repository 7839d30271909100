// Sampling plans for slow steps: which inspection the next lot gets, which of its units the step is
// for, and what a result means (ISO 2859-1, db/quality/sampling.hpp and sampling_tables.hpp).
//
//   plan --lot_to_sample--> chosen units --result_of--> accepted or not --switching_of--> next lot
//
// Which inspection is in force is not stored: it follows from the stored results. Reduced
// inspection is not entered, for its table is not kept. Pure but for sampling_answer().
#pragma once

#include <string>
#include <vector>

#include "db/ledger/reader.hpp"
#include "db/quality/sampling_tables.hpp"
#include "station/answers/chart.hpp"

namespace padtrim::answers {

// After every result so far.
[[nodiscard]] quality::Switching switching_of(const record::SamplingPlan& plan);

// What the plan asks of a lot of this size. The seed of the choice comes from the plan, the lot's
// name and the moment, and is stored. out_of_domain while inspection is stopped, for a size below
// 2, or a quality limit without a plan.
[[nodiscard]] statistics::Checked<record::SampledLot> lot_to_sample(
    const record::SamplingPlan& plan, const std::string& lot, std::uint64_t size,
    record::WallTime at);
// Places of the units that get the step, in the order that units come, from 1; ascending.
[[nodiscard]] std::vector<std::uint64_t> chosen_units(const record::SampledLot& lot);
[[nodiscard]] bool accepted(const record::SampledLot& lot);
// The lot with what was found, ready to be kept.
[[nodiscard]] record::SampledLot result_of(const record::SamplingPlan& plan, record::SampledLot lot,
                                           std::uint64_t nonconforming, const std::string& who,
                                           record::WallTime at);

// Too many lots were refused: no lot is taken before a person lets inspection go on.
[[nodiscard]] bool is_stopped(const record::SamplingPlan& plan);
// Why nobody can set a plan in the place of this one, resume it, or take a lot of this size, with
// what to do; "" when they can.
[[nodiscard]] std::string why_not_replaced(const record::SamplingPlan& plan);
[[nodiscard]] std::string why_not_resumed(const record::SamplingPlan& plan);
[[nodiscard]] std::string why_no_lot(const record::SamplingPlan& plan, statistics::Flaw flaw);

// Why no result can be told of a lot, with what to do.
[[nodiscard]] std::string none_chosen_words(const std::string& lot);
// "Lot 2231: 1 of 50 units nonconforming, accepted. The next lot gets normal inspection."; the plan
// holds the result.
[[nodiscard]] std::string result_sentence(const record::SamplingPlan& plan,
                                          const record::SampledLot& lot);

// "An AQL is one of 0.01, ... and 10 %."
[[nodiscard]] std::string quality_limits_words();
[[nodiscard]] bool is_quality_limit(double percent);

struct SamplingStanding {
    record::SamplingPlan plan;
    quality::Switching switching;
};
// Plans of a product and a step, "" for all.
[[nodiscard]] journal::Stored<std::vector<SamplingStanding>> sampling_answer(
    ledger::Reader& reader, const std::string& product, const std::string& step);
[[nodiscard]] Json to_json(const std::vector<SamplingStanding>& standings);
[[nodiscard]] Sheet sheet_of(const std::vector<SamplingStanding>& standings);

}  // namespace padtrim::answers
