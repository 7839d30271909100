// The walk-through quotes documents that tests run; this holds the quotes against them.
#include <algorithm>
#include <fstream>
#include <iterator>
#include <regex>
#include <sstream>

#include <gtest/gtest.h>

namespace padtrim {
namespace {

std::string content(const std::string& path) {
    std::ifstream file(PADTRIM_SOURCE_DIR "/" + path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

struct Quote {
    std::string file, text;
};

// Indented blocks under a line "From [name](../path):".
std::vector<Quote> quotes_of(const std::string& page) {
    static const std::regex opening(R"(From \[[^\]]+\]\(\.\./([^)]+)\):)");
    std::vector<Quote> quotes;
    std::istringstream lines(page);
    bool inside = false;
    for (std::string line; std::getline(lines, line);) {
        std::smatch found;
        if (std::regex_match(line, found, opening)) {
            quotes.push_back({found.str(1), ""});
            inside = true;
        } else if (inside && (line.empty() || line.starts_with("    "))) {
            quotes.back().text += line.empty() ? "\n" : line.substr(4) + "\n";
        } else {
            inside = false;
        }
    }
    for (auto& quote : quotes) {
        quote.text.erase(0, quote.text.find_first_not_of('\n'));
        quote.text.erase(quote.text.find_last_not_of('\n') + 1);
    }
    return quotes;
}

TEST(FirstProductPage, QuotesTheDocumentsThatAreRun) {
    const auto quotes = quotes_of(content("docs/first-product.md"));
    EXPECT_GE(quotes.size(), 8U);
    for (const auto& quote : quotes) {
        EXPECT_FALSE(quote.text.empty()) << quote.file;
        EXPECT_NE(content(quote.file).find(quote.text), std::string::npos)
            << quote.file << " does not hold\n"
            << quote.text;
    }
}

TEST(FirstProductPage, NamesEachOfTheThreeDocuments) {
    const auto quotes = quotes_of(content("docs/first-product.md"));
    for (const char* name : {"unit.toml", "fixture.toml", "recipe.toml"})
        EXPECT_TRUE(std::any_of(quotes.begin(), quotes.end(), [&](const Quote& quote) {
            return quote.file.ends_with(name);
        })) << name;
}

}  // namespace
}  // namespace padtrim
