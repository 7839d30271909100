// The journal as the engine calls it: a call that was begun runs to its end even when the unit's
// work is cancelled meanwhile, and after the first store fault nothing more is stored.
//
// A store fault is handed on as the fault `refused` of the device "file of records", blamed on the
// fixture, so that it takes the same way out as any other; store_fault() tells it apart.
// Threading: the lot's io_context.
#pragma once

#include <optional>

#include "db/journal/journal.hpp"
#include "fixtures/port/devices.hpp"
#include "station/engine/act.hpp"

namespace padtrim::engine {

class Records {
  public:
    explicit Records(journal::Journal& journal) : journal_(journal) {}
    [[nodiscard]] journal::Journal& journal() { return journal_; }
    // Instantiated for the results that the journal has (records.cpp).
    template <class T>
    [[nodiscard]] Act<T> keep(journal::Task<journal::Stored<T>> call);
    [[nodiscard]] const std::optional<port::Fault>& store_fault() const { return fault_; }

  private:
    journal::Journal& journal_;
    std::optional<port::Fault> fault_;
};

}  // namespace padtrim::engine
