#include "station/main/person_at_hand.hpp"

#include <algorithm>
#include <cctype>

#include <boost/asio/redirect_error.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/use_awaitable.hpp>

namespace padtrim {

namespace asio = boost::asio;

// The timer never runs out: cancelling it wakes the coroutine. Whatever ends the wait takes the
// question off the list.
struct PersonAtHand::Waiting {
    Waiting(std::list<Waiting*>& list, asio::any_io_executor executor, std::uint16_t where)
        : all(list), nest(where), woken(executor, asio::steady_timer::time_point::max()) {
        all.push_back(this);
    }
    ~Waiting() { all.remove(this); }
    Waiting(const Waiting&) = delete;
    Waiting& operator=(const Waiting&) = delete;
    std::list<Waiting*>& all;
    std::uint16_t nest;
    asio::steady_timer woken;
    std::optional<bool> answer;
};

PersonAtHand::PersonAtHand(asio::any_io_executor executor) : executor_(std::move(executor)) {}
PersonAtHand::~PersonAtHand() = default;

asio::awaitable<std::optional<bool>> PersonAtHand::ask(const engine::Question& question) {
    if (closed_) co_return std::nullopt;
    Waiting waiting(waiting_, executor_, question.nest);
    boost::system::error_code ignored;
    co_await waiting.woken.async_wait(asio::redirect_error(asio::use_awaitable, ignored));
    co_return waiting.answer;
}

bool PersonAtHand::give(Waiting* waiting, bool yes) {
    waiting->answer = yes;
    waiting->woken.cancel();
    return true;
}

bool PersonAtHand::answer_next(bool yes) {
    const auto open =
        std::find_if(waiting_.begin(), waiting_.end(), [](const Waiting* w) { return !w->answer; });
    return open != waiting_.end() && give(*open, yes);
}

bool PersonAtHand::answer(std::uint16_t nest, bool yes) {
    const auto open = std::find_if(waiting_.begin(), waiting_.end(), [nest](const Waiting* w) {
        return w->nest == nest && !w->answer;
    });
    return open != waiting_.end() && give(*open, yes);
}

bool PersonAtHand::take_line(const std::string& line) {
    std::string word;
    for (const char c : line)
        word += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    const bool yes = word == "y" || word == "yes";
    if (!yes && word != "n" && word != "no") return false;
    return answer_next(yes);
}

void PersonAtHand::withdraw(std::uint16_t nest) {
    for (Waiting* waiting : waiting_)
        if (waiting->nest == nest) waiting->woken.cancel();
}

void PersonAtHand::close() {
    closed_ = true;
    for (Waiting* waiting : waiting_) waiting->woken.cancel();
}

}  // namespace padtrim
