// Who is logged in, and who has tried too often. Sessions live as long as the daemon: after its
// restart people log in again. Safe for several threads; time is handed in.
#pragma once

#include <chrono>
#include <cstdint>
#include <functional>
#include <map>
#include <mutex>
#include <optional>
#include <string>

#include "fixtures/port/clock.hpp"
#include "station/web/accounts.hpp"

namespace padtrim::web {

struct Session {
    std::string token;  // of the cookie, which no script can read
    std::string proof;  // what a call that changes something says besides
    Login who;
};

// Common practice, no source: five tries, then a wait that doubles; a shift's length without use.
struct SessionRules {
    int tries = 5;
    std::chrono::seconds first_wait{60}, longest_wait{900}, idle{10 * 3600};
    int attempts_a_minute = 30;  // of everybody together
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
    // Slow: it hashes. Not on the station's own thread.
    [[nodiscard]] Answer log_in(const std::string& name, const std::string& password);
    // The session of a cookie's token while its login is there; its idle time begins anew.
    [[nodiscard]] std::optional<Session> find(const std::string& token);
    void log_out(const std::string& token);

  private:
    struct Tries {
        int wrong = 0;
        Time until{};
    };
    struct Open {
        Session session;
        Time used{};
    };
    [[nodiscard]] std::string wait_for(const std::string& name, Time now);
    void count_wrong(const std::string& name, Time now);
    [[nodiscard]] Session begin(Login who, Time now);

    Accounts& accounts_;
    const Now now_;
    const SessionRules rules_;
    std::mutex mutex_;
    std::map<std::string, Open> open_;
    std::map<std::string, Tries> tries_;
    Time minute_{};
    int attempts_ = 0;
};

}  // namespace padtrim::web
