// Enumerations and times as the ledger's rows hold them: the words of record::name_of, and
// milliseconds since 1970 UTC.
#pragma once

#include <optional>
#include <stdexcept>
#include <string>

#include "db/record/run.hpp"
#include "db/record/shift_check.hpp"

namespace padtrim::ledger {

// A row that this program cannot have written.
struct UnknownWord : std::runtime_error {
    using std::runtime_error::runtime_error;
};

template <class Enum>
Enum word_of(const std::string& text, Enum last) {
    for (int i = 0; i <= static_cast<int>(last); ++i)
        if (record::name_of(static_cast<Enum>(i)) == text) return static_cast<Enum>(i);
    throw UnknownWord("a row holds the unknown word '" + text + "'");
}

inline record::Verdict verdict_of(const std::string& text) {
    return word_of(text, record::Verdict::no_verdict);
}
inline record::PermissionKind permission_of(const std::string& text) {
    return word_of(text, record::PermissionKind::draft);
}
inline record::Disposition disposition_of(const std::string& text) {
    return word_of(text, record::Disposition::quarantined);
}
inline record::Traceability traceability_of(const std::string& text) {
    return word_of(text, record::Traceability::indication);
}
inline record::Stage stage_of(const std::string& text) {
    return word_of(text, record::Stage::as_left);
}
inline record::WriteStage write_stage_of(const std::string& text) {
    return word_of(text, record::WriteStage::verified);
}

inline record::ChartState chart_state_of(const std::string& text) {
    return word_of(text, record::ChartState::beyond);
}
inline record::CheckDecision check_decision_of(const std::string& text) {
    return word_of(text, record::CheckDecision::blocked);
}

// NULL where an index of -1 says that it does not apply.
inline std::optional<int> where_it_applies(int index) {
    if (index < 0) return std::nullopt;
    return index;
}

inline std::int64_t stored_time(record::WallTime at) {
    return at.time_since_epoch().count();
}
inline record::WallTime time_of(std::int64_t stored) {
    return record::WallTime(std::chrono::milliseconds(stored));
}

}  // namespace padtrim::ledger
