// The door before the calls: who is not logged in, or has not the role, gets no further. While
// nobody has a login everybody passes who may use this machine; over TLS, so from other machines,
// nobody does.
//
// A session is a cookie that scripts cannot read and other sites cannot send (RFC 6265bis:
// HttpOnly, SameSite=Strict, Secure over TLS). What changes something says the session's proof
// besides, so that a page from elsewhere can do nothing with the cookie alone. Commands of this
// machine's user show the daemon's key instead (RECORDS.daemon-key). The answer of a call that
// changed something, or was not allowed to, and of every login carries an entry for the audit.
#pragma once

#include <functional>
#include <map>
#include <optional>
#include <string>

#include "station/web/sessions.hpp"
#include "station/web/station_control.hpp"

namespace padtrim::web {

class Gate {
  public:
    // What somebody shows instead of a login: commands on this machine, and who reads the metrics
    // and nothing else; "" for nobody.
    struct Keys {
        std::string machine, metrics;
    };
    using Metrics = std::function<std::string()>;
    // All have to live as long as answers are awaited.
    Gate(Accounts& accounts, Sessions& sessions, Keys keys, Metrics metrics);

    [[nodiscard]] Response answer(Request request, StationControl& station);

  private:
    // Who calls: `means` is what stands in the audit for the role.
    struct Caller {
        Login who;
        std::string means;
        std::string token;  // of the session; "" when there is none
    };
    [[nodiscard]] bool shows(const Request& request, const std::string& key) const;
    [[nodiscard]] Response call(const Request& request, StationControl& station) const;
    [[nodiscard]] Response as_told(const Request& request, StationControl& station) const;
    [[nodiscard]] Response who_is_here(const Request& request,
                                       const std::optional<Session>& session) const;
    [[nodiscard]] Response session_call(const Request& request,
                                        const std::optional<Session>& session);
    [[nodiscard]] Response log_in(const Request& request);
    [[nodiscard]] Response first(const Request& request);
    [[nodiscard]] Response accounts_call(const Request& request, const Caller& caller);
    [[nodiscard]] Response passed(Request request, StationControl& station, const Caller& caller);
    [[nodiscard]] Response passed_unasked(const Request& request, StationControl& station);
    [[nodiscard]] Response audited(const Request& request, StationControl& station,
                                   const Caller& caller);

    Accounts& accounts_;
    Sessions& sessions_;
    const Keys keys_;
    const Metrics metrics_;
    struct Told {
        std::uint64_t version = 0;
        std::string body;
    };
    mutable std::map<std::string, std::optional<Told>> told_;  // by path
};

}  // namespace padtrim::web
