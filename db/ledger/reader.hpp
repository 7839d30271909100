// Questions to a ledger that only read: histories, lots, tapes, lines, yields.
//
// Opens the file read-only beside a running station, whose writing it never holds up; each question
// sees one moment of the ledger. Calls wait for the disk: use a Reader from one thread at a time,
// and not from an io_context that has deadlines. Answers are plain values.
// Failures: open() answers missing, read_only (folder), newer_schema or broken; questions answer
// broken when rows or packed observations are damaged.
#pragma once

#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "db/journal/journal.hpp"
#include "db/record/audit_entry.hpp"
#include "db/record/chart_alarm.hpp"
#include "db/record/contact_count.hpp"
#include "db/record/release.hpp"
#include "db/record/sampling.hpp"
#include "db/record/shift_check.hpp"
#include "db/record/upkeep.hpp"
#include "db/record/yield_count.hpp"

namespace SQLite {
class Database;
}

namespace padtrim::ledger {

struct RunSummary {
    record::RunId run = 0;
    record::RunId unit = 0;  // the unit's first run in its lot
    record::LotId lot = 0;
    std::string lot_name, station;
    bool measure_only = false;
    std::string recipe, recipe_revision, product, fixture, plan_hash;
    std::uint16_t nest = 1;
    std::string serial, label;
    std::uint32_t attempt = 1;
    record::WallTime started;
    std::optional<record::WallTime> ended;  // none: still running, or cut off
    bool settled = false;                   // closed after a stop had cut it off
    record::Verdict verdict = record::Verdict::no_verdict;
    record::Disposition disposition = record::Disposition::undecided;  // the newest
    record::WriteStage write_stage = record::WriteStage::untouched;
    std::string reason, next_step, formula_version;
    record::Permission permission;  // of the lot's opening that it belongs to
};

// The first is the station's own at the run's end, later ones are people's.
struct DispositionChange {
    record::Disposition disposition = record::Disposition::undecided;
    std::string who, reason;
    record::WallTime at;
};

struct StoredRun {
    RunSummary summary;
    std::string plan_text;
    std::optional<record::Observations> observations;  // of finished runs
    record::UnitResult result;                         // as it was derived then
    std::optional<record::WriteIntent> intent;
    std::vector<record::WriteStage> stages;  // in the order reached
    std::vector<DispositionChange> dispositions;
};

struct LotSummary {
    record::LotId lot = 0;
    std::string name, station;
    bool measure_only = false;
    bool open = false;
    record::WallTime first_opened, last_opened;
    std::optional<record::WallTime> closed;
    // Of the newest opening.
    std::string recipe, recipe_revision, product, fixture, plan_hash, operator_name;
    record::Permission permission;
    record::LotCount count;
};

// loaded = pass + fail + inconclusive + no verdict + removed, counted twice: from the runs, and as
// it was kept while they ended. Two counts that differ mean damaged rollups or rows.
struct LotReconciliation {
    record::LotCount counted, kept;
    std::uint32_t unfinished = 0;  // runs without an end; settle them first
    // Units with an ended run, by the disposition in force.
    std::uint32_t released = 0, rework = 0, scrap = 0, quarantined = 0, undecided = 0;
    [[nodiscard]] bool adds_up() const {
        return counted == kept && unfinished == 0 &&
               released + rework + scrap + quarantined + undecided + counted.removed ==
                   counted.loaded;
    }
};

// One a run, in the order they came.
struct TapeMark {
    record::RunId run = 0;
    std::string serial;
    std::uint16_t nest = 1;
    std::uint32_t attempt = 1;
    bool ended = false;
    record::Verdict verdict = record::Verdict::no_verdict;
    record::Disposition disposition = record::Disposition::undecided;
    std::string reason;
};

struct Spread {
    double mean = 0.0, low = 0.0, high = 0.0;
    double standard_deviation = 0.0;  // 0 for one unit
    double mean_expanded = 0.0;       // mean expanded uncertainty of the units
    double mean_standard = 0.0;       // mean standard uncertainty of the units
};

// A channel at one frequency over a lot, as found; each unit by its newest ended run that has a
// line. Gain in counts/pF, offset in counts.
struct LineSummary {
    int channel = 0, frequency = 0;
    std::string key;
    std::uint32_t units = 0;
    Spread gain, offset;
};

// A check that did not pass, over the units of a lot, each by its newest ended run. One a step,
// check, key and stage; most frequent first.
struct FailureSummary {
    std::string step, check, key;
    record::Stage stage = record::Stage::as_found;
    std::uint32_t failed = 0, inconclusive = 0;  // units
    double worst_margin = 0.0;
    // The unit with the worst margin.
    record::RunId example_run = 0;
    std::string example_serial;
    std::string note;
};

// One stored value of a check, with what it was judged by.
struct CheckValue {
    record::RunId run = 0, unit = 0;
    std::string step, check, key, measure;  // measure: the value's unit, "counts/pF"
    int channel = -1, frequency = -1;
    double value = 0.0, standard_uncertainty = 0.0;
    double degrees_of_freedom = 0.0;  // no number in results of before they were kept
    double coverage_factor = 2.0;
    std::optional<double> low, high;
    record::Verdict verdict = record::Verdict::no_verdict;
};

// Where a check belongs; many runs have the same places, so that each is named once.
struct CheckPlace {
    std::string step, check, key;
    int channel = -1, frequency = -1;
    record::Stage stage = record::Stage::as_found;
    std::string measure;  // the value's unit
    friend bool operator==(const CheckPlace&, const CheckPlace&) = default;
};
struct PlacedCheck {
    std::size_t place = 0;  // in the list of places
    double value = 0.0, standard_uncertainty = 0.0;
    double degrees_of_freedom = 0.0;  // no number in results of before they were kept
    double coverage_factor = 2.0;
    record::Verdict verdict = record::Verdict::no_verdict;
};
// Called with the number of the run among those asked for, and its checks.
using VisitChecks = std::function<void(std::size_t, std::span<const PlacedCheck>)>;

struct YieldFilter {
    std::optional<std::string> lot, recipe, recipe_revision, station;
    bool measure_only = false;  // lots that only measured, or those that did not
    bool drafts = false;        // units whose first run was of a draft too
};
enum class YieldBy { lot, recipe_revision, station, everything };

// Ended runs with observations; what is left out does not matter.
struct RunFilter {
    std::optional<record::WallTime> since, until;  // of the run's start; until: not itself
    std::optional<std::string> lot, recipe, recipe_revision, product, station;
    bool measure_only = false;           // of lots that only measured, or of those that did not
    bool released = false;               // no drafts
    std::optional<record::RunId> after;  // runs that began later than this one
};

// Names that the grouping leaves open are "".
struct YieldRow {
    std::string lot, station, recipe, recipe_revision;
    record::YieldCount count;
};

// A frozen chart in force, and up to which run it has been looked at.
struct KeptChart {
    record::FrozenChart chart;
    record::RunId looked_until = 0;
};

// Of what people name in questions.
enum class NameKind { station, product, recipe, recipe_revision, fixture, check, key, step };

// Mapped pages are looked at in place. Not for the station: there a broken disk has to be an
// answer, and in mapped memory it is a signal. A question over years of units has a process to
// lose.
enum class Pages { copied, mapped };

class Reader {
  public:
    template <class T>
    using Stored = journal::Stored<T>;

    [[nodiscard]] static Stored<std::unique_ptr<Reader>> open(const std::string& path,
                                                              Pages pages = Pages::copied);
    ~Reader();
    Reader(const Reader&) = delete;
    Reader& operator=(const Reader&) = delete;

    // Runs of an electronic serial, or of a label where that was all; oldest first.
    [[nodiscard]] Stored<std::vector<RunSummary>> runs_of(const std::string& serial);
    // Nothing when there is no such run.
    [[nodiscard]] Stored<std::optional<StoredRun>> stored_run(record::RunId run);

    // Oldest first.
    [[nodiscard]] Stored<std::vector<RunSummary>> runs(const RunFilter& filter);
    [[nodiscard]] Stored<std::optional<RunSummary>> newest_run(const RunFilter& filter);
    // The run that lies so many of these runs before `from`; nothing where there are fewer.
    [[nodiscard]] Stored<std::optional<record::RunId>> run_before(const RunFilter& filter,
                                                                  record::RunId from,
                                                                  std::size_t runs);
    // Units by their newest ended run whose newest disposition is one of these; newest first, at
    // most so many. Runs without observations too.
    [[nodiscard]] Stored<std::vector<RunSummary>> disposed(
        const RunFilter& filter, const std::vector<record::Disposition>& which, std::size_t most);
    // Oldest first.
    [[nodiscard]] Stored<std::vector<DispositionChange>> dispositions_of(record::RunId run);
    // Checks, lines, verdict and sentences of an ended run, without its observations.
    [[nodiscard]] Stored<std::optional<record::UnitResult>> result_of(record::RunId run);

    // Values of the checks of these names (none: of all) in these runs, in the runs' order; those
    // that are no number left out.
    [[nodiscard]] Stored<std::vector<CheckValue>> check_values(
        const std::vector<record::RunId>& runs, const std::vector<std::string>& checks,
        record::Stage stage);
    // The checks of many runs, one after the other; `places` grows by those that are new. One
    // moment of the ledger; ask nothing else meanwhile.
    [[nodiscard]] Stored<void> visit_checks(const std::vector<record::RunId>& runs,
                                            std::vector<CheckPlace>& places,
                                            const VisitChecks& visit);

    // Nothing when no plan has this hash.
    [[nodiscard]] Stored<std::optional<std::string>> plan_text(const std::string& hash);
    // Room for what the caller makes of the plan of this hash, which never changes; it is kept as
    // long as the Reader. One caller, one type.
    [[nodiscard]] std::shared_ptr<const void>& kept_of_plan(const std::string& hash);

    // Newest first; permits with how many units ran under them.
    [[nodiscard]] Stored<std::vector<record::Release>> releases();
    [[nodiscard]] Stored<std::vector<record::Permit>> permits();
    [[nodiscard]] Stored<std::vector<RunSummary>> runs_under(std::int64_t permit);

    // Newest first, at most so many; of every fixture of the station when `fixture` is "".
    [[nodiscard]] Stored<std::vector<record::ShiftCheck>> shift_checks(const std::string& station,
                                                                       const std::string& fixture,
                                                                       std::size_t newest);
    // Those alone that came after charts of this fixture were begun anew.
    [[nodiscard]] Stored<std::vector<record::ShiftCheck>> shift_checks_since_restart(
        const std::string& station, const std::string& fixture, std::size_t newest);
    [[nodiscard]] Stored<std::optional<record::WallTime>> last_good_check(
        const std::string& station, const std::string& fixture);
    // The points that charts learn from: of good checks since the charts began, oldest first.
    [[nodiscard]] Stored<std::map<record::ChartPlace, std::vector<double>>> chart_history(
        const std::string& station, const std::string& fixture);

    // Coils of the fixture that ever closed, or were replaced, in their order.
    [[nodiscard]] Stored<std::vector<record::ContactStanding>> contacts(const std::string& station,
                                                                        const std::string& fixture);

    // All that the records hold, ascending; those of checks as the rollups know them.
    [[nodiscard]] Stored<std::vector<std::string>> names(NameKind kind);
    // Newest opening first.
    [[nodiscard]] Stored<std::vector<LotSummary>> lots();
    // The lot of this name that was opened last (stations may share names).
    [[nodiscard]] Stored<std::optional<LotSummary>> lot(const std::string& name);
    [[nodiscard]] Stored<std::vector<TapeMark>> tape(record::LotId lot);
    [[nodiscard]] Stored<std::vector<record::SetAside>> set_aside(record::LotId lot);
    // Every unit of the lot accounted for.
    [[nodiscard]] Stored<LotReconciliation> reconcile(record::LotId lot);
    // That began before `until` and were not over at `since`; oldest first.
    [[nodiscard]] Stored<std::vector<record::Downtime>> downtimes(
        const std::string& station, std::optional<record::WallTime> since,
        std::optional<record::WallTime> until);
    // Of raw observations; newest first.
    [[nodiscard]] Stored<std::vector<record::Removal>> removals();

    // The newest of each place of each recipe's revision.
    [[nodiscard]] Stored<std::vector<KeptChart>> frozen_charts();
    // Newest first; those without a reply alone where asked for.
    [[nodiscard]] Stored<std::vector<record::ChartAlarm>> chart_alarms(bool open_only);
    // All of them with their lots, oldest first.
    [[nodiscard]] Stored<std::vector<record::SamplingPlan>> sampling_plans();
    // What was changed over HTTP, newest first.
    [[nodiscard]] Stored<std::vector<record::AuditEntry>> audit(const record::AuditFilter& filter);
    [[nodiscard]] Stored<std::vector<LineSummary>> lines_of(record::LotId lot);
    [[nodiscard]] Stored<std::vector<FailureSummary>> failures(record::LotId lot);
    [[nodiscard]] Stored<std::vector<YieldRow>> yield(const YieldFilter& filter, YieldBy by);

  private:
    friend class RollupReader;
    [[nodiscard]] Stored<std::vector<RunSummary>> summaries(const std::vector<record::RunId>& runs);
    struct State;
    explicit Reader(std::unique_ptr<State> state);
    std::unique_ptr<State> state_;
};

}  // namespace padtrim::ledger
