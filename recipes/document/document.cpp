#include "recipes/document/document.hpp"

#include <algorithm>
#include <utility>

#include "recipes/document/toml.hpp"

namespace padtrim::document {

namespace {

// Nobody reads more of them, and telling them takes time and room.
constexpr std::size_t most_complaints = 200;

}  // namespace

Document::Document(std::string file, std::string text)
    : file_(std::move(file)), text_(std::move(text)) {
    line_begins_.push_back(0);
    for (std::size_t i = 0; i < text_.size(); ++i)
        if (text_[i] == '\n') line_begins_.push_back(i + 1);
    auto parsed = parse_toml(text_, file_);
    root_ = std::move(parsed.root);
    for (auto& problem : parsed.problems) complaints_.push_back({"", std::move(problem)});
}

void Document::complain(const std::string& path, std::string message, std::string mend) {
    complain_at(nearest_node(root_, path).place, path, std::move(message), std::move(mend));
}

void Document::complain_at(Place place, const std::string& path, std::string message,
                           std::string mend) {
    if (full()) return;
    if (complaints_.size() == most_complaints) {
        message = "there are more problems than are told here";
        mend = "Mend the others first.";
        give_up();
    }
    complaints_.push_back({path,
                           {file_, place.line, place.column, std::move(message), std::move(mend),
                            source_line(place.line)}});
}

std::string Document::source_line(int number) const {
    const auto index = static_cast<std::size_t>(number) - 1;
    if (index >= line_begins_.size()) return {};
    return line_of(
        text_.substr(line_begins_[index], index + 1 < line_begins_.size()
                                              ? line_begins_[index + 1] - line_begins_[index]
                                              : std::string::npos),
        1);
}

bool Document::full() const {
    return complaints_.size() > most_complaints;
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
