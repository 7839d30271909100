// A look at the fixture at rest, on its real ports: which fixture is plugged in, and how its guard
// and emergency stop stand. The relay board alone is opened, and its inputs read.
#pragma once

#include <chrono>
#include <string>

#include <boost/asio/io_context.hpp>

#include "recipes/language/plan.hpp"
#include "station/engine/rest_watch.hpp"

namespace padtrim {

// Empty where the profile names no input to look at. The context outlives what it opens.
[[nodiscard]] engine::OpenRestLook rest_look(boost::asio::io_context& context,
                                             language::PlanPtr plan, std::string directory);
// How long the relay board may still answer a request that nobody waits for.
[[nodiscard]] std::chrono::nanoseconds owed_by_relays(const language::FixtureProfile& fixture);

}  // namespace padtrim
