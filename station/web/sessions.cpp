#include "station/web/sessions.hpp"

#include <algorithm>

namespace padtrim::web {

using namespace std::chrono_literals;

Sessions::Sessions(Accounts& accounts, Now now, SessionRules rules)
    : accounts_(accounts), now_(std::move(now)), rules_(rules) {}

std::string Sessions::wait_for(const std::string& name, Time now) {
    if (now - minute_ >= 1min) {
        minute_ = now;
        attempts_ = 0;
    }
    if (++attempts_ > rules_.attempts_a_minute)
        return "Too many people log in at once. Try again in a minute.";
    const auto at = tries_.find(name);
    if (at == tries_.end() || now >= at->second.until) return "";
    const auto left = std::chrono::ceil<std::chrono::seconds>(at->second.until - now);
    return "Too many wrong passwords. Try again in " + std::to_string(left.count()) + " s.";
}

void Sessions::count_wrong(const std::string& name, Time now) {
    if (tries_.size() > 10'000) tries_.clear();
    Tries& tries = tries_[name];
    if (++tries.wrong < rules_.tries) return;
    const int doublings = std::min(tries.wrong - rules_.tries, 10);
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

Sessions::Answer Sessions::log_in(const std::string& name, const std::string& password) {
    Answer answer;
    {
        const std::scoped_lock lock(mutex_);
        answer.refusal = wait_for(name, now_());
        answer.later = !answer.refusal.empty();
    }
    if (answer.later) return answer;
    const auto role = accounts_.check(name, password);
    const std::scoped_lock lock(mutex_);
    if (!role) {
        count_wrong(name, now_());
        answer.refusal = "Name or password is wrong.";
        return answer;
    }
    tries_.erase(name);
    answer.session = begin({name, *role}, now_());
    return answer;
}

// A role that was taken away, or changed, counts at once.
std::optional<Session> Sessions::find(const std::string& token) {
    const std::scoped_lock lock(mutex_);
    const auto at = open_.find(token);
    if (at == open_.end()) return std::nullopt;
    const auto logins = accounts_.all();
    const auto who = std::find_if(logins.begin(), logins.end(), [&](const Login& login) {
        return login.name == at->second.session.who.name;
    });
    if (who == logins.end() || now_() - at->second.used > rules_.idle) {
        open_.erase(at);
        return std::nullopt;
    }
    at->second.used = now_();
    at->second.session.who.role = who->role;
    return at->second.session;
}

void Sessions::log_out(const std::string& token) {
    const std::scoped_lock lock(mutex_);
    open_.erase(token);
}

}  // namespace padtrim::web
