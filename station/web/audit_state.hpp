// What the audit keeps of a station before and after a call that changes something. Pure.
#pragma once

#include <string>

#include "station/web/message.hpp"
#include "station/web/station_control.hpp"

namespace padtrim::web {

// JSON: what the station does, and for a nest's call what lies in that nest.
[[nodiscard]] std::string audit_state(StationControl& station, const std::string& path);

// The entry of an act, without time and station, which whoever keeps it adds. A body that is long
// (a plan's text) is cut short.
[[nodiscard]] record::AuditEntry audit_entry(const Request& request, std::string who,
                                             std::string_view role);

// Not one that says that a holder of the fixture is still there: it comes every second, and what
// was taken, done and given back has entries of its own.
[[nodiscard]] bool worth_keeping(const record::AuditEntry& entry);

}  // namespace padtrim::web
