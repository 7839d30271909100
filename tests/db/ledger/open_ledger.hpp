// A new ledger with a reader beside it, for tests of single calls.
#pragma once

#include <memory>
#include <string>

#include <gtest/gtest.h>

#include "db/ledger/ledger.hpp"
#include "db/ledger/reader.hpp"
#include "tests/support/await.hpp"
#include "tests/support/temporary_folder.hpp"

namespace padtrim::ledger {

class OpenLedger : public testing::Test {
  protected:
    template <class T>
    T run(journal::Task<T> task) {
        return support::await(context_, std::move(task));
    }

    boost::asio::io_context context_;
    support::TemporaryFolder folder_;
    const std::string path_ = folder_.file("station.ledger");
    std::unique_ptr<Ledger> ledger_ =
        std::move(Ledger::open(path_, context_.get_executor(), Writing::inline_calls).value());
    std::unique_ptr<Reader> reader_ = std::move(Reader::open(path_).value());
};

}  // namespace padtrim::ledger
