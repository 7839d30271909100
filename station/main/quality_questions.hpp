// The quality team's questions: each opens the records to read, asks station/answers, and prints
// the answer as text, JSON or CSV. The exit code.
#pragma once

#include "station/cli/command_line.hpp"

namespace padtrim {

[[nodiscard]] int answer(const cli::YieldCommand& command);
[[nodiscard]] int answer(const cli::CapabilityCommand& command);
[[nodiscard]] int answer(const cli::ChartCommand& command);
[[nodiscard]] int answer(const cli::DriftCommand& command);
[[nodiscard]] int answer(const cli::GaugeCommand& command);
[[nodiscard]] int answer(const cli::TraceCommand& command);
[[nodiscard]] int answer(const cli::InDoubtCommand& command);
[[nodiscard]] int answer(const cli::LotCommand& command);
[[nodiscard]] int answer(const cli::ExportCommand& command);
[[nodiscard]] int answer(const cli::ReportCommand& command);

}  // namespace padtrim
