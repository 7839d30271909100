// Answers as text for people, on a terminal or in a file: a lot's summary, a unit's history
// and the problems of documents. Pure; `width` is that of the paper.
#pragma once

#include <string>
#include <vector>

#include "station/answers/documents_check.hpp"
#include "station/answers/lot_report.hpp"
#include "station/answers/plan_forecast.hpp"
#include "station/answers/unit_details.hpp"
#include "station/answers/unit_history.hpp"
#include "station/cli/canvas.hpp"

namespace padtrim::cli {

struct Paper {
    std::size_t width = 100;
    Colours colours = Colours::plain;
};

// Where the lot's results are, for the summary's last lines.
struct Whereabouts {
    std::string records, log;
    std::string program = "padtrim";
};

using Lines = std::vector<std::string>;

// " · DRAFT, not for production", " · under permit 3", or nothing where the plan was released.
[[nodiscard]] std::string mark_of(const record::Permission& permission);

[[nodiscard]] Lines summary_text(const answers::LotReport& report, const Whereabouts& where,
                                 const Paper& paper);
// Of the newest run each check's worst place, or all of them; of older runs what did not pass.
enum class Checks { worst, all };
[[nodiscard]] Lines unit_text(const answers::UnitHistory& history, const Paper& paper,
                              Checks checks = Checks::worst);
[[nodiscard]] Lines details_text(const answers::UnitDetails& details,
                                 const answers::HistoryRun& run, const Paper& paper);
[[nodiscard]] Lines plan_text(const answers::PlanForecast& plan, const Paper& paper);
[[nodiscard]] Lines check_text(const answers::DocumentsCheck& check, const Paper& paper);

}  // namespace padtrim::cli
