// Letting a plan into production, and letting one deviate: what the command line and the daemon do
// alike. Reader and ledger are of the same records; everything handed in outlives the act.
#pragma once

#include "db/ledger/ledger.hpp"
#include "station/answers/releases.hpp"

namespace padtrim {

// With its number; or nothing was written, and `problem` says why.
[[nodiscard]] journal::Task<journal::Stored<answers::ReleaseDraft>> release_plan(
    ledger::Ledger& ledger, ledger::Reader& reader, const language::Plan& plan, std::string who,
    std::string why, record::WallTime now);
[[nodiscard]] journal::Task<journal::Stored<answers::PermitDraft>> permit_plan(
    ledger::Ledger& ledger, ledger::Reader& reader, const language::Plan& plan,
    answers::PermitWish wish, record::WallTime now);

}  // namespace padtrim
