// Counts what wears: each coil that really closes, on its way to the relay bank. One closing and
// opening is one operation; a nest's pins touch once when their coil closes.
//
// A decorator: everything else passes. Counts are of commands that the bank accepted; what a bank
// did before it failed is not counted. Threading: the lot's io_context. The bank outlives it.
#pragma once

#include <vector>

#include "db/record/contact_count.hpp"
#include "fixtures/port/devices.hpp"

namespace padtrim::engine {

class ContactCounter final : public port::RelayBank {
  public:
    explicit ContactCounter(port::RelayBank& bank) : bank_(bank) {}

    [[nodiscard]] port::Task<port::Outcome<void>> set(
        std::span<const port::CoilState> coils) override;
    [[nodiscard]] port::Task<port::Outcome<void>> holds(
        std::span<const port::CoilState> coils) override;
    [[nodiscard]] port::Task<port::Outcome<bool>> input(std::uint16_t number) override;
    [[nodiscard]] port::Task<port::Outcome<void>> open_all() override;

    // Since the last take.
    [[nodiscard]] std::vector<record::CoilOperations> take();

  private:
    struct Contact {
        bool closed = false;
        std::uint64_t operations = 0;
    };
    [[nodiscard]] Contact& at(std::uint16_t coil);
    port::RelayBank& bank_;
    std::vector<Contact> contacts_;
};

}  // namespace padtrim::engine
