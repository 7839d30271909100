// Names that a question gives, against those that the records hold: a mistyped name must not be
// answered as if nothing had happened.
#pragma once

#include <string>

#include "db/ledger/reader.hpp"
#include "station/answers/quality_wish.hpp"

namespace padtrim::answers {

// "No station 'x' in these records: there are a and b.", or "".
[[nodiscard]] journal::Stored<std::string> wrong_with_named(ledger::Reader& reader,
                                                            ledger::NameKind kind,
                                                            const std::string& name);
// The first of the wish's names that is none.
[[nodiscard]] journal::Stored<std::string> wrong_with_names_of(ledger::Reader& reader,
                                                               const QualityWish& wish);

}  // namespace padtrim::answers
