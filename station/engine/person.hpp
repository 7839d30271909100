// The person at the station, as steps ask: a question that is answered yes or no.
//
// Threading: the lot's io_context. Cancelling the await gives up the question. Owned by the wiring;
// outlives the lot. Without a person the recipe says what stands for an answer.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include <boost/asio/awaitable.hpp>

namespace padtrim::engine {

struct Question {
    std::uint16_t nest = 1;
    std::string serial;   // of the unit that it is about
    std::string text;     // one question, as the person reads it
    std::string picture;  // file or address, "" for none
};

class Person {
  public:
    virtual ~Person() = default;
    // Nothing when nobody can be asked, now or any more. The question outlives the await.
    [[nodiscard]] virtual boost::asio::awaitable<std::optional<bool>> ask(
        const Question& question) = 0;
};

}  // namespace padtrim::engine
