#include "station/main/desk.hpp"

#include "station/main/author_questions.hpp"

namespace padtrim {

int Desk::open(const std::string& records) {
    auto opened =
        ledger::Ledger::open(records, context.get_executor(), ledger::Writing::inline_calls);
    if (!opened) return give_up(opened.error());
    ledger = std::move(opened.value());
    auto beside = ledger::Reader::open(records);
    if (!beside) return give_up(beside.error());
    reader = std::move(beside.value());
    return 0;
}

}  // namespace padtrim
