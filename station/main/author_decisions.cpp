#include "station/main/author_decisions.hpp"

#include <utility>

namespace padtrim {

journal::Task<journal::Stored<answers::ReleaseDraft>> release_plan(ledger::Ledger& ledger,
                                                                   ledger::Reader& reader,
                                                                   const language::Plan& plan,
                                                                   std::string who, std::string why,
                                                                   record::WallTime now) {
    const auto releases = reader.releases();
    if (!releases) co_return releases.error();
    auto draft = answers::draft_release(*releases, plan, who, why, now);
    if (!draft.release) co_return draft;
    const auto number = co_await ledger.release(*draft.release);
    if (!number) co_return number.error();
    draft.release->id = *number;
    co_return draft;
}

journal::Task<journal::Stored<answers::PermitDraft>> permit_plan(ledger::Ledger& ledger,
                                                                 ledger::Reader& reader,
                                                                 const language::Plan& plan,
                                                                 answers::PermitWish wish,
                                                                 record::WallTime now) {
    const auto releases = reader.releases();
    if (!releases) co_return releases.error();
    const auto permits = reader.permits();
    if (!permits) co_return permits.error();
    auto draft = answers::draft_permit(*releases, *permits, plan, wish, now);
    if (!draft.permit) co_return draft;
    const auto number = co_await ledger.permit(*draft.permit);
    if (!number) co_return number.error();
    draft.permit->id = *number;
    co_return draft;
}

}  // namespace padtrim
