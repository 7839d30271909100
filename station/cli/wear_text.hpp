// The wear of a fixture's contacts as text. Pure.
#pragma once

#include "station/answers/contact_wear.hpp"
#include "station/cli/report_texts.hpp"

namespace padtrim::cli {

// Warnings, then the most worn contacts, or all of them.
[[nodiscard]] Lines wear_text(const answers::WearAnswer& wear, bool all, const Paper& paper);

}  // namespace padtrim::cli
