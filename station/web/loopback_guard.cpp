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

// RFC 6454: an origin is scheme, host and port, so that a page of another port is foreign.
bool own_origin(const Request& request) {
    return lower(*request.origin) ==
           (request.secure ? "https://" : "http://") + lower(request.host);
}

// What stands before ":8443", where that is a port.
std::string_view host_of(std::string_view authority) {
    const auto colon = authority.rfind(':');
    if (colon == std::string_view::npos || authority.find(']', colon) != std::string_view::npos)
        return authority;
    return all_digits(authority.substr(colon + 1)) ? authority.substr(0, colon) : "";
}

bool is_of(const std::string& host, const std::string& name) {
    if (name.substr(0, 2) != "*.") return host == name;
    const auto dot = host.find('.');
    return dot != std::string::npos && dot > 0 && host.substr(dot) == name.substr(1);
}

bool knows_name(const Request& request) {
    if (is_loopback(request.host)) return true;
    return request.secure && request.names && is_own(request.host, *request.names);
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

bool is_own(std::string_view authority, const std::vector<std::string>& names) {
    const std::string host = lower(host_of(authority));
    return is_loopback(authority) ||
           (!host.empty() && std::any_of(names.begin(), names.end(), [&](const std::string& name) {
               return is_of(host, lower(name));
           }));
}

std::optional<Response> refusal(const Request& request) {
    if (!knows_name(request)) {
        return problem(403, "The station does not answer under this name.",
                       "Use the address that the daemon printed.");
    }
    if (request.origin && !own_origin(request)) {
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
