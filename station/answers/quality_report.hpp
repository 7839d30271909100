// The report of a lot or a period: books, yield, what fails, capability as found and as left,
// control charts, drift. Each sheet is the answer to one question.
#pragma once

#include "station/answers/quality_wish.hpp"
#include "station/answers/report.hpp"

namespace padtrim::answers {

struct ReportWish {
    QualityWish of;
    std::string who;       // "": not told
    record::WallTime now;  // of the report itself
};

[[nodiscard]] journal::Stored<Report> quality_report(ledger::Reader& reader,
                                                     const ReportWish& wish);

}  // namespace padtrim::answers
