// What the parts of the Reader share: its connection, and one read of one moment of the ledger.
#pragma once

#include <map>
#include <memory>
#include <string>
#include <utility>

#include "db/ledger/connection.hpp"
#include "db/ledger/reader.hpp"
#include "db/ledger/store_faults.hpp"
#include "db/ledger/stored_words.hpp"

namespace padtrim::ledger {

struct Reader::State {
    std::string path;
    Connection database;
    std::map<std::string, std::shared_ptr<const void>> of_plans{};

    // Work gets the database and gives T; SQLite's errors and damaged rows become faults.
    template <class T, class Work>
    Stored<T> ask(Work work) {
        try {
            const Transaction one_moment(*database, Transaction::Kind::reading);
            return Stored<T>(work(*database));
        } catch (const SQLite::Exception& error) {
            return fault_of(error, path);
        } catch (const UnknownWord& error) {
            return out_of_order("the ledger '" + path + "' is damaged: " + error.what());
        }
    }
};

}  // namespace padtrim::ledger
