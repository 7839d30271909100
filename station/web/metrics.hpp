// What the station tells a monitoring system, as OpenMetrics text (OpenMetrics 1.0). Pure.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "db/record/run.hpp"
#include "station/answers/station_status.hpp"
#include "station/answers/station_tally.hpp"
#include "station/web/http_server.hpp"

namespace padtrim::web {

// What the kernel says of this process.
struct ProcessFigures {
    double processor_seconds = 0.0;
    std::uint64_t resident_bytes = 0;
    std::uint64_t open_descriptors = 0, threads = 0;
    double started = 0.0;  // seconds since 1970-01-01 UTC
};
[[nodiscard]] ProcessFigures process_figures();

struct MetricsSource {
    std::string station;
    answers::StationState state = answers::StationState::ready;
    answers::StationTally tally;
    Traffic traffic;
    ProcessFigures process;
    std::optional<record::WallTime> certificate_ends;
};
[[nodiscard]] std::string metrics_text(const MetricsSource& source);
inline constexpr const char* metrics_type =
    "application/openmetrics-text; version=1.0.0; charset=utf-8";

}  // namespace padtrim::web
