// Every answer as JSON (RFC 8259), once, for --json and for HTTP. Numbers that are not finite are
// null; times are ISO 8601 in UTC; durations are milliseconds and named so. Events can be read
// back, so that a command can follow a daemon; what does not fit gives no value, never an
// exception.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include <boost/json/value.hpp>

#include "db/record/run.hpp"
#include "db/record/unit_result.hpp"
#include "station/answers/station_status.hpp"
#include "station/engine/events.hpp"

namespace padtrim::answers {

using Json = boost::json::value;

[[nodiscard]] Json to_json(const record::LotCount& count);
// {"kind": "released", "number": 3}; a draft has no number.
[[nodiscard]] Json to_json(const record::Permission& permission);
[[nodiscard]] Json to_json(const record::CheckResult& check);
[[nodiscard]] Json to_json(const record::ChannelLine& line);
[[nodiscard]] Json to_json(const record::UnitResult& result);
[[nodiscard]] Json to_json(const std::vector<KeyMargin>& keys);
[[nodiscard]] Json to_json(const NestStatus& nest);
[[nodiscard]] Json to_json(const StationStatus& status);
[[nodiscard]] Json to_json(const engine::Event& event);

[[nodiscard]] std::optional<engine::Event> event_from_json(const Json& json);

[[nodiscard]] Json text(std::string_view words);
// Finite, or null. Whole numbers are integers up to largest_whole, so that a count reads as one.
[[nodiscard]] Json number(double value);
inline constexpr double largest_whole = 9007199254740992.0;  // 2^53: a double holds all below
// "2026-03-31T08:15:02.120Z"
[[nodiscard]] std::string iso_8601(record::WallTime at);
// "2026-11-03"; "" for none.
[[nodiscard]] std::string day_words(const std::optional<std::chrono::sys_days>& day);
// One line.
[[nodiscard]] std::string text_of(const Json& json);
// No value when the text is not JSON, or deeper or longer than a request may be.
[[nodiscard]] std::optional<Json> parse_json(const std::string& text);

}  // namespace padtrim::answers
