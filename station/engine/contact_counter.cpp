#include "station/engine/contact_counter.hpp"

namespace padtrim::engine {

ContactCounter::Contact& ContactCounter::at(std::uint16_t coil) {
    if (coil >= contacts_.size()) contacts_.resize(std::size_t{coil} + 1);
    return contacts_[coil];
}

port::Task<port::Outcome<void>> ContactCounter::set(std::span<const port::CoilState> coils) {
    const std::vector<port::CoilState> wanted(coils.begin(), coils.end());
    auto done = co_await bank_.set(coils);
    if (!done) co_return done.error();
    for (const port::CoilState& coil : wanted) {
        Contact& contact = at(coil.coil);
        if (coil.closed && !contact.closed) ++contact.operations;
        contact.closed = coil.closed;
    }
    co_return done;
}

port::Task<port::Outcome<void>> ContactCounter::holds(std::span<const port::CoilState> coils) {
    auto held = co_await bank_.holds(coils);
    co_return held;
}

port::Task<port::Outcome<bool>> ContactCounter::input(std::uint16_t number) {
    auto closed = co_await bank_.input(number);
    co_return closed;
}

port::Task<port::Outcome<void>> ContactCounter::open_all() {
    auto open = co_await bank_.open_all();
    if (open)
        for (Contact& contact : contacts_) contact.closed = false;
    co_return open;
}

std::vector<record::CoilOperations> ContactCounter::take() {
    std::vector<record::CoilOperations> counted;
    for (std::size_t coil = 0; coil < contacts_.size(); ++coil) {
        if (contacts_[coil].operations == 0) continue;
        counted.push_back({static_cast<std::uint16_t>(coil), contacts_[coil].operations});
        contacts_[coil].operations = 0;
    }
    return counted;
}

}  // namespace padtrim::engine
