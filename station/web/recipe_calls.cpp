#include "station/web/recipe_calls.hpp"

#include <algorithm>
#include <array>

#include <boost/json/object.hpp>

#include "station/answers/names.hpp"
#include "station/answers/printable.hpp"
#include "station/answers/times.hpp"
#include "station/web/decided.hpp"
#include "station/web/loopback_guard.hpp"
#include "station/web/members.hpp"
#include "station/web/quality_calls.hpp"
#include "station/web/query.hpp"

namespace padtrim::web {
namespace {

using answers::Json;

// Whoever decides, and why; the name of a login counts before what was sent.
struct Decided {
    explicit Decided(const Request& request) : members(request.body), who(request.person) {
        members.take_name("who", who, who.empty());
        if (!request.person.empty()) who = request.person;
        members.take("why", why);
    }
    // "" or what is wrong.
    [[nodiscard]] std::string wrong() const {
        const std::string other = members.wrong();
        if (!other.empty()) return other;
        return answers::blank(why) ? "The reason is empty. Give one." : "";
    }
    Members members;
    std::string who, why;
};

Response sheet(const Request&, StationControl&, AuthorControl& author) {
    Response response;
    response.later = [ask = author.sheet()] {
        const auto sheet = ask();
        if (!sheet) return not_readable(sheet.error());
        return Response{200, answers::text_of(answers::to_json(*sheet)), ""};
    };
    return response;
}

bool is_number(const std::optional<std::string>& text) {
    return text && !text->empty() && text->size() < 10 &&
           std::all_of(text->begin(), text->end(), [](char c) { return c >= '0' && c <= '9'; });
}

// Numbers of releases alone: what else the command compares are files.
Response changes(const Request& request, StationControl& station, AuthorControl&) {
    const auto before = query_value(request.query, "before");
    const auto after = query_value(request.query, "after");
    if (!is_number(before) || !is_number(after))
        return problem(400, "Which releases?", "Send before=NUMBER&after=NUMBER in the query.");
    Response response;
    response.later = [records = station.records(), from = *before, to = *after] {
        const auto reader = ledger::Reader::open(records);
        if (!reader) return not_readable(reader.error());
        const auto answer = answers::changes_of(reader->get(), from, to);
        if (!answer) return not_readable(answer.error());
        if (!answer->problem.empty())
            return problem(404, answer->problem, "GET /api/releases lists them.");
        return Response{200, answers::text_of(answers::to_json(*answer)), ""};
    };
    return response;
}

Response release(const Request& request, StationControl& station, AuthorControl& author) {
    const Decided call(request);
    if (const auto wrong = call.wrong(); !wrong.empty())
        return problem(400, wrong, "Send {\"who\": \"NAME\", \"why\": \"TEXT\"}.");
    return done_beside(author.release(call.who, call.why), station.events().last());
}

Response withdraw(const Request& request, StationControl& station, AuthorControl& author) {
    Decided call(request);
    std::uint32_t number = 0;
    call.members.take("release", number);
    std::string wrong = call.wrong();
    if (wrong.empty() && number == 0) wrong = "Which release? \"release\" is missing.";
    if (!wrong.empty())
        return problem(400, wrong, "Send {\"release\": 3, \"who\": \"NAME\", \"why\": \"TEXT\"}.");
    return done_beside(author.withdraw(number, call.who, call.why), station.events().last());
}

Response permit(const Request& request, StationControl& station, AuthorControl& author) {
    Decided call(request);
    answers::PermitWish wish;
    std::string until;
    std::uint32_t quantity = 0;
    call.members.take("name", wish.name);
    call.members.take("until", until);
    call.members.take("quantity", quantity);
    std::string wrong = call.wrong();
    if (wrong.empty() && answers::blank(wish.name)) wrong = "Give the deviation a name.";
    if (!until.empty()) wish.until = answers::end_of(until);
    if (wrong.empty() && !until.empty() && !wish.until)
        wrong = "'" + answers::printable(until, 40) +
                "' is no time. Write 2026-03-31, or 2026-03-31T08:15 (UTC).";
    if (wrong.empty() && !wish.until && quantity == 0)
        wrong = "A permit needs an end: a time, a number of units, or both.";
    if (!wrong.empty())
        return problem(400, wrong,
                       "Send {\"name\": \"TEXT\", \"until\": \"2026-03-31\", \"quantity\": 200, "
                       "\"who\": \"NAME\", \"why\": \"TEXT\"}.");
    if (quantity != 0) wish.quantity = quantity;
    wish.who = call.who;
    wish.why = call.why;
    return done_beside(author.permit(std::move(wish)), station.events().last());
}

struct RecipePath {
    std::string_view path, method;
    Response (*call)(const Request&, StationControl&, AuthorControl&);
};
constexpr std::array recipe_paths = {RecipePath{"/api/recipe", "GET", sheet},
                                     RecipePath{"/api/changes", "GET", changes},
                                     RecipePath{"/api/recipe/release", "POST", release},
                                     RecipePath{"/api/recipe/withdraw", "POST", withdraw},
                                     RecipePath{"/api/recipe/permit", "POST", permit}};

}  // namespace

std::optional<Response> recipe_answer(const Request& request, StationControl& station) {
    AuthorControl* const author = station.author();
    const auto call = std::find_if(recipe_paths.begin(), recipe_paths.end(),
                                   [&](const RecipePath& one) { return one.path == request.path; });
    if (author == nullptr || call == recipe_paths.end()) return std::nullopt;
    if (request.method == call->method) return call->call(request, station, *author);
    Response wrong = problem(405, "This call wants " + std::string(call->method) + ".",
                             "docs/commands.md lists the calls.");
    wrong.allow = std::string(call->method);
    return wrong;
}

}  // namespace padtrim::web
