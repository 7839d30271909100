// Names that people give (lot, station, operator), and what they sign with. Pure.
#pragma once

#include <string>
#include <string_view>

namespace padtrim::answers {

// Why `name` cannot name `what`, with what to do, or "". A name is one line of at most 64 visible
// characters: it stands in records, on screens and in file names of reports.
[[nodiscard]] std::string wrong_with_name(std::string_view what, std::string_view name);

// Whether who and why are options of a command ("--who") or members of a call.
enum class SignedBy { command, call };
// Why these do not sign what is kept with a person's name and reason, with what to do, or "".
[[nodiscard]] std::string wrong_with_signature(std::string_view who, std::string_view why,
                                               SignedBy by = SignedBy::command);

}  // namespace padtrim::answers
