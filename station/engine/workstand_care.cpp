// What a workstand notes beside counts: the person's answers, and how the unit's link does.
#include <algorithm>

#include "station/engine/deadline.hpp"
#include "station/engine/workstand.hpp"

namespace padtrim::engine {

namespace {

// A lost reply in a row of requests is counted, not taken for the end of the unit: the fault that
// stays is one that so many requests in a row agree on.
constexpr unsigned silent_in_a_row = 3;

Act<void> answer_of(Person& person, const Question& question, std::optional<bool>& answer) {
    answer = co_await person.ask(question);
    co_return port::Outcome<void>();
}

}  // namespace

void Workstand::note_answer(std::string step, std::string text, std::optional<bool> yes) {
    seen.answers.push_back({std::move(step), std::move(text), now_us(), yes});
}

Act<bool> Workstand::ask(std::string step, std::string text, std::string picture,
                         std::chrono::milliseconds patience) {
    if (parts_.person == nullptr) co_return false;
    const std::string serial = seen.identity ? seen.identity->serial : std::string();
    const Question question{nest_.number, serial, text, std::move(picture)};
    if (asking_) asking_(question);
    std::optional<bool> answer;
    auto in_time = co_await within(*parts_.clock, patience,
                                   answer_of(*parts_.person, question, answer), "the person");
    if (in_time && !answer) co_return false;
    note_answer(std::move(step), std::move(text), answer);
    if (answer) {
        auto ready = co_await after_hands(serial, patience);
        if (!ready) co_return ready.error();
    }
    co_return true;
}

// Whoever answered may have opened the guard to look or to lay something in, and with it taken the
// drives' power. Closing a guard begins nothing: the person says so once more.
Act<void> Workstand::after_hands(std::string serial, std::chrono::milliseconds patience) {
    while (parts_.interlock != nullptr) {
        auto now = co_await parts_.interlock->look();
        if (now) break;
        if (now.error().kind != port::FaultKind::interlock_open) co_return now.error();
        const Question again{nest_.number, serial,
                             now.error().what + " Answer when that is done and hands are out.", ""};
        if (asking_) asking_(again);
        std::optional<bool> answer;
        auto in_time = co_await within(*parts_.clock, patience,
                                       answer_of(*parts_.person, again, answer), "the person");
        if (!in_time || !answer) co_return now.error();
    }
    auto ready = co_await home_if_lost();
    co_return ready;
}

Act<void> Workstand::note_link(std::string step, unsigned requests) {
    record::LinkLook look;
    look.step = std::move(step);
    look.requests = requests;
    const std::uint64_t before = unit_.link_count().repeated;
    unsigned silent = 0;
    for (unsigned i = 0; i < requests; ++i) {
        const port::Instant begun = parts_.clock->now();
        auto who = co_await unit_.identify();
        silent = who ? 0 : silent + 1;
        if (silent == silent_in_a_row) co_return who.error();
        const auto took = parts_.clock->now() - begun;
        const auto us = std::chrono::duration_cast<std::chrono::microseconds>(took).count();
        look.slowest_us = std::max<std::int64_t>(look.slowest_us, us);
    }
    look.repeated = static_cast<std::uint32_t>(unit_.link_count().repeated - before);
    auto supply = co_await unit_.supply();
    if (!supply) co_return supply.error();
    look.supply = *supply;
    look.at_us = now_us();
    seen.link_looks.push_back(std::move(look));
    co_return port::Outcome<void>();
}

}  // namespace padtrim::engine
