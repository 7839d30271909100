#include "station/answers/names.hpp"

#include "station/answers/printable.hpp"

namespace padtrim::answers {

std::string wrong_with_name(std::string_view what, std::string_view name) {
    constexpr std::size_t most = 64;
    const std::string subject = "The name of the " + std::string(what);
    if (name.empty()) return subject + " is empty. Give one.";
    if (columns(name) > most)
        return subject + " is longer than " + std::to_string(most) + " characters. Shorten it.";
    if (printable(name) != name)
        return subject + " '" + printable(name) +
               "' has control characters or is not UTF-8. Leave them out.";
    if (name.front() == ' ' || name.back() == ' ')
        return subject + " '" + std::string(name) + "' begins or ends with a blank. Leave it out.";
    return "";
}

std::string wrong_with_signature(std::string_view who, std::string_view why, SignedBy by) {
    const bool typed = by == SignedBy::command;
    std::string wrong = wrong_with_name(typed ? "person (--who)" : "person", who);
    if (wrong.empty() && blank(why))
        wrong = std::string("The reason is empty. Give one") + (typed ? " with --why." : ".");
    return wrong;
}

}  // namespace padtrim::answers
