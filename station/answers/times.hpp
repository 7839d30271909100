// Days and moments as people type them (ISO 8601, UTC). Pure.
#pragma once

#include <optional>
#include <string>

#include "db/record/run.hpp"

namespace padtrim::answers {

// "2026-03-31" (its first moment), "2026-03-31T08:15" or "2026-03-31T08:15:02", with or without a
// Z. Nothing for what is no such moment.
[[nodiscard]] std::optional<record::WallTime> moment_of(const std::string& text);

// The first moment after a day "2026-03-31"; a moment stays itself.
[[nodiscard]] std::optional<record::WallTime> end_of(const std::string& text);

// "2026-03-31 08:15": the one form in which a moment is read; what stands around it says UTC.
[[nodiscard]] std::string minute_words(record::WallTime at);
// The same of a moment in ISO 8601, to the second or finer; nothing for what is no such moment.
[[nodiscard]] std::optional<std::string> minute_words(const std::string& iso);

// "06:00" in minutes after midnight, and back.
[[nodiscard]] std::optional<int> minutes_of_day(const std::string& text);
[[nodiscard]] std::string time_of_day(int minutes);

}  // namespace padtrim::answers
