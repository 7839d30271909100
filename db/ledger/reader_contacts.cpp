// How often the contacts of a fixture worked.
#include "db/ledger/reader.hpp"
#include "db/ledger/reader_state.hpp"
#include "db/ledger/statement.hpp"

namespace padtrim::ledger {

Reader::Stored<std::vector<record::ContactStanding>> Reader::contacts(const std::string& station,
                                                                      const std::string& fixture) {
    return state_->ask<std::vector<record::ContactStanding>>([&](Database& database) {
        Query row(database,
                  "SELECT coil, operations, max(contact_count.id),"
                  " (SELECT max(earlier.replacement) FROM contact_count AS earlier"
                  "  WHERE earlier.station = contact_count.station"
                  "  AND earlier.fixture = contact_count.fixture"
                  "  AND earlier.coil = contact_count.coil)"
                  " FROM contact_count JOIN station ON station.id = contact_count.station"
                  " WHERE station.name = ? AND fixture = ? GROUP BY coil ORDER BY coil");
        row.with(station, fixture);
        std::vector<record::ContactStanding> contacts;
        Query replaced(database, "SELECT at, who, why FROM contact_replacement WHERE id = ?");
        while (row.next()) {
            record::ContactStanding& contact = contacts.emplace_back();
            contact.coil = row.at<std::uint16_t>(0);
            contact.operations = row.at<std::uint64_t>(1);
            if (row.null_at(3) || !replaced.with(row.integer_at(3)).next()) continue;
            contact.replaced = replaced.time_at(0);
            contact.who = replaced.text_at(1);
            contact.why = replaced.text_at(2);
        }
        return contacts;
    });
}

}  // namespace padtrim::ledger
