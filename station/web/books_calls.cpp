#include "station/web/books_calls.hpp"

#include <algorithm>
#include <array>
#include <limits>

#include "db/quality/sampling_tables.hpp"
#include "station/answers/names.hpp"
#include "station/answers/sampling_answer.hpp"
#include "station/web/decided.hpp"
#include "station/web/fixture_control.hpp"
#include "station/web/loopback_guard.hpp"
#include "station/web/members.hpp"

namespace padtrim::web {
namespace {

// Who says it, and why; the name of a login counts before what was sent.
struct Signed {
    explicit Signed(const Request& request) : members(request.body) {
        members.take("who", who);
        members.take("why", why);
        if (!request.person.empty()) who = request.person;
    }
    [[nodiscard]] std::string wrong() const {
        const std::string other = members.wrong();
        return other.empty() ? answers::wrong_with_signature(who, why, answers::SignedBy::call)
                             : other;
    }
    Members members;
    std::string who, why;
};

Response set_plan(const Request& request, StationControl& station, BooksControl& books) {
    Signed call(request);
    SamplingPlanRequest plan;
    call.members.take("product", plan.product);
    call.members.take("step", plan.step);
    call.members.take("level", plan.level);
    call.members.take("aql", plan.quality_limit);
    std::string wrong = call.wrong();
    if (wrong.empty() && (answers::blank(plan.product) || answers::blank(plan.step)))
        wrong = "A sampling plan is of one product's step: name both.";
    if (wrong.empty() && !quality::inspection_level_of(plan.level))
        wrong = "The level is one of S-1, S-2, S-3, S-4, I, II and III.";
    if (wrong.empty() && !answers::is_quality_limit(plan.quality_limit))
        wrong = answers::quality_limits_words();
    if (!wrong.empty())
        return problem(400, wrong,
                       "Send {\"product\": \"NAME\", \"step\": \"NAME\", \"level\": \"II\", "
                       "\"aql\": 1, \"who\": \"NAME\", \"why\": \"TEXT\"}.");
    plan.who = call.who;
    plan.why = call.why;
    return done_beside(books.set_sampling_plan(std::move(plan)), station.events().last());
}

Response choose(const Request& request, StationControl& station, BooksControl& books) {
    Members members(request.body);
    SampledUnitsRequest units;
    std::string who;
    members.take("who", who);
    members.take("plan", units.plan);
    members.take("lot", units.lot);
    members.take("size", units.size);
    if (!request.person.empty()) who = request.person;
    std::string wrong = members.wrong();
    if (wrong.empty() && units.plan == 0) wrong = "Of which plan? \"plan\" is missing.";
    if (wrong.empty()) wrong = answers::wrong_with_name("lot", units.lot);
    if (wrong.empty() && units.size < 2) wrong = "How many units has the lot? Two or more.";
    if (wrong.empty()) wrong = answers::wrong_with_name("person", who);
    if (!wrong.empty())
        return problem(400, wrong,
                       "Send {\"plan\": 1, \"lot\": \"2231\", \"size\": 500, \"who\": \"NAME\"}.");
    return done_beside(books.choose_units(std::move(units)), station.events().last());
}

Response resume(const Request& request, StationControl& station, BooksControl& books) {
    Signed call(request);
    SamplingResumptionRequest resumption;
    call.members.take("plan", resumption.plan);
    std::string wrong = call.wrong();
    if (wrong.empty() && resumption.plan == 0) wrong = "Of which plan? \"plan\" is missing.";
    if (!wrong.empty())
        return problem(400, wrong, "Send {\"plan\": 1, \"who\": \"NAME\", \"why\": \"TEXT\"}.");
    resumption.who = call.who;
    resumption.why = call.why;
    return done_beside(books.resume_sampling(std::move(resumption)), station.events().last());
}

// Who replaces contacts has the supply off: neither a lot nor a hand is on the fixture then.
std::string at_work(StationControl& station) {
    if (station.status().state == answers::StationState::running) return "A lot runs.";
    const auto* fixture = station.fixture();
    return fixture != nullptr && fixture->hold().held ? "Somebody works on the fixture by hand."
                                                      : "";
}

Response replace(const Request& request, StationControl& station, BooksControl& books) {
    Signed call(request);
    constexpr std::uint32_t most = std::numeric_limits<std::uint16_t>::max(), none = most + 1;
    std::uint32_t coil = none;  // there is a coil 0
    bool read = false;
    call.members.take("coil", coil);
    call.members.take("cautions_read", read);
    std::string wrong = call.wrong();
    if (wrong.empty() && !read)
        wrong =
            "The cautions have to be read first: supply off by hardware before anybody "
            "reaches in; local codes and licensed practice come first.";
    if (wrong.empty() && coil > most)
        wrong = coil == none ? "Of which coil? \"coil\" is missing." : "There is no such coil.";
    if (!wrong.empty())
        return problem(400, wrong,
                       "Send {\"coil\": 40, \"cautions_read\": true, \"who\": \"NAME\", \"why\": "
                       "\"TEXT\"}.");
    if (const auto busy = at_work(station); !busy.empty())
        return problem(409, busy, "Wait for its end, take the supply away, then replace.");
    return done_beside(
        books.replace_contacts({{static_cast<std::uint16_t>(coil)}, call.who, call.why}),
        station.events().last());
}

struct BooksPath {
    std::string_view path;
    Response (*call)(const Request&, StationControl&, BooksControl&);
};
constexpr std::array books_paths = {BooksPath{"/api/quality/sampling-plan", set_plan},
                                    BooksPath{"/api/quality/sampling-units", choose},
                                    BooksPath{"/api/quality/sampling-resume", resume},
                                    BooksPath{"/api/fixture/replaced", replace}};

}  // namespace

std::optional<Response> books_answer(const Request& request, StationControl& station) {
    BooksControl* const books = station.books();
    const auto call = std::find_if(books_paths.begin(), books_paths.end(),
                                   [&](const BooksPath& one) { return one.path == request.path; });
    if (books == nullptr || call == books_paths.end()) return std::nullopt;
    if (request.method == "POST") return call->call(request, station, *books);
    Response wrong = problem(405, "This call wants POST.", "docs/commands.md lists the calls.");
    wrong.allow = "POST";
    return wrong;
}

}  // namespace padtrim::web
