// The door before the calls: who is not logged in, or has not the role, gets no further. While
// nobody has a login everybody passes, as whoever may use this machine.
//
// A session is a cookie that scripts cannot read and other sites cannot send (RFC 6265bis:
// HttpOnly, SameSite=Strict). What changes something says the session's proof besides, so that a
// page from elsewhere can do nothing with the cookie alone. Commands of this machine's user show
// the daemon's key instead (RECORDS.daemon-key). Every call that changed something, and every
// login, is told to the audit.
#pragma once

#include <functional>
#include <string>

#include "station/web/sessions.hpp"
#include "station/web/station_control.hpp"

namespace padtrim::web {

// Who did what, and how it ended (an HTTP status).
struct AuditLine {
    std::string who, what;
    unsigned status = 0;
};

class Gate {
  public:
    using Audit = std::function<void(const AuditLine&)>;  // called from several threads
    // `key`: of commands on this machine. The rest has to live as long as answers are awaited.
    Gate(Accounts& accounts, Sessions& sessions, std::string key, Audit audit);

    [[nodiscard]] Response answer(Request request, StationControl& station);

  private:
    [[nodiscard]] std::optional<Login> by_key(const Request& request) const;
    [[nodiscard]] Response who_is_here(const std::optional<Session>& session) const;
    [[nodiscard]] Response session_call(const Request& request,
                                        const std::optional<Session>& session);
    [[nodiscard]] Response log_in(const Request& request);
    [[nodiscard]] Response first(const Request& request);
    [[nodiscard]] Response accounts_call(const Request& request, const std::string& who);
    [[nodiscard]] Response passed(Request request, StationControl& station, const Login& who);

    Accounts& accounts_;
    Sessions& sessions_;
    const std::string key_;
    const Audit audit_;
};

}  // namespace padtrim::web
