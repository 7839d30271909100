// Lots, units and results that tests put into journals. Plain values without meaning of their own.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "db/record/run.hpp"

namespace padtrim::support {

[[nodiscard]] record::WallTime at_second(std::int64_t second);  // of a fixed day
[[nodiscard]] record::LotStart sample_lot(const std::string& name = "L-1",
                                          const std::string& station = "S1");
[[nodiscard]] record::RunStart sample_run(record::LotId lot, const std::string& serial,
                                          std::uint16_t nest = 1);
[[nodiscard]] record::WriteIntent sample_intent();
// Two channels at two frequencies, every kind of observation at least once.
[[nodiscard]] record::Observations sample_observations(const std::string& serial);
[[nodiscard]] record::UnitRecord sample_unit(
    record::Verdict verdict = record::Verdict::pass,
    record::Disposition disposition = record::Disposition::released);
// Serials that a careless store or report breaks on: quotes, line ends, NUL, bad UTF-8, SQL, long.
[[nodiscard]] std::vector<std::string> odd_serials();

}  // namespace padtrim::support
