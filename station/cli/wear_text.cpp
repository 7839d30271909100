#include "station/cli/wear_text.hpp"

#include <fmt/format.h>

#include "station/answers/figures.hpp"
#include "station/answers/printable.hpp"
#include "station/cli/line_types.hpp"
#include "station/cli/table.hpp"

namespace padtrim::cli {
namespace {

using answers::printable;
using answers::WornContact;

constexpr std::size_t shown = 12;

std::string life_of(const std::optional<double>& share) {
    if (!share) return "";
    const auto full = static_cast<std::size_t>(std::min(*share, 1.0) * 10.0);
    return ticks(full, 10) + " " + answers::percent(*share);
}

std::string replaced_of(const WornContact& contact) {
    if (!contact.replaced) return "";
    return fmt::format("{} by {}: {}", answers::iso_8601(*contact.replaced).substr(0, 10),
                       printable(contact.who, 40), printable(contact.why, 80));
}

}  // namespace

Lines wear_text(const answers::WearAnswer& wear, bool all, const Paper& paper) {
    Lines lines = {styled(fmt::format("Contacts of {}, station {}", printable(wear.fixture, 60),
                                      printable(wear.station, 40)),
                          {Ink::plain, true}, paper.colours)};
    for (const auto& warning : wear.warnings) lines.push_back(printable(warning, 400));
    if (!wear.relay_life && !wear.pin_life)
        lines.emplace_back("The profile rates no lives ([contact_lives]); these are counts alone.");
    std::vector<std::vector<std::string>> rows = {
        {"coil", "switches", "operations", "of the relay's life", "of the pins' life", "replaced"}};
    for (const WornContact& contact : wear.contacts) {
        if (!all && rows.size() > shown && !contact.worn()) break;
        rows.push_back({std::to_string(contact.coil), printable(contact.use, 40),
                        std::to_string(contact.operations), life_of(contact.share),
                        life_of(contact.pin_share), replaced_of(contact)});
    }
    for (auto& line : table_lines(
             rows, {Side::right, Side::left, Side::right, Side::left, Side::left, Side::left}))
        lines.push_back(std::move(line));
    const std::size_t left = wear.contacts.size() + 1 - rows.size();
    if (left > 0) lines.push_back(fmt::format("  and {} less worn; --all shows them", left));
    return lines;
}

}  // namespace padtrim::cli
