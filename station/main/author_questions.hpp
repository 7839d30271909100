// The commands that help who writes recipes and register maps: asked of station/answers, printed,
// and the exit code that they end with.
#pragma once

#include "db/journal/journal.hpp"
#include "recipes/document/diagnostic.hpp"
#include "station/cli/command_line.hpp"

namespace padtrim {

int answer(const cli::HeaderCommand& command);
int answer(const cli::RejudgeCommand& command);
int answer(const cli::LimitsCommand& command);
// These two write when they name a recipe.
int answer(const cli::ReleaseCommand& command);
int answer(const cli::PermitCommand& command);
int answer(const cli::ChangesCommand& command);

// What is wrong with documents: to stderr, or as JSON where that was asked for.
int give_up(const std::vector<document::Diagnostic>& diagnostics, bool json);
int give_up(const journal::StoreFault& fault);

}  // namespace padtrim
