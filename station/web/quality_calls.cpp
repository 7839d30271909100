#include "station/web/quality_calls.hpp"

#include <algorithm>
#include <array>
#include <limits>

#include <boost/json/object.hpp>

#include "station/answers/audit_answer.hpp"
#include "station/answers/capability_answer.hpp"
#include "station/answers/control_answer.hpp"
#include "station/answers/dispositions.hpp"
#include "station/answers/drift_answer.hpp"
#include "station/answers/failure_map.hpp"
#include "station/answers/frozen_charts.hpp"
#include "station/answers/gauge_answer.hpp"
#include "station/answers/gauge_walk.hpp"
#include "station/answers/in_doubt.hpp"
#include "station/answers/lot_sheet.hpp"
#include "station/answers/quality_choices.hpp"
#include "station/answers/quality_overview.hpp"
#include "station/answers/sampling_answer.hpp"
#include "station/answers/sheet_findings.hpp"
#include "station/answers/sheet_tables.hpp"
#include "station/answers/times.hpp"
#include "station/answers/trace_answer.hpp"
#include "station/answers/yield_answer.hpp"
#include "station/web/chart_question.hpp"
#include "station/web/loopback_guard.hpp"
#include "station/web/question.hpp"

namespace padtrim::web {
namespace {

using answers::Sheet;
using record::Stage;

constexpr answers::NumberRange any_number{std::numeric_limits<double>::lowest(),
                                          std::numeric_limits<double>::max()};

Response refused(const std::string& wrong) {
    return problem(400, wrong, "docs/commands.md lists the questions and what they take.");
}

// The sheet of an answer, with what it found.
template <class Answer, class... More>
Sheet with_finding(const Answer& answer, const More&... more) {
    Sheet sheet = sheet_of(answer, more...);
    sheet.finding = answers::finding_of(answer);
    return sheet;
}

// How an answer is wanted.
struct Face {
    std::string format;  // "json", "sheet" or "csv"
    std::string figure;
};
Face face_of(Question& question) {
    Face face{question.one_of("format", {"json", "sheet", "csv"}), ""};
    face.figure = question.text("figure").value_or("");
    return face;
}

Response shown(const answers::Json& json, const Sheet& sheet, const Face& face) {
    if (face.format == "json") return {200, answers::text_of(json), ""};
    if (face.format == "sheet") return {200, answers::text_of(to_json(sheet)), ""};
    const auto table = answers::table_named(sheet, face.figure);
    if (!table)
        return problem(404, "There is no such figure.", "format=sheet tells the figures' names.");
    Response csv{200, answers::csv_of(*table), ""};
    csv.content_type = "text/csv; charset=utf-8";
    return csv;
}

// Reads filters and face, refuses what is wrong, asks, and tells. `ask` gets the wish and answers
// with a Stored<Answer>; `sheet` makes the answer's sheet.
template <class Ask, class SheetOf>
Response told(ledger::Reader& reader, Question& question, Ask ask, SheetOf sheet) {
    const Face face = face_of(question);
    const auto words = question.words();
    if (const std::string wrong = question.wrong(); !wrong.empty()) return refused(wrong);
    const auto read = answers::read_wish(reader, words);
    if (!read) return not_readable(read.error());
    if (!read->problem.empty()) return refused(read->problem);
    const auto answer = ask(read->wish);
    if (!answer) return not_readable(answer.error());
    const bool only_json = face.format == "json";
    return shown(to_json(*answer), only_json ? Sheet{} : sheet(*answer), face);
}

std::size_t charts_of(Question& question, std::size_t usual) {
    return question.count("charts", answers::drawn_charts).value_or(usual);
}

Response overview(ledger::Reader& reader, const std::string& query) {
    Question question(query);
    return told(
        reader, question, [&](const auto& wish) { return answers::quality_overview(reader, wish); },
        [](const auto& answer) { return sheet_of(answer); });
}

Response yields(ledger::Reader& reader, const std::string& query) {
    Question question(query);
    auto groupings = answers::yield_grouping_names();
    const auto lot = std::find(groupings.begin(), groupings.end(), "lot");
    std::rotate(groupings.begin(), lot, lot + 1);  // the usual one
    const auto by = answers::yield_grouping_of(question.one_of("by", groupings));
    const auto a = question.text("compare"), b = question.text("with");
    if (a.has_value() != b.has_value())
        return refused(std::string("Compare with what? '") + (a ? "with" : "compare") +
                       "' is missing: send compare=NAME&with=NAME.");
    std::optional<std::pair<std::string, std::string>> compare;
    if (a) compare = {*a, *b};
    std::string problem;
    Response response = told(
        reader, question,
        [&](const auto& wish) {
            auto answer = answers::yield_and_rolled(reader, wish, by.value(), compare);
            if (answer) problem = answer->problem;
            return answer;
        },
        [](const auto& answer) { return with_finding(answer); });
    return problem.empty() ? response : refused(problem);
}

// Limits to try, of one check, as the command takes them; the first thing wrong with them, or "".
std::string wrong_with_limits(const quality::SpecLimits& limits, bool of_one_check) {
    if ((limits.low || limits.high) && !of_one_check)
        return "Limits to try are those of one check: send check=NAME with low and high.";
    if (limits.low && limits.high && *limits.low >= *limits.high)
        return "low is not below high: no value lies between.";
    return "";
}

Response capability(ledger::Reader& reader, const std::string& query) {
    Question question(query);
    const auto stage = stage_of(question);
    const auto charts = charts_of(question, 6);
    const bool of_one_check = question.says({"check"});
    const quality::SpecLimits as_if{question.number("low", any_number),
                                    question.number("high", any_number)};
    if (const auto wrong = wrong_with_limits(as_if, of_one_check); !wrong.empty())
        return refused(wrong);
    return told(
        reader, question,
        [&](const auto& wish) {
            return answers::capability_answer(reader, wish, stage, answers::most_single_units,
                                              as_if);
        },
        [&](const auto& answer) { return with_finding(answer, charts); });
}

Response control_charts(ledger::Reader& reader, const std::string& query) {
    Question question(query);
    const auto stage = stage_of(question);
    const auto charts = charts_of(question, 4);
    auto charted = chart_wish(question);
    return told(
        reader, question,
        [&](const auto& wish) {
            charted.values = answers::values_of(wish, stage);
            return answers::control_answer(reader, charted);
        },
        [&](const auto& answer) { return with_finding(answer, charts); });
}

Response drift(ledger::Reader& reader, const std::string& query) {
    Question question(query);
    const auto stage = stage_of(question);
    const auto charts = charts_of(question, 6);
    const double risk = question.number("risk", answers::drift_risk).value_or(0.01);
    return told(
        reader, question,
        [&](const auto& wish) {
            return answers::drift_answer(reader, answers::values_of(wish, stage), risk);
        },
        [&](const auto& answer) { return with_finding(answer, charts); });
}

Response failures(ledger::Reader& reader, const std::string& query) {
    Question question(query);
    return told(
        reader, question, [&](const auto& wish) { return answers::failure_map(reader, wish); },
        [](const auto& answer) { return sheet_of(answer); });
}

Response gauge(ledger::Reader& reader, const std::string& query) {
    Question question(query);
    const auto stage = stage_of(question);
    answers::GaugeWish study;
    study.appraisers = question.one_of("appraisers", {"nest", "station"}) == "station"
                           ? answers::Appraisers::stations
                           : answers::Appraisers::nests;
    study.type_1 = question.flag("type-1");
    study.reference = question.number("reference", any_number);
    study.calibration = question.number("calibration", answers::calibration_doubt).value_or(0.0);
    return told(
        reader, question,
        [&](const auto& wish) {
            study.values = answers::study_values_of(wish, stage);
            return answers::gauge_answer(reader, study);
        },
        [](const auto& answer) { return with_finding(answer); });
}

// What was measured of a study, and what comes next.
Response gauge_steps(ledger::Reader& reader, const std::string& query) {
    Question question(query);
    return told(
        reader, question,
        [&](const auto& wish) {
            return answers::gauge_walk(reader, answers::study_values_of(wish, Stage::as_found));
        },
        [](const auto& walk) {
            Sheet sheet;
            sheet.title = "Gauge study, step by step";
            sheet.sentences.push_back(next_measurement(walk));
            sheet.tables.push_back(table_of(walk));
            return sheet;
        });
}

Response in_doubt(ledger::Reader& reader, const std::string& query) {
    Question question(query);
    const Face face = face_of(question);
    const std::string station = question.text("station").value_or("");
    const std::string fixture = question.text("fixture").value_or("");
    const std::size_t episode = question.count("episode", answers::blocked_times).value_or(1);
    if (const std::string wrong = question.wrong(); !wrong.empty()) return refused(wrong);
    if (station.empty()) return refused("Which station? Send station=NAME.");
    const auto doubt = answers::units_in_doubt(reader, station, fixture, episode);
    if (!doubt) return not_readable(doubt.error());
    if (!doubt->problem.empty()) return refused(doubt->problem);
    return shown(to_json(*doubt), with_finding(*doubt), face);
}

Response trace(ledger::Reader& reader, const std::string& query) {
    Question question(query);
    const auto serial = question.text("serial");
    const auto relay = question.count("relay", {0, 65535});
    if (serial) {
        const Face face = face_of(question);
        if (const std::string wrong = question.wrong(); !wrong.empty()) return refused(wrong);
        const auto unit = answers::unit_trace(reader, *serial);
        if (!unit) return not_readable(unit.error());
        if (unit->history.runs.empty())
            return problem(404, "The records do not know this unit.", "Check the serial number.");
        return shown(to_json(*unit), sheet_of(*unit), face);
    }
    return told(
        reader, question,
        [&](const auto& wish) {
            std::optional<std::uint16_t> coil;
            if (relay) coil = static_cast<std::uint16_t>(*relay);
            return answers::touched_units(reader, {wish, coil});
        },
        [](const auto& touched) { return with_finding(touched); });
}

Response lot(ledger::Reader& reader, const std::string& query) {
    Question question(query);
    const Face face = face_of(question);
    const std::string name = question.text("lot").value_or("");
    if (const std::string wrong = question.wrong(); !wrong.empty()) return refused(wrong);
    const auto report = answers::lot_report(reader, name);
    if (!report) return not_readable(report.error());
    if (!*report) return problem(404, "There is no such lot.", "Send lot=NAME of one that is.");
    return shown(to_json(**report), sheet_of(**report), face);
}

Response disposed(ledger::Reader& reader, const std::string& query) {
    Question question(query);
    const auto which =
        answers::dispositions_named(question.one_of("which", answers::disposition_names()));
    return told(
        reader, question,
        [&](const auto& wish) { return answers::dispositions(reader, wish, which); },
        [](const auto& answer) { return with_finding(answer); });
}

// Of frozen charts; those without a reply alone, unless all are asked for.
Response chart_alarms(ledger::Reader& reader, const std::string& query) {
    Question question(query);
    const Face face = face_of(question);
    const bool all = question.flag("all");
    if (const std::string wrong = question.wrong(); !wrong.empty()) return refused(wrong);
    const auto alarms = answers::alarms_answer(reader, !all);
    if (!alarms) return not_readable(alarms.error());
    return shown(to_json(*alarms), sheet_of(*alarms), face);
}

Response sampling_plans(ledger::Reader& reader, const std::string& query) {
    Question question(query);
    const Face face = face_of(question);
    const std::string product = question.text("product").value_or("");
    const std::string step = question.text("step").value_or("");
    if (const std::string wrong = question.wrong(); !wrong.empty()) return refused(wrong);
    const auto plans = answers::sampling_answer(reader, product, step);
    if (!plans) return not_readable(plans.error());
    return shown(to_json(*plans), with_finding(*plans), face);
}

// Who changed what: for quality and administrators alone (roles.cpp).
Response audited(ledger::Reader& reader, const std::string& query) {
    Question question(query);
    const Face face = face_of(question);
    record::AuditFilter filter;
    filter.who = question.text("who");
    for (const char* name : {"since", "until"}) {
        const auto words = question.text(name);
        if (!words) continue;
        const bool since = name == std::string_view("since");
        const auto at = since ? answers::moment_of(*words) : answers::end_of(*words);
        if (!at)
            return refused("\"" + std::string(name) +
                           "\" has to be a day or a moment in UTC, as 2026-03-31 or "
                           "2026-03-31T08:15.");
        (since ? filter.since : filter.until) = *at;
    }
    if (const std::string wrong = question.wrong(); !wrong.empty()) return refused(wrong);
    const auto entries = reader.audit(filter);
    if (!entries) return not_readable(entries.error());
    Sheet sheet = answers::sheet_of(*entries);
    sheet.finding = answers::finding_of(*entries);
    return shown(answers::to_json(*entries), sheet, face);
}

Response choices(ledger::Reader& reader, const std::string& query) {
    Question question(query);
    const auto words = question.words();
    if (const std::string wrong = question.wrong(); !wrong.empty()) return refused(wrong);
    const auto read = answers::read_wish(reader, words);
    if (!read) return not_readable(read.error());
    if (!read->problem.empty()) return refused(read->problem);
    const auto found = answers::quality_choices(reader, read->wish);
    if (!found) return not_readable(found.error());
    return {200, answers::text_of(to_json(*found)), ""};
}

struct QualityCall {
    std::string_view path;
    RecordAnswer answer;
};
constexpr std::array quality_calls = {QualityCall{"/api/quality/overview", overview},
                                      QualityCall{"/api/quality/choices", choices},
                                      QualityCall{"/api/quality/yield", yields},
                                      QualityCall{"/api/quality/failures", failures},
                                      QualityCall{"/api/quality/capability", capability},
                                      QualityCall{"/api/quality/chart", control_charts},
                                      QualityCall{"/api/quality/drift", drift},
                                      QualityCall{"/api/quality/gauge", gauge},
                                      QualityCall{"/api/quality/gauge-steps", gauge_steps},
                                      QualityCall{"/api/quality/in-doubt", in_doubt},
                                      QualityCall{"/api/quality/trace", trace},
                                      QualityCall{"/api/quality/lot", lot},
                                      QualityCall{"/api/quality/dispositions", disposed},
                                      QualityCall{"/api/quality/alarms", chart_alarms},
                                      QualityCall{"/api/quality/sampling", sampling_plans},
                                      QualityCall{"/api/quality/audit", audited}};

}  // namespace

RecordAnswer quality_call(std::string_view path) {
    const auto call = std::find_if(quality_calls.begin(), quality_calls.end(),
                                   [&](const QualityCall& one) { return one.path == path; });
    return call == quality_calls.end() ? nullptr : call->answer;
}

Response not_readable(const journal::StoreFault& fault) {
    return problem(500, fault.what, "padtrim says the same on the command line.");
}

}  // namespace padtrim::web
