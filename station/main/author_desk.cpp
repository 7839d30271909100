#include "station/main/author_desk.hpp"

#include <algorithm>

#include <boost/json/object.hpp>

#include "station/answers/printable.hpp"
#include "station/main/author_decisions.hpp"
#include "station/main/waited_for.hpp"

namespace padtrim {
namespace {

using boost::json::object;
using web::Decision;
using web::Outcome;

Decision not_decided(std::string what) {
    return {Outcome::refused, std::move(what), "Nothing was decided."};
}

std::string release_json(const answers::Json& number) {
    return answers::text_of(object{{"release", number}});
}

answers::Json or_null(const std::optional<std::int64_t>& number) {
    return number ? answers::Json(*number) : answers::Json(nullptr);
}

}  // namespace

web::AuthorControl::Sheet AuthorDesk::sheet() const {
    return [records = records_, plan = plan_,
            now = wall_clock_.now()]() -> journal::Stored<answers::RecipeSheet> {
        const auto reader = ledger::Reader::open(records);
        if (!reader) return reader.error();
        return answers::recipe_sheet(**reader, *plan, now);
    };
}

web::AuthorControl::Work AuthorDesk::release(std::string who, std::string why) {
    return [&ledger = ledger_, records = records_, plan = plan_, now = wall_clock_.now(),
            who = std::move(who), why = answers::printable(why, 2000)]() -> Decision {
        const auto reader = ledger::Reader::open(records);
        if (!reader) return not_decided(reader.error().what);
        const auto draft =
            waited_for<answers::ReleaseDraft>(release_plan(ledger, **reader, *plan, who, why, now));
        if (!draft) return not_decided(draft.error().what);
        if (!draft->release) return not_decided(draft->problem);
        return {Outcome::accepted,
                "Release " + std::to_string(draft->release->id) + ": plan " +
                    plan->hash.substr(0, 12) + " runs in production from now on.",
                "", release_json(or_null(draft->before)), release_json(draft->release->id)};
    };
}

web::AuthorControl::Work AuthorDesk::withdraw(std::int64_t release, std::string who,
                                              std::string why) {
    return [&ledger = ledger_, release, now = wall_clock_.now(), who = std::move(who),
            why = answers::printable(why, 2000)]() -> Decision {
        const auto done = waited_for<void>(ledger.withdraw(release, who, why, now));
        if (!done) return not_decided(done.error().what);
        return {Outcome::accepted,
                "Release " + std::to_string(release) +
                    " is withdrawn. Nothing starts on it any more; a lot that runs now goes on "
                    "to its end.",
                "", answers::text_of(object{{"release", release}, {"withdrawn", false}}),
                answers::text_of(object{{"release", release}, {"withdrawn", true}})};
    };
}

web::AuthorControl::Work AuthorDesk::permit(answers::PermitWish wish) {
    wish.why = answers::printable(wish.why, 2000);
    return [&ledger = ledger_, records = records_, plan = plan_, now = wall_clock_.now(),
            wish = std::move(wish)]() -> Decision {
        const auto reader = ledger::Reader::open(records);
        if (!reader) return not_decided(reader.error().what);
        const auto draft =
            waited_for<answers::PermitDraft>(permit_plan(ledger, **reader, *plan, wish, now));
        if (!draft) return not_decided(draft.error().what);
        if (!draft->permit) return not_decided(draft->problem);
        const std::int64_t number = draft->permit->id;
        return {Outcome::accepted,
                "Permit " + std::to_string(number) + " lets the plan through until its end.", "",
                answers::text_of(object{{"release", draft->permit->release}}),
                answers::text_of(object{{"permit", number}})};
    };
}

}  // namespace padtrim
