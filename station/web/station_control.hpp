// What HTTP may ask of a station. The daemon implements it; all calls come from the daemon's
// io_context and return at once: a lot that was started runs on by itself.
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "db/record/shift_check.hpp"
#include "recipes/language/plan.hpp"
#include "station/answers/control_answer.hpp"
#include "station/answers/event_log.hpp"
#include "station/answers/lying_units.hpp"
#include "station/answers/quality_wish.hpp"
#include "station/answers/start_report.hpp"
#include "station/answers/station_status.hpp"
#include "station/answers/station_tally.hpp"

namespace padtrim::web {

struct StartRequest {
    std::string lot;
    std::string operator_name;
    std::uint32_t units = 0;  // 0: until no unit comes
    bool measure_only = false;
    bool again = false;                 // units that passed in another lot, too
    bool draft = false;                 // a plan that is not released; every result is marked
    std::string plan_text;              // "" for the daemon's own recipe
    std::string step;                   // this one alone, as a draft that only measures; "": all
    std::optional<std::uint16_t> nest;  // this one alone
};

// What a person decides about the newest ended run of a unit.
struct DisposeRequest {
    std::string serial, who, why;
    record::Disposition to = record::Disposition::quarantined;
    record::RunId run = 0;  // that the person looked at; 0: the newest, whichever it is
};

// What a person says to an alarm of a frozen chart.
struct AlarmReplyRequest {
    std::int64_t alarm = 0;
    std::string who, why;
};

// Which charts a person keeps with their recipe: of which values, and made how.
struct FreezeRequest {
    answers::QualityWords words;
    answers::ControlWish charts;  // without its values
    record::Stage stage = record::Stage::as_found;
    std::string who, why;
};

// How many of the units that a plan chose of a lot did not conform.
struct SamplingResultRequest {
    std::int64_t plan = 0;
    std::string lot, who;
    std::uint32_t nonconforming = 0;
};

// accepted: it will happen. refused: not in this state. unknown: no such nest. bad: what was sent
// makes no sense.
enum class Outcome { accepted, refused, unknown, bad };
struct Decision {
    Outcome outcome = Outcome::accepted;
    std::string sentence;
    std::string mend;
    std::string before{}, after{};  // for the audit, as JSON; "": as the gate sees it
};

class FixtureControl;
class AuthorControl;
class BooksControl;

class StationControl {
  public:
    virtual ~StationControl() = default;
    [[nodiscard]] virtual answers::StationStatus status() const = 0;
    // Another number when the status may be another.
    [[nodiscard]] virtual std::uint64_t version() const = 0;
    [[nodiscard]] virtual const answers::EventLog& events() const = 0;
    // Since the daemon began.
    [[nodiscard]] virtual answers::StationTally tally() const = 0;
    // Of the run, or what would run.
    [[nodiscard]] virtual const language::Plan& plan() const = 0;
    [[nodiscard]] virtual const std::vector<answers::LyingUnit>& lying() const = 0;
    // The file of records; questions to it are answered beside the station.
    [[nodiscard]] virtual const std::string& records() const = 0;
    // What is in the way of a lot of the daemon's own plan; asked while nothing runs.
    [[nodiscard]] virtual answers::StartReport start_report() const = 0;
    virtual Decision start_lot(StartRequest request) = 0;
    virtual Decision stop_lot() = 0;
    // Measures check standards and the challenge unit, as a run of its own; stop_lot() and
    // abort_nest() end it too, and then it decides nothing.
    virtual Decision start_shift_check(std::string person) = 0;
    // The newest of this station and fixture; nothing when there is none yet.
    [[nodiscard]] virtual std::optional<record::ShiftCheck> newest_shift_check() const = 0;
    // The unit gets no verdict; once its trims were begun it is quarantined.
    virtual Decision abort_nest(std::uint16_t nest) = 0;
    // A person has laid a unit into a nest without a handler; label may be "".
    virtual Decision load_nest(std::uint16_t nest, std::string label) = 0;
    // A person says that the rejected unit of this nest lies apart; person may be "".
    virtual Decision put_aside(std::uint16_t nest, std::string person) = 0;
    // The person's answer to the question that this nest asks.
    virtual Decision answer_nest(std::uint16_t nest, bool yes) = 0;
    // The decision as work that may wait for the disk: it is done on another thread, and refuses
    // what the records refuse.
    virtual std::function<Decision()> disposal(DisposeRequest request) = 0;
    // The same of a reply to an alarm, of charts to keep, and of what sampling found.
    virtual std::function<Decision()> alarm_reply(AlarmReplyRequest request) = 0;
    virtual std::function<Decision()> freezing(FreezeRequest request) = 0;
    virtual std::function<Decision()> sampling_result(SamplingResultRequest request) = 0;
    // A person says that the fault which blocks the station is cleared.
    virtual Decision clear_fault(std::string person) = 0;
    // Work by hand while no lot runs (fixture_control.hpp); null where there is none.
    [[nodiscard]] virtual FixtureControl* fixture() { return nullptr; }
    // Its own recipe, released and permitted (author_control.hpp); null where nobody answers for
    // it.
    [[nodiscard]] virtual AuthorControl* author() { return nullptr; }
    // What is said for the books alone (books_control.hpp); null where nobody keeps them.
    [[nodiscard]] virtual BooksControl* books() { return nullptr; }
};

}  // namespace padtrim::web
