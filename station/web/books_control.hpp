// What people say for the books alone, while the daemon holds them: nothing moves and nothing is
// switched. Sampling plans of slow steps (the quality team's), and contacts that were replaced (an
// engineer's). Each call gives work for a thread of its own: it waits until the records have it, or
// have refused it.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "station/web/station_control.hpp"

namespace padtrim::web {

struct SamplingPlanRequest {
    std::string product, step, level = "II";
    double quality_limit = 0.0;  // percent nonconforming
    std::string who, why;
};
struct SampledUnitsRequest {
    std::int64_t plan = 0;
    std::string lot;
    std::uint32_t size = 0;
};
struct SamplingResumptionRequest {
    std::int64_t plan = 0;
    std::string who, why;
};
struct ReplacementRequest {
    std::vector<std::uint16_t> coils;
    std::string who, why;
};

class BooksControl {
  public:
    virtual ~BooksControl() = default;
    using Work = std::function<Decision()>;
    // In place of one that the step has; refused while its inspection is stopped.
    virtual Work set_sampling_plan(SamplingPlanRequest request) = 0;
    // Which units of a lot are looked at: chosen once.
    virtual Work choose_units(SampledUnitsRequest request) = 0;
    // Inspection goes on, tightened, once the cause of its stop is mended.
    virtual Work resume_sampling(SamplingResumptionRequest request) = 0;
    // The coils' counts begin anew.
    virtual Work replace_contacts(ReplacementRequest request) = 0;
};

}  // namespace padtrim::web
