#include "station/web/sessions.hpp"

#include <algorithm>

namespace padtrim::web {

using namespace std::chrono_literals;

namespace {

// What is remembered of strangers stays bounded: then it is forgotten, and counts anew.
constexpr std::size_t most_remembered = 10'000;
// In the place of a name while nobody has one.
constexpr const char* nobody = "";
// Changes a second of one person, and how many at once: more than hands do, and few enough that
// the audit never keeps a unit's own records waiting.
constexpr double changes_a_second = 10.0, changes_at_once = 40.0;

}  // namespace

Sessions::Sessions(Accounts& accounts, Now now, SessionRules rules)
    : accounts_(accounts), now_(std::move(now)), rules_(rules) {}

bool Sessions::too_many(const std::string& address, Time now) {
    if (now - minute_ >= 1min) {
        minute_ = now;
        attempts_.clear();
        strangers_ = 0;
    }
    if (attempts_.size() > most_remembered) attempts_.clear();
    const bool stranger = known_.count(address) == 0;
    return ++attempts_[address] > rules_.attempts_a_minute ||
           (stranger && ++strangers_ > rules_.strangers_a_minute);
}

std::string Sessions::held_up(const std::string& name, const std::string& address, Time now) const {
    Time until{};
    for (const Place& place : {Place{name, address}, Place{"", address}}) {
        const auto at = tries_.find(place);
        if (at != tries_.end()) until = std::max(until, at->second.until);
    }
    if (now >= until) return "";
    const auto left = std::chrono::ceil<std::chrono::seconds>(until - now);
    return "Too many wrong tries. Try again in " + std::to_string(left.count()) + " s.";
}

std::string Sessions::must_wait(const std::string& name, const std::string& address) {
    const std::scoped_lock lock(mutex_);
    const Time now = now_();
    if (too_many(address, now)) return "Too many people log in at once. Try again in a minute.";
    return held_up(name, address, now);
}

void Sessions::count_wrong(const Place& place, int most, Time now) {
    if (tries_.size() > most_remembered) tries_.clear();
    Tries& tries = tries_[place];
    if (++tries.wrong < most) return;
    const int doublings = std::min(tries.wrong - most, 10);
    tries.until = now + std::min(rules_.first_wait * (1 << doublings), rules_.longest_wait);
}

Session Sessions::begin(Login who, Time now) {
    std::erase_if(open_, [&](const auto& entry) { return now - entry.second.used > rules_.idle; });
    if (open_.size() >= rules_.sessions) {
        open_.erase(std::min_element(open_.begin(), open_.end(), [](const auto& a, const auto& b) {
            return a.second.used < b.second.used;
        }));
    }
    Session session{random_token(), random_token(), std::move(who)};
    open_[session.token] = {session, now};
    return session;
}

Sessions::Answer Sessions::log_in(const std::string& name, const std::string& password,
                                  const std::string& address) {
    Answer answer;
    {
        const std::scoped_lock lock(mutex_);
        answer.refusal = held_up(name, address, now_());
        answer.later = !answer.refusal.empty();
    }
    if (answer.later) return answer;
    const auto role = accounts_.check(name, password);
    const std::scoped_lock lock(mutex_);
    if (!role) {
        count_wrong({name, address}, rules_.tries, now_());
        count_wrong({"", address}, rules_.tries_of_address, now_());
        answer.refusal = "Name or password is wrong.";
        return answer;
    }
    tries_.erase({name, address});
    tries_.erase({"", address});
    if (known_.size() > most_remembered) known_ = {own_address};
    known_.insert(address);
    answer.session = begin({name, *role}, now_());
    return answer;
}

Sessions::Answer Sessions::set_first(const std::string& code, const std::string& name,
                                     const std::string& password, const std::string& address) {
    Answer answer;
    {
        const std::scoped_lock lock(mutex_);
        answer.refusal = held_up(nobody, address, now_());
        answer.later = !answer.refusal.empty();
        if (answer.later) return answer;
        if (!accounts_.any() && !accounts_.is_code(code)) {
            count_wrong({nobody, address}, rules_.tries, now_());
            answer.refusal = "That is not the code that was printed.";
            return answer;
        }
    }
    answer.refusal = accounts_.set_first(code, name, password);
    return answer;
}

// Nothing once the session, or its login, is gone.
std::optional<Role> Sessions::standing_of(const std::string& token) const {
    const auto at = open_.find(token);
    if (at == open_.end() || now_() - at->second.used > rules_.idle) return std::nullopt;
    return accounts_.role_of(at->second.session.who.name);
}

// A role that was taken away, or changed, counts at once.
std::optional<Session> Sessions::find(const std::string& token) {
    const std::scoped_lock lock(mutex_);
    const auto role = standing_of(token);
    if (!role) {
        open_.erase(token);
        return std::nullopt;
    }
    Open& open = open_[token];
    open.used = now_();
    open.session.who.role = *role;
    return open.session;
}

bool Sessions::still(const std::string& token, Role role) {
    const std::scoped_lock lock(mutex_);
    return standing_of(token) == role;
}

void Sessions::log_out(const std::string& token) {
    const std::scoped_lock lock(mutex_);
    open_.erase(token);
}

bool Sessions::may_change(const std::string& who) {
    const std::scoped_lock lock(mutex_);
    if (reserves_.size() > most_remembered) reserves_.clear();
    const Time now = now_();
    const auto [at, is_new] = reserves_.try_emplace(who, Reserve{changes_at_once, now});
    Reserve& reserve = at->second;
    const double seconds = std::chrono::duration<double>(now - reserve.at).count();
    reserve.left = std::min(changes_at_once, reserve.left + changes_a_second * seconds);
    reserve.at = now;
    if (reserve.left < 1.0) return false;
    reserve.left -= 1.0;
    return true;
}

}  // namespace padtrim::web
