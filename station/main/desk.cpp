#include "station/main/desk.hpp"

#include "station/answers/names.hpp"
#include "station/answers/printable.hpp"
#include "station/main/author_questions.hpp"

namespace padtrim {

std::string missing_of(const std::string& asks, const std::string& who, const std::string& why) {
    if (answers::blank(who)) return asks;
    if (answers::blank(why)) return "Say why, for the records: --why TEXT.";
    return answers::wrong_with_name("person", who);
}

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
