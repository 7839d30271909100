#include "station/answers/contact_wear.hpp"

#include <algorithm>
#include <map>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <fmt/format.h>

#include "recipes/language/coil_uses.hpp"
#include "station/answers/figures.hpp"

namespace padtrim::answers {

namespace {

std::optional<double> share_of(std::uint64_t operations, const std::optional<std::uint64_t>& life) {
    if (!life) return std::nullopt;
    return static_cast<double>(operations) / static_cast<double>(*life);
}

double worst(const WornContact& contact) {
    return std::max(contact.share.value_or(0.0), contact.pin_share.value_or(0.0));
}

void warn(WearAnswer& answer, const WornContact& contact) {
    if (contact.pin_share.value_or(0.0) >= worn_share)
        answer.warnings.push_back(fmt::format(
            "The {} touched {} times, {} of their rated life. Replace the pins, then "
            "say so: padtrim wear --replaced {}.",
            contact.use, contact.operations, percent(*contact.pin_share), contact.coil));
    if (contact.share.value_or(0.0) >= worn_share)
        answer.warnings.push_back(fmt::format(
            "The relay of coil {} ({}) worked {} times, {} of its rated life. Replace "
            "it, then say so: padtrim wear --replaced {}.",
            contact.coil, contact.use, contact.operations, percent(*contact.share), contact.coil));
}

}  // namespace

WearAnswer wear_of(const language::FixtureProfile& fixture,
                   const std::vector<record::ContactStanding>& standing) {
    WearAnswer answer;
    answer.fixture = fixture.fixture;
    if (fixture.contact_lives) {
        answer.relay_life = fixture.contact_lives->relay_life;
        answer.pin_life = fixture.contact_lives->pin_life;
    }
    std::map<std::uint16_t, const record::ContactStanding*> known;
    for (const auto& each : standing) known[each.coil] = &each;
    for (const language::CoilUse& use : language::coil_uses(fixture)) {
        WornContact contact;
        contact.coil = static_cast<std::uint16_t>(use.coil);
        contact.use = use.what;
        contact.pins = use.pins;
        if (const auto found = known.find(contact.coil); found != known.end()) {
            contact.operations = found->second->operations;
            contact.replaced = found->second->replaced;
            contact.who = found->second->who;
            contact.why = found->second->why;
        }
        contact.share = share_of(contact.operations, answer.relay_life);
        if (use.pins) contact.pin_share = share_of(contact.operations, answer.pin_life);
        answer.contacts.push_back(std::move(contact));
    }
    std::stable_sort(
        answer.contacts.begin(), answer.contacts.end(), [](const auto& a, const auto& b) {
            return std::pair(worst(a), a.operations) > std::pair(worst(b), b.operations);
        });
    for (const WornContact& contact : answer.contacts) warn(answer, contact);
    return answer;
}

journal::Stored<WearAnswer> wear_in(ledger::Reader& reader, const language::FixtureProfile& fixture,
                                    const std::string& station) {
    const auto standing = reader.contacts(station, fixture.fixture);
    if (!standing) return standing.error();
    WearAnswer answer = wear_of(fixture, *standing);
    answer.station = station;
    return answer;
}

namespace {

template <class T>
Json or_null(const std::optional<T>& value) {
    return value ? Json(*value) : Json(nullptr);
}

}  // namespace

Json to_json(const WearAnswer& wear) {
    boost::json::array contacts, warnings;
    for (const WornContact& contact : wear.contacts)
        contacts.push_back(boost::json::object{
            {"coil", contact.coil},
            {"use", contact.use},
            {"operations", contact.operations},
            {"share_of_relay_life", or_null(contact.share)},
            {"share_of_pin_life", or_null(contact.pin_share)},
            {"worn", contact.worn()},
            {"replaced", contact.replaced ? text(iso_8601(*contact.replaced)) : Json(nullptr)},
            {"who", text(contact.who)},
            {"why", text(contact.why)}});
    for (const auto& warning : wear.warnings) warnings.push_back(text(warning));
    return boost::json::object{{"fixture", wear.fixture},
                               {"station", text(wear.station)},
                               {"relay_life", or_null(wear.relay_life)},
                               {"pin_life", or_null(wear.pin_life)},
                               {"warnings", std::move(warnings)},
                               {"contacts", std::move(contacts)}};
}

}  // namespace padtrim::answers
