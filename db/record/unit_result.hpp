// What was derived from a unit's observations: checks with their doubt, channels, verdict.
//
// Made only by metrology::judge(); plain values. Numbers are in the unit that `unit` names; the
// margin is the signed distance from the nearest limit (inside positive) over the expanded
// uncertainty (JCGM 106 vocabulary; 0 on the limit, 1 and more certain at the stated coverage).
#pragma once

#include <cstdint>
#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace padtrim::record {

enum class Verdict { pass, fail, inconclusive, no_verdict };
enum class Disposition { undecided, released, rework, scrap, quarantined };
enum class Traceability { traceable, comparable, indication };
enum class Stage { as_found, as_left };

[[nodiscard]] std::string_view name_of(Verdict verdict);
[[nodiscard]] std::string_view name_of(Disposition disposition);
[[nodiscard]] std::string_view name_of(Traceability traceability);
[[nodiscard]] std::string_view name_of(Stage stage);

// One limit applied to one value. channel and frequency are -1, key is "" where they do not apply.
struct CheckResult {
    std::string step;
    std::string check;  // "gain", "touch response", ...
    std::string key;
    int channel = -1;
    int frequency = -1;
    Stage stage = Stage::as_found;
    double value = 0.0;
    std::string unit;
    double standard_uncertainty = 0.0;
    double degrees_of_freedom = std::numeric_limits<double>::infinity();
    double coverage_factor = 2.0;
    double expanded_uncertainty = 0.0;
    std::optional<double> low, high;
    double margin = 0.0;
    Verdict verdict = Verdict::no_verdict;
    Traceability traceability = Traceability::traceable;
    std::string note;  // one sentence when it did not pass
    friend bool operator==(const CheckResult&, const CheckResult&) = default;
};

// The straight line of one channel at one frequency. Gain in counts/pF, offset in counts; the
// expanded uncertainties are at 95 % coverage.
struct ChannelLine {
    int channel = 0;
    int frequency = 0;
    std::string key;
    double gain = 0.0, offset = 0.0;
    double gain_standard = 0.0, offset_standard = 0.0, covariance = 0.0;
    double gain_expanded = 0.0, offset_expanded = 0.0;
    double degrees_of_freedom = 0.0;
    friend bool operator==(const ChannelLine&, const ChannelLine&) = default;
};

struct UnitResult {
    std::string formula_version;
    std::vector<CheckResult> checks;
    std::vector<ChannelLine> lines;
    Verdict verdict = Verdict::no_verdict;
    Disposition disposition = Disposition::undecided;
    std::string reason;     // one sentence: what decided it
    std::string next_step;  // one imperative sentence for the operator
    friend bool operator==(const UnitResult&, const UnitResult&) = default;
};

}  // namespace padtrim::record
