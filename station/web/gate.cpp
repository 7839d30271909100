#include "station/web/gate.hpp"

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <sodium.h>

#include "station/web/audit_state.hpp"
#include "station/web/loopback_guard.hpp"
#include "station/web/members.hpp"
#include "station/web/metrics.hpp"
#include "station/web/router.hpp"

namespace padtrim::web {
namespace {

using GateObject = boost::json::object;

// RFC 6265bis, section 4.1.3.2: no other host and no page without TLS can set a cookie with this
// prefix. Cookies do not tell ports apart, so that the name does: two stations of one machine log
// nobody out of the other.
std::string cookie_name(const Request& request) {
    return (request.secure ? "__Host-padtrim_session_" : "padtrim_session_") +
           std::to_string(request.port);
}

Response in_json(unsigned status, const answers::Json& body) {
    return {status, answers::text_of(body), ""};
}

// RFC 6265bis, section 4.2.1: "a=b; c=d".
std::string cookie_value(std::string_view cookies, std::string_view name) {
    while (!cookies.empty()) {
        const auto end = cookies.find(';');
        std::string_view one = cookies.substr(0, end);
        cookies = end == std::string_view::npos ? std::string_view() : cookies.substr(end + 1);
        while (!one.empty() && one.front() == ' ') one.remove_prefix(1);
        if (one.size() > name.size() && one.substr(0, name.size()) == name &&
            one[name.size()] == '=')
            return std::string(one.substr(name.size() + 1));
    }
    return "";
}

bool same_secret(const std::string& a, const std::string& b) {
    return !a.empty() && a.size() == b.size() && sodium_memcmp(a.data(), b.data(), a.size()) == 0;
}

std::string cookie_with(const std::string& token, const Request& request, const char* age) {
    return cookie_name(request) + "=" + token + "; Path=/; HttpOnly; SameSite=Strict" +
           (request.secure ? "; Secure" : "") + age;
}

Response wants_post() {
    Response wrong = problem(405, "This call wants POST.", "docs/commands.md lists the calls.");
    wrong.allow = "POST";
    return wrong;
}

bool open_to_all(const Request& request) {
    return request.path.substr(0, 5) != "/api/" || request.path == "/api/health";
}

Response told(const std::string& wrong) {
    if (wrong.empty()) return in_json(200, GateObject{{"accepted", true}});
    return problem(409, wrong, "Nothing was changed.");
}

// What makes no sense changes nothing and is nobody's act; the rest is kept, refusals too.
bool is_kept(unsigned status) {
    return status < 400 || status == 403 || status == 409 || status >= 500;
}

std::string role_text(const std::optional<Role>& role) {
    return role ? answers::text_of(GateObject{{"role", name_of(*role)}}) : "{}";
}

}  // namespace

Gate::Gate(Accounts& accounts, Sessions& sessions, Keys keys, Metrics metrics)
    : accounts_(accounts),
      sessions_(sessions),
      keys_(std::move(keys)),
      metrics_(std::move(metrics)) {}

bool Gate::shows(const Request& request, const std::string& key) const {
    constexpr std::string_view scheme = "Bearer ";
    return request.authorization.substr(0, scheme.size()) == scheme &&
           same_secret(request.authorization.substr(scheme.size()), key);
}

// What follows from the station's state alone is made once for each of its versions: pages and
// other programs ask far more often than it changes.
Response Gate::as_told(const Request& request, StationControl& station) const {
    const std::uint64_t version = station.version();
    auto& told = told_[request.path];
    if (told && told->version == version) return {200, told->body, ""};
    Response response = web::answer(request, station);
    if (response.status == 200) told = Told{version, response.body};
    return response;
}

// Past the door: what the router does not know, and then the router.
Response Gate::call(const Request& request, StationControl& station) const {
    if (request.method == "GET" && request.query.empty() &&
        (request.path == "/api/status" || request.path == "/api/panel"))
        return as_told(request, station);
    if (request.path != "/api/metrics") return web::answer(request, station);
    if (request.method != "GET") {
        Response wrong = problem(405, "Metrics are only read.", "Send GET.");
        wrong.allow = "GET";
        return wrong;
    }
    Response told{200, metrics_(), ""};
    told.content_type = metrics_type;
    return told;
}

Response Gate::who_is_here(const Request& request, const std::optional<Session>& session) const {
    GateObject here{{"needed", request.secure || accounts_.any()}};
    if (session) {
        here["name"] = session->who.name;
        here["role"] = name_of(session->who.role);
        here["proof"] = session->proof;
    }
    return in_json(200, here);
}

Response Gate::log_in(const Request& request) {
    Members members(request.body);
    std::string name, password;
    members.take("name", name);
    members.take("password", password);
    if (const std::string wrong = members.wrong(); !wrong.empty())
        return problem(400, wrong, "Send {\"name\": \"NAME\", \"password\": \"WORDS\"}.");
    // Before it stands in line, so that strangers fill no line.
    if (const std::string wait = sessions_.must_wait(name, request.address); !wait.empty())
        return problem(429, wait, "Ask an administrator.");
    Response response;
    response.act = true;
    response.later = [this, request, name, password] {
        const auto answer = sessions_.log_in(name, password, request.address);
        if (answer.later) return problem(429, answer.refusal, "Ask an administrator.");
        // A name that nobody has may be a password, typed into the wrong field.
        const auto role = accounts_.role_of(name);
        auto entry = audit_entry(request, role ? name : "", role ? name_of(*role) : "");
        entry.act = "log in";
        entry.asked.clear();
        entry.status = answer.session ? 200 : 403;
        Response done = answer.session ? who_is_here(request, answer.session)
                                       : problem(403, answer.refusal, "Ask an administrator.");
        if (answer.session) done.cookie = cookie_with(answer.session->token, request, "");
        done.audit = std::move(entry);
        return done;
    };
    return response;
}

Response Gate::first(const Request& request) {
    Members members(request.body);
    std::string code, name, password;
    members.take("code", code);
    members.take_name("name", name, true);
    members.take("password", password);
    if (const std::string wrong = members.wrong(); !wrong.empty())
        return problem(400, wrong, "Send {\"code\", \"name\", \"password\"}.");
    if (const std::string wait = sessions_.must_wait("", request.address); !wait.empty())
        return problem(429, wait, "Look at the code that the daemon printed.");
    Response response;
    response.act = true;
    response.later = [this, request, code, name, password] {
        const auto answer = sessions_.set_first(code, name, password, request.address);
        if (answer.later)
            return problem(429, answer.refusal, "Look at the code that the daemon printed.");
        const bool made = answer.refusal.empty();
        Response done = told(answer.refusal);
        auto entry = audit_entry(request, made ? name : "",
                                 made ? name_of(Role::administration) : std::string_view());
        entry.act = "first administrator";
        entry.asked.clear();
        entry.status = done.status;
        entry.before = "{}";
        entry.after = made ? role_text(Role::administration) : entry.before;
        done.audit = std::move(entry);
        return done;
    };
    return response;
}

Response Gate::session_call(const Request& request, const std::optional<Session>& session) {
    if (request.method == "GET" && request.path == "/api/session")
        return who_is_here(request, session);
    if (request.method != "POST") return wants_post();
    if (request.path == "/api/session") return log_in(request);
    if (request.path == "/api/session/first") return first(request);
    if (request.path != "/api/session/end")
        return problem(404, "There is no such call.", "docs/commands.md lists them all.");
    Response done = in_json(200, GateObject{{"accepted", true}});
    done.cookie = cookie_with("", request, "; Max-Age=0");
    if (!session) return done;
    sessions_.log_out(session->token);
    done.audit = audit_entry(request, session->who.name, name_of(session->who.role));
    done.audit->act = "log out";
    done.audit->asked.clear();
    done.audit->status = done.status;
    return done;
}

Response Gate::accounts_call(const Request& request, const Caller& caller) {
    if (request.method == "GET") {
        boost::json::array list;
        for (const auto& login : accounts_.all())
            list.push_back(GateObject{{"name", login.name}, {"role", name_of(login.role)}});
        return in_json(200, GateObject{{"accounts", std::move(list)}});
    }
    if (request.method != "POST") return wants_post();
    const bool removes = request.path == "/api/accounts/remove";
    Members members(request.body);
    std::string name, role_word, password;
    members.take_name("name", name, true);
    if (!removes) {
        members.take("role", role_word);
        members.take("password", password);
    }
    const auto role = role_named(role_word);
    std::string wrong = members.wrong();
    if (wrong.empty() && !removes && !role)
        wrong = "\"role\" has to be quality, operator, engineer or administrator.";
    if (!wrong.empty())
        return problem(400, wrong,
                       "Send {\"name\", \"role\", \"password\"}, or to remove {\"name\"}.");
    Response response;
    response.act = true;
    response.later = [this, request, caller, name, role, password, removes] {
        auto entry = audit_entry(request, caller.who.name, caller.means);
        entry.act = removes ? "remove login" : "set login";
        entry.asked = answers::text_of(GateObject{{"name", name}});
        entry.before = role_text(accounts_.role_of(name));
        Response done =
            told(removes ? accounts_.remove(name) : accounts_.set(name, *role, password));
        entry.after = role_text(accounts_.role_of(name));
        entry.status = done.status;
        done.audit = std::move(entry);
        return done;
    };
    return response;
}

// Puts beside an answer, or one to come, what the audit keeps of it.
Response Gate::audited(const Request& request, StationControl& station, const Caller& caller) {
    auto entry = audit_entry(request, caller.who.name, caller.means);
    const std::string before = audit_state(station, request.path);
    Response response = call(request, station);
    const auto finish = [entry, before](Response done, const std::string& after) {
        if (!is_kept(done.status)) return done;
        done.audit = entry;
        done.audit->status = done.status;
        done.audit->before = done.before.empty() ? before : done.before;
        done.audit->after = done.after.empty() ? after : done.after;
        if (done.status >= 400) done.audit->after = done.audit->before;  // refused: nothing changed
        return done;
    };
    if (!response.later) return finish(std::move(response), audit_state(station, request.path));
    response.later = [finish, later = std::move(response.later)] { return finish(later(), "{}"); };
    return response;
}

Response Gate::passed(Request request, StationControl& station, const Caller& caller) {
    const bool changes = request.method != "GET";
    if (changes && !sessions_.may_change(caller.token.empty() ? request.address : caller.token))
        return problem(429, "Too many calls at once.", "Try again in some seconds.");
    if (!may_call(caller.who.role, request.method, request.path)) {
        Response refused = problem(
            403, "Your role (" + std::string(name_of(caller.who.role)) + ") may not do this.",
            "Ask somebody who may.");
        if (!changes) return refused;
        refused.audit = audit_entry(request, caller.who.name, caller.means);
        refused.audit->asked.clear();
        refused.audit->status = refused.status;
        return refused;
    }
    if (request.path == "/api/accounts" || request.path == "/api/accounts/remove")
        return accounts_call(request, caller);
    request.person = caller.who.name;
    request.may_draft = may_draft(caller.who.role);
    if (changes) return audited(request, station, caller);
    Response response = call(request, station);
    if (!response.live || caller.token.empty()) return response;
    response.login = caller.who.name;
    response.goes_on = [this, token = caller.token, role = caller.who.role] {
        return sessions_.still(token, role);
    };
    return response;
}

Response Gate::answer(Request request, StationControl& station) {
    if (auto refused = refusal(request)) return *refused;
    if (open_to_all(request)) return web::answer(request, station);
    const auto session = sessions_.find(cookie_value(request.cookies, cookie_name(request)));
    if (request.path.substr(0, 12) == "/api/session") return session_call(request, session);
    if (!accounts_.any() && !request.secure) return passed_unasked(request, station);
    if (request.path == "/api/metrics" && shows(request, keys_.metrics))
        return call(request, station);
    // Only where nobody else can listen, and where no other machine calls from.
    if (!request.secure && shows(request, keys_.machine))
        return passed(std::move(request), station, {{"", Role::engineering}, "machine", ""});
    if (!session)
        return problem(401, "Nobody is logged in.", "POST /api/session, or open the page.");
    if (request.method != "GET" && !same_secret(request.proof, session->proof))
        return problem(403, "The call does not come from a page of this session.",
                       "Send the session's proof as X-Padtrim-Proof.");
    return passed(std::move(request), station,
                  {session->who, std::string(name_of(session->who.role)), session->token});
}

// While nobody has a login; once somebody has, streams of nobody end.
Response Gate::passed_unasked(const Request& request, StationControl& station) {
    if (request.method != "GET" && request.path.substr(0, 5) == "/api/") {
        if (!sessions_.may_change(request.address))
            return problem(429, "Too many calls at once.", "Try again in some seconds.");
        return audited(request, station, {{"", Role::engineering}, "", ""});
    }
    Response response = call(request, station);
    if (response.live) response.goes_on = [this] { return !accounts_.any(); };
    return response;
}

}  // namespace padtrim::web
