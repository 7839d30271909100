// What `padtrim ports` says. Texts of adapters and devices are made printable. Pure.
#pragma once

#include <boost/json/value.hpp>

#include "fixtures/port/port_report.hpp"
#include "station/cli/report_texts.hpp"

namespace padtrim::cli {

// `asked` is false when no profile was given.
[[nodiscard]] Lines port_lines(const std::vector<port::PortFacts>& ports, bool asked,
                               const std::vector<port::DeviceAnswer>& heard);
// {"ports": [...], "devices": [...]}
[[nodiscard]] boost::json::value ports_json(const std::vector<port::PortFacts>& ports,
                                            const std::vector<port::DeviceAnswer>& heard);

}  // namespace padtrim::cli
