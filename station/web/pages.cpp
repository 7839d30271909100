#include "station/web/pages.hpp"

#include <algorithm>
#include <array>
#include <string>

#include <sodium.h>

#include "station/charts/scripts.hpp"
#include "station/web/loopback_guard.hpp"

namespace padtrim::web {
namespace {

// Content Security Policy Level 3: scripts, styles and calls of this origin only, none inline.
constexpr std::string_view page_policy =
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; "
    "form-action 'none'; base-uri 'none'; frame-ancestors 'none'";

// The quality team's sheets are one page: its script takes the sheet from the address.
constexpr std::array<std::string_view, 11> quality_sheets = {
    "/quality",  "/yield",        "/capability", "/chart",    "/drift", "/gauge",
    "/in-doubt", "/dispositions", "/trace",      "/sampling", "/audit"};

std::string tag_of(std::string_view bytes) {
    std::array<unsigned char, crypto_hash_sha256_BYTES> hash{};
    crypto_hash_sha256(hash.data(), reinterpret_cast<const unsigned char*>(bytes.data()),
                       bytes.size());
    std::array<char, 33> hex{};
    sodium_bin2hex(hex.data(), hex.size(), hash.data(), 16);
    return '"' + std::string(hex.data()) + '"';
}

// The scripts that draw charts; reports carry them too.
const Page* chart_script_at(std::string_view path) {
    static const std::string library_tag = tag_of(charts::library_script());
    static const std::string drawing_tag = tag_of(charts::drawing_script());
    static const std::string marks_tag = tag_of(charts::marks_script());
    static const std::array scripts = {Page{"/charts/library.js", "text/javascript; charset=utf-8",
                                            library_tag, charts::library_script()},
                                       Page{"/charts/drawing.js", "text/javascript; charset=utf-8",
                                            drawing_tag, charts::drawing_script()},
                                       Page{"/charts/marks.js", "text/javascript; charset=utf-8",
                                            marks_tag, charts::marks_script()}};
    const auto at = std::find_if(scripts.begin(), scripts.end(),
                                 [&](const Page& page) { return page.path == path; });
    return at == scripts.end() ? nullptr : &*at;
}

const Page* page_at(std::string_view path) {
    if (const Page* script = chart_script_at(path)) return script;
    const auto pages = embedded_pages();
    const auto at = std::find_if(pages.begin(), pages.end(),
                                 [&](const Page& page) { return page.path == path; });
    return at == pages.end() ? nullptr : &*at;
}

const Page* page_for(const std::string& path) {
    if (path == "/") return page_at("/operator.html");
    if (std::find(quality_sheets.begin(), quality_sheets.end(), path) != quality_sheets.end())
        return page_at("/quality.html");
    if (const Page* page = page_at(path)) return page;
    return path.find('.') == std::string::npos ? page_at(path + ".html") : nullptr;
}

// RFC 9110, section 13.1.2: a list of entity tags, weak ones too, or "*".
bool known_to(std::string_view if_none_match, std::string_view etag) {
    return if_none_match == "*" || if_none_match.find(etag) != std::string_view::npos;
}

Response of(const Page& page, unsigned status) {
    Response response{status, std::string(page.bytes), ""};
    response.content_type = page.type;
    response.etag = page.etag;
    response.policy = page_policy;
    return response;
}

}  // namespace

Response page_answer(const Request& request) {
    if (request.method != "GET") {
        Response wrong = problem(405, "Pages are only read.", "Send GET.");
        wrong.allow = "GET";
        return wrong;
    }
    const Page* page = page_for(request.path);
    if (page == nullptr) {
        const Page* missing = page_at("/missing.html");
        if (missing == nullptr) return problem(404, "There is no such page.", "Go to /.");
        Response answer = of(*missing, 404);
        answer.etag.clear();
        return answer;
    }
    Response answer = of(*page, 200);
    if (known_to(request.if_none_match, page->etag)) {
        answer.status = 304;
        answer.body.clear();
    }
    return answer;
}

}  // namespace padtrim::web
