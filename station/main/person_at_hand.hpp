// The person at the station who answers the questions of steps: from the keyboard or over HTTP.
//
// Nests ask independently; an answer goes to the nest named, or to the one that has waited longest.
// close() says that nobody answers any more: open questions stay without an answer. One thread.
#pragma once

#include <cstdint>
#include <list>
#include <string>

#include <boost/asio/any_io_executor.hpp>

#include "station/engine/person.hpp"

namespace padtrim {

class PersonAtHand final : public engine::Person {
  public:
    explicit PersonAtHand(boost::asio::any_io_executor executor);
    ~PersonAtHand() override;
    PersonAtHand(const PersonAtHand&) = delete;
    PersonAtHand& operator=(const PersonAtHand&) = delete;

    [[nodiscard]] boost::asio::awaitable<std::optional<bool>> ask(
        const engine::Question& question) override;
    // False when no nest, or not this one, waits for an answer.
    bool answer_next(bool yes);
    bool answer(std::uint16_t nest, bool yes);
    // The question of this nest was answered elsewhere.
    void withdraw(std::uint16_t nest);
    // A line as typed: "y", "yes", "n" or "no" in any case, when a question waits. False otherwise.
    bool take_line(const std::string& line);
    void close();

  private:
    struct Waiting;
    bool give(Waiting* waiting, bool yes);
    boost::asio::any_io_executor executor_;
    std::list<Waiting*> waiting_;
    bool closed_ = false;
};

}  // namespace padtrim
