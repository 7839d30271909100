// Keeping charts with their recipe's revision: what is in the way, the charts to keep, and what is
// said once they are kept. The command and the page refuse the same in the same words. Pure.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "db/ledger/reader.hpp"
#include "station/answers/control_answer.hpp"
#include "station/answers/quality_wish.hpp"

namespace padtrim::answers {

struct Freezing {
    std::string wrong;  // why nothing can be kept, with what to do; "": nothing is in the way
    std::vector<record::FrozenChart> charts;
};

// `charts` is the answer to `wish`, which was asked with `of`.
[[nodiscard]] Freezing freezing_of(const QualityWords& of, const ControlWish& wish,
                                   const ControlAnswer& charts, const std::string& who,
                                   const std::string& why, record::WallTime at);
// "3 charts frozen for recipe eight keys, revision 3."
[[nodiscard]] std::string frozen_sentence(const std::vector<record::FrozenChart>& charts);

// Numbers of the charts in force at the places of `of`, in their order; none where none is.
[[nodiscard]] std::vector<std::int64_t> in_force_at(const std::vector<ledger::KeptChart>& charts,
                                                    const std::vector<record::FrozenChart>& of);

}  // namespace padtrim::answers
