// Opening a fixture's ports in a program that begins beside a daemon.
//
// While nothing runs there, the daemon has the relay board's port for some milliseconds each second
// (engine/rest_watch.hpp). Whoever meets that tries again for a moment; somebody who really works
// on the ports is told of as ever, a third of a second later.
#pragma once

#include <chrono>

#include <boost/asio/co_spawn.hpp>
#include <boost/asio/detached.hpp>
#include <boost/asio/io_context.hpp>

#include "fixtures/port/clock.hpp"
#include "fixtures/port/fault.hpp"

namespace padtrim {

// `open` gives a port::Outcome. Runs the context, on which nothing else is under way yet.
template <class Open>
auto patiently(boost::asio::io_context& context, port::Clock& clock, const Open& open) {
    constexpr int tries = 6;
    constexpr std::chrono::milliseconds pause{60};
    auto opened = open();
    for (int tried = 1; tried < tries && !opened; ++tried) {
        if (opened.error().kind != port::FaultKind::port_in_use) break;
        boost::asio::co_spawn(context, clock.sleep_for(pause), boost::asio::detached);
        context.run();
        context.restart();
        opened = open();
    }
    return opened;
}

}  // namespace padtrim
