// The embedded pages and how they are answered. Policy words are those of Content Security Policy
// Level 3; entity tags and 304 those of RFC 9110, sections 8.8.3 and 13.1.2.
#include "station/web/pages.hpp"

#include <regex>
#include <set>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace padtrim::web {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

Response get_page(const std::string& path, const std::string& known = "") {
    Request request;
    request.method = "GET";
    request.path = path;
    request.if_none_match = known;
    return page_answer(request);
}

// Every address that a text names by a path of its own: "/look.css".
std::set<std::string> addresses_in(std::string_view text) {
    static const std::regex address(R"re((?:href|src)="(/[^"#?]*)"|from "(/[^"]*)")re");
    std::set<std::string> found;
    const std::string all(text);
    for (std::sregex_iterator at(all.begin(), all.end(), address), end; at != end; ++at)
        found.insert((*at)[1].matched ? (*at)[1].str() : (*at)[2].str());
    return found;
}

TEST(Pages, GiveTheOperatorsPageAtTheRoot) {
    const auto page = get_page("/");
    EXPECT_EQ(page.status, 200u);
    EXPECT_EQ(page.content_type, "text/html; charset=utf-8");
    EXPECT_THAT(page.body, HasSubstr("<!doctype html>"));
    EXPECT_EQ(get_page("/operator.js").content_type, "text/javascript; charset=utf-8");
    EXPECT_EQ(get_page("/look.css").content_type, "text/css; charset=utf-8");
    EXPECT_EQ(get_page("/icon.svg").content_type, "image/svg+xml");
}

// Each sheet that the pages' own list names has an address, and it is the one page.
TEST(Pages, ServeEveryQualitySheetFromOnePage) {
    const std::string list = get_page("/sheets.js").body;
    const std::regex path(R"re(path: "(/[a-z-]+)")re");
    int sheets = 0;
    for (std::sregex_iterator at(list.begin(), list.end(), path), end; at != end; ++at, ++sheets) {
        const auto page = get_page((*at)[1].str());
        EXPECT_EQ(page.status, 200u) << (*at)[1];
        EXPECT_EQ(page.body, get_page("/quality").body);
        EXPECT_EQ(get_page((*at)[1].str(), page.etag).status, 304u);
    }
    EXPECT_EQ(sheets, 11);
    EXPECT_THAT(get_page("/quality").body, HasSubstr("src=\"/sheet.js\""));
}

TEST(Pages, LeadBackFromAnAddressThatIsNotThere) {
    for (const char* path :
         {"/nothing", "/nothing.js", "/../etc/passwd", "/%2e%2e/x", "//", "/op"}) {
        const auto page = get_page(path);
        EXPECT_EQ(page.status, 404u) << path;
        EXPECT_THAT(page.body, HasSubstr("href=\"/\"")) << path;
        EXPECT_EQ(page.etag, "") << path;
    }
}

TEST(Pages, AreNotSentAgainToABrowserThatHasThem) {
    const auto first = get_page("/look.css");
    ASSERT_FALSE(first.etag.empty());
    EXPECT_EQ(first.etag.front(), '"');
    const auto again = get_page("/look.css", "\"other\", W/" + first.etag);
    EXPECT_EQ(again.status, 304u);
    EXPECT_EQ(again.body, "");
    EXPECT_EQ(again.etag, first.etag);
    EXPECT_EQ(get_page("/look.css", "\"other\"").status, 200u);
}

TEST(Pages, ComeWithTheScriptsThatDrawCharts) {
    for (const char* path : {"/charts/library.js", "/charts/drawing.js", "/charts/marks.js"}) {
        const auto script = get_page(path);
        EXPECT_EQ(script.status, 200U) << path;
        EXPECT_EQ(script.content_type, "text/javascript; charset=utf-8");
        EXPECT_GT(script.body.size(), 1000U);
        EXPECT_EQ(get_page(path, script.etag).status, 304U);
    }
    EXPECT_NE(get_page("/charts/library.js").etag, get_page("/charts/drawing.js").etag);
}

TEST(Pages, AreOnlyRead) {
    Request request;
    request.method = "POST";
    request.path = "/";
    const auto refused = page_answer(request);
    EXPECT_EQ(refused.status, 405u);
    EXPECT_EQ(refused.allow, "GET");
}

TEST(Pages, MayUseNothingButWhatTheStationServes) {
    const auto page = get_page("/");
    EXPECT_THAT(page.policy, HasSubstr("default-src 'none'"));
    EXPECT_THAT(page.policy, HasSubstr("script-src 'self'"));
    EXPECT_THAT(page.policy, Not(HasSubstr("unsafe")));
    EXPECT_THAT(page.policy, Not(HasSubstr("http")));
    for (const Page& file : embedded_pages()) {
        const std::string text(file.bytes);
        const bool html = file.type.substr(0, 9) == "text/html";
        if (html) {
            EXPECT_THAT(text, Not(HasSubstr("<style"))) << file.path;
            EXPECT_THAT(text, Not(HasSubstr(" style="))) << file.path;
            EXPECT_FALSE(std::regex_search(text, std::regex("<script(?![^>]*src=)"))) << file.path;
        }
        EXPECT_FALSE(std::regex_search(text, std::regex("innerHTML|document\\.write|\\beval\\(")))
            << file.path;
    }
}

TEST(Pages, NameNoAddressThatIsNotThere) {
    for (const Page& file : embedded_pages()) {
        for (const auto& address : addresses_in(file.bytes))
            EXPECT_EQ(get_page(address).status, 200u) << file.path << " names " << address;
    }
    EXPECT_GE(addresses_in(get_page("/operator.js").body).size(), 5u);
}

}  // namespace
}  // namespace padtrim::web
