// Who is logged in, and who has tried too often. Sessions live as long as the daemon: after its
// restart people log in again. Safe for several threads; time is handed in.
//
// Wrong passwords count by name and address together, so that a stranger who types somebody's name
// locks it for himself and not for its owner; and by address, so that he cannot go from name to
// name. An address from which somebody has logged in is never held up by what others try.
#pragma once

#include <chrono>
#include <cstdint>
#include <functional>
#include <map>
#include <mutex>
#include <optional>
#include <set>
#include <string>
#include <utility>

#include "fixtures/port/clock.hpp"
#include "station/web/accounts.hpp"

namespace padtrim::web {

// From where people at the station's own machine come.
inline constexpr const char* own_address = "127.0.0.1";

struct Session {
    std::string token;  // of the cookie, which no script can read
    std::string proof;  // what a call that changes something says besides
    Login who;
};

// Common practice, no source: five tries, then a wait that doubles; a shift's length without use.
struct SessionRules {
    int tries = 5;              // of one name from one address
    int tries_of_address = 20;  // of any names from one address
    std::chrono::seconds first_wait{60}, longest_wait{900}, idle{10 * 3600};
    int attempts_a_minute = 30;   // from one address
    int strangers_a_minute = 60;  // from all addresses that nobody logged in from
    std::size_t sessions = 500;
};

class Sessions {
  public:
    using Time = port::Instant;
    using Now = std::function<Time()>;
    explicit Sessions(Accounts& accounts, Now now, SessionRules rules = {});

    struct Answer {
        std::optional<Session> session;
        std::string refusal;  // one sentence
        bool later = false;   // it may be tried again after a wait
    };
    // "", or why this attempt to log in has to wait; counts it. Asked before one stands in line.
    [[nodiscard]] std::string must_wait(const std::string& name, const std::string& address);
    // Slow: it hashes. Not on the station's own thread.
    [[nodiscard]] Answer log_in(const std::string& name, const std::string& password,
                                const std::string& address);
    // The first administrator, by the printed code: "" or what is wrong. Wrong codes hold up the
    // address that they come from, as wrong passwords do, and nobody else. Slow.
    [[nodiscard]] Answer set_first(const std::string& code, const std::string& name,
                                   const std::string& password, const std::string& address);
    // The session of a cookie's token while its login is there; its idle time begins anew.
    [[nodiscard]] std::optional<Session> find(const std::string& token);
    // Whether it is still there, in this role; its idle time goes on.
    [[nodiscard]] bool still(const std::string& token, Role role);
    void log_out(const std::string& token);
    // Whether somebody may change something once more: some a second, with a reserve. `who`: a
    // session's token, or an address.
    [[nodiscard]] bool may_change(const std::string& who);

  private:
    struct Tries {
        int wrong = 0;
        Time until{};
    };
    struct Open {
        Session session;
        Time used{};
    };
    struct Reserve {
        double left = 0.0;
        Time at{};
    };
    using Place = std::pair<std::string, std::string>;  // name ("": any) and address
    [[nodiscard]] std::string held_up(const std::string& name, const std::string& address,
                                      Time now) const;
    [[nodiscard]] bool too_many(const std::string& address, Time now);
    void count_wrong(const Place& place, int most, Time now);
    [[nodiscard]] Session begin(Login who, Time now);
    [[nodiscard]] std::optional<Role> standing_of(const std::string& token) const;

    Accounts& accounts_;
    const Now now_;
    const SessionRules rules_;
    std::mutex mutex_;
    std::map<std::string, Open> open_;
    std::map<Place, Tries> tries_;
    std::map<std::string, int> attempts_;  // of this minute, by address
    std::map<std::string, Reserve> reserves_;
    std::set<std::string> known_{own_address};  // addresses that somebody logged in from
    Time minute_{};
    int strangers_ = 0;
};

}  // namespace padtrim::web
