#include "station/main/disposal.hpp"

#include "db/ledger/reader.hpp"
#include "station/answers/dispositions.hpp"
#include "station/answers/printable.hpp"
#include "station/main/waited_for.hpp"

namespace padtrim {
namespace {

using web::Decision;
using web::Outcome;

std::string disposition_json(record::Disposition disposition) {
    return R"({"disposition":")" + std::string(record::name_of(disposition)) + R"("})";
}

Decision refused(const journal::StoreFault& fault) {
    return {Outcome::refused, fault.what, "Nothing was decided."};
}

}  // namespace

std::function<Decision()> disposal_of(ledger::Ledger& ledger, std::string records,
                                      web::DisposeRequest request, record::WallTime now) {
    return
        [&ledger, records = std::move(records), request = std::move(request), now]() -> Decision {
            const bool named = !request.serial.empty();
            const std::string unit = named ? answers::printable(request.serial, 60)
                                           : "of run " + std::to_string(request.run);
            const auto reader = ledger::Reader::open(records);
            if (!reader) return refused(reader.error());
            const auto run = answers::run_to_decide(**reader, request.serial, request.run);
            if (!run) return refused(run.error());
            if (!*run)
                return {Outcome::unknown,
                        named ? "No run of a unit '" + unit + "' has ended in these records."
                              : "No unit " + unit + " has ended in these records.",
                        named ? "Check the serial number." : "Look at it again."};
            if (request.run != 0 && request.run != (*run)->run)
                return {Outcome::refused,
                        "Unit " + unit + " was run again since you looked: run " +
                            std::to_string((*run)->run) + " is its newest.",
                        "Look at it again."};
            const auto kept = waited_for<void>(ledger.decide(
                (*run)->run, request.to, request.who, answers::printable(request.why, 2000), now));
            if (!kept) return refused(kept.error());
            return {Outcome::accepted,
                    "Unit " + unit + " is now: " + std::string(record::name_of(request.to)) + " (" +
                        answers::printable(request.who, 64) + ").",
                    "", disposition_json((*run)->disposition), disposition_json(request.to)};
        };
}

}  // namespace padtrim
