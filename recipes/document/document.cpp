#include "recipes/document/document.hpp"

#include <algorithm>
#include <utility>

#include "recipes/document/toml.hpp"

namespace padtrim::document {

Document::Document(std::string file, std::string text)
    : file_(std::move(file)), text_(std::move(text)) {
    auto parsed = parse_toml(text_, file_);
    root_ = std::move(parsed.root);
    for (auto& problem : parsed.problems) complaints_.push_back({"", std::move(problem)});
}

void Document::complain(const std::string& path, std::string message, std::string mend) {
    complain_at(nearest_node(root_, path).place, path, std::move(message), std::move(mend));
}

void Document::complain_at(Place place, const std::string& path, std::string message,
                           std::string mend) {
    complaints_.push_back({path,
                           {file_, place.line, place.column, std::move(message), std::move(mend),
                            line_of(text_, place.line)}});
}

bool Document::sound(std::string_view path) const {
    if (given_up_) return false;
    const auto touches = [path](const std::string& other) {
        return path_within(other, path) || path_within(path, other);
    };
    return std::none_of(complaints_.begin(), complaints_.end(),
                        [&](const Complaint& each) { return touches(each.path); }) &&
           std::none_of(mistrusted_.begin(), mistrusted_.end(), touches);
}

std::vector<Diagnostic> Document::diagnostics() const {
    std::vector<Diagnostic> all;
    for (const auto& each : complaints_) all.push_back(each.diagnostic);
    std::stable_sort(all.begin(), all.end(), [](const Diagnostic& a, const Diagnostic& b) {
        return std::pair(a.line, a.column) < std::pair(b.line, b.column);
    });
    return all;
}

}  // namespace padtrim::document
