// A person's hands on a station whose fixture has no handler: units come when somebody says so.
//
// Nests ask in turn; each answer goes to the nest that has waited longest, or to the one named.
// close() says that no more units come. One thread.
#pragma once

#include <cstdint>
#include <list>
#include <memory>
#include <optional>
#include <string>

#include <boost/asio/any_io_executor.hpp>
#include <boost/asio/awaitable.hpp>

#include "station/main/person_at_hand.hpp"

namespace padtrim {

class Hands {
  public:
    explicit Hands(boost::asio::any_io_executor executor);
    ~Hands();
    Hands(const Hands&) = delete;
    Hands& operator=(const Hands&) = delete;

    // The label of the unit that was laid into the nest, or nothing when no more come.
    [[nodiscard]] boost::asio::awaitable<std::optional<std::string>> ask(std::uint16_t nest);
    // False when no nest, or not this one, waits.
    bool load_next(const std::string& label);
    bool load(std::uint16_t nest, const std::string& label);
    void close();

  private:
    struct Waiting;
    boost::asio::any_io_executor executor_;
    std::list<Waiting*> waiting_;
    bool closed_ = false;
};

// Lines typed or scanned on a descriptor: an answer when the person is asked something, else a
// unit; the descriptor's end, or a lone "q", closes both. Runs until then or until cancelled.
[[nodiscard]] boost::asio::awaitable<void> read_lines(int descriptor, Hands& hands,
                                                      PersonAtHand& person);

}  // namespace padtrim
