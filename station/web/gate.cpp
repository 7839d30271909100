#include "station/web/gate.hpp"

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <sodium.h>

#include "station/web/loopback_guard.hpp"
#include "station/web/members.hpp"
#include "station/web/router.hpp"

namespace padtrim::web {
namespace {

using GateObject = boost::json::object;

constexpr std::string_view cookie_name = "padtrim_session";

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

std::string cookie_with(const std::string& token, const char* age) {
    return std::string(cookie_name) + "=" + token + "; Path=/; HttpOnly; SameSite=Strict" + age;
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

}  // namespace

Gate::Gate(Accounts& accounts, Sessions& sessions, std::string key, Audit audit)
    : accounts_(accounts), sessions_(sessions), key_(std::move(key)), audit_(std::move(audit)) {}

std::optional<Login> Gate::by_key(const Request& request) const {
    constexpr std::string_view scheme = "Bearer ";
    if (request.authorization.substr(0, scheme.size()) != scheme) return std::nullopt;
    if (!same_secret(request.authorization.substr(scheme.size()), key_)) return std::nullopt;
    return Login{"", Role::engineering};
}

Response Gate::who_is_here(const std::optional<Session>& session) const {
    GateObject here{{"needed", accounts_.any()}};
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
    Response response;
    response.later = [this, name, password] {
        const auto answer = sessions_.log_in(name, password);
        const unsigned status = answer.session ? 200 : answer.later ? 429 : 403;
        audit_({name.substr(0, 64), "log in", status});
        if (!answer.session) return problem(status, answer.refusal, "Ask an administrator.");
        Response done = who_is_here(answer.session);
        done.cookie = cookie_with(answer.session->token, "");
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
    Response response;
    response.later = [this, code, name, password] {
        Response done = told(accounts_.set_first(code, name, password));
        audit_({name, "first administrator", done.status});
        return done;
    };
    return response;
}

Response Gate::session_call(const Request& request, const std::optional<Session>& session) {
    if (request.method == "GET" && request.path == "/api/session") return who_is_here(session);
    if (request.method != "POST") return wants_post();
    if (request.path == "/api/session") return log_in(request);
    if (request.path == "/api/session/first") return first(request);
    if (request.path != "/api/session/end")
        return problem(404, "There is no such call.", "docs/commands.md lists them all.");
    if (session) sessions_.log_out(session->token);
    Response done = in_json(200, GateObject{{"accepted", true}});
    done.cookie = cookie_with("", "; Max-Age=0");
    return done;
}

Response Gate::accounts_call(const Request& request, const std::string& who) {
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
    response.later = [this, who, name, role, password, removes] {
        Response done =
            told(removes ? accounts_.remove(name) : accounts_.set(name, *role, password));
        const std::string what = removes
                                     ? "remove login " + name
                                     : "set login " + name + " as " + std::string(name_of(*role));
        audit_({who, what, done.status});
        return done;
    };
    return response;
}

Response Gate::passed(Request request, StationControl& station, const Login& who) {
    if (!may_call(who.role, request.method, request.path)) {
        audit_({who.name, request.method + " " + request.path, 403});
        return problem(403, "Your role (" + std::string(name_of(who.role)) + ") may not do this.",
                       "Ask somebody who may.");
    }
    if (request.path == "/api/accounts" || request.path == "/api/accounts/remove")
        return accounts_call(request, who.name);
    request.person = who.name;
    request.may_draft = may_draft(who.role);
    Response response = web::answer(request, station);
    if (request.method != "GET")
        audit_({who.name, request.method + " " + request.path + " " + request.body.substr(0, 200),
                response.status});
    return response;
}

Response Gate::answer(Request request, StationControl& station) {
    if (auto refused = refusal(request)) return *refused;
    if (open_to_all(request)) return web::answer(request, station);
    const auto session = sessions_.find(cookie_value(request.cookies, cookie_name));
    if (request.path.substr(0, 12) == "/api/session") return session_call(request, session);
    if (!accounts_.any()) return web::answer(request, station);
    if (const auto command = by_key(request)) return passed(std::move(request), station, *command);
    if (!session)
        return problem(401, "Nobody is logged in.", "POST /api/session, or open the page.");
    if (request.method != "GET" && !same_secret(request.proof, session->proof))
        return problem(403, "The call does not come from a page of this session.",
                       "Send the session's proof as X-Padtrim-Proof.");
    return passed(std::move(request), station, session->who);
}

}  // namespace padtrim::web
