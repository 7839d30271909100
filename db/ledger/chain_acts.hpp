// Acts of people and of the station beside runs that are links of the chain of records: openings
// and closings of lots, units set aside, frozen charts, alarms and replies (docs/ledger.md, "The
// chain of records"). One description for who writes the links and for who verifies them.
//
// Keeps its prepared statements, none of them under way between calls. SQLite's errors pass as
// SQLite::Exception.
#pragma once

#include <optional>
#include <string_view>
#include <vector>

#include "db/ledger/digest.hpp"
#include "db/ledger/statement.hpp"

namespace padtrim::ledger {

enum class ActKind { opening, closing, set_aside, frozen_chart, alarm, alarm_reply };
inline constexpr std::size_t act_kinds = 6;
[[nodiscard]] std::string_view name_of(ActKind kind);
[[nodiscard]] std::optional<ActKind> act_kind_of(std::string_view name);

// What the index on links is made for; in a query it lets SQLite use that index.
inline constexpr std::string_view link_with_record =
    "kind NOT IN ('beginning', 'decisions before', 'new key', 'break', 'acts begin')";

class ChainActs {
  public:
    explicit ChainActs(Database& database);

    // Those without a link whose number is beyond `after`.
    [[nodiscard]] std::vector<std::int64_t> unlinked(ActKind kind, std::int64_t after);
    // The newest number; 0 where numbers do not tell what is new (closings).
    [[nodiscard]] std::int64_t newest(ActKind kind);
    // Of the record; nothing where there is no such act.
    [[nodiscard]] std::optional<Digest> digest_of_act(ActKind kind, std::int64_t id);

  private:
    struct Kept {
        Query unlinked, newest;
        std::vector<Query> parts;
    };
    std::vector<Kept> acts_;
};

}  // namespace padtrim::ledger
