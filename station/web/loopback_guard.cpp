#include "station/web/loopback_guard.hpp"

#include <algorithm>

#include <boost/json/object.hpp>

#include "station/answers/json.hpp"

namespace padtrim::web {
namespace {

bool all_digits(std::string_view text) {
    return !text.empty() && text.size() <= 5 &&
           std::all_of(text.begin(), text.end(), [](char c) { return c >= '0' && c <= '9'; });
}

std::string lower(std::string_view text) {
    std::string result(text);
    for (char& c : result) c = c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    return result;
}

bool own_origin(const std::string& origin) {
    constexpr std::string_view scheme = "http://";
    return origin.substr(0, scheme.size()) == scheme && is_loopback(origin.substr(scheme.size()));
}

}  // namespace

bool is_loopback(std::string_view authority) {
    const std::string name = lower(authority);
    for (const std::string_view own : {"127.0.0.1", "localhost", "[::1]"}) {
        if (name.substr(0, own.size()) != own) continue;
        const std::string rest = name.substr(own.size());
        if (rest.empty() || (rest.front() == ':' && all_digits(rest.substr(1)))) return true;
    }
    return false;
}

std::optional<Response> refusal(const Request& request) {
    if (!is_loopback(request.host)) {
        return problem(403, "The station answers only under a loopback name.",
                       "Use http://127.0.0.1 and the port that the daemon printed.");
    }
    if (request.origin && !own_origin(*request.origin)) {
        return problem(403, "A page from another site may not speak to the station.",
                       "Open the station's own address.");
    }
    if (request.fetch_site && *request.fetch_site != "same-origin" &&
        *request.fetch_site != "none") {
        return problem(403, "A page from another site may not speak to the station.",
                       "Open the station's own address.");
    }
    const std::string type = lower(request.content_type);
    if (!request.body.empty() && type.substr(0, type.find(';')) != "application/json") {
        return problem(415, "The body has to be JSON.", "Send Content-Type: application/json.");
    }
    return std::nullopt;
}

Response problem(unsigned status, const std::string& error, const std::string& mend) {
    const answers::Json body = boost::json::object{{"error", error}, {"mend", mend}};
    return {status, answers::text_of(body), ""};
}

}  // namespace padtrim::web
