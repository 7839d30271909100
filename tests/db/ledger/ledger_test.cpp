#include "db/ledger/ledger.hpp"

#include <SQLiteCpp/SQLiteCpp.h>

#include "tests/support/journal_contract.hpp"
#include "tests/support/temporary_folder.hpp"

namespace padtrim::support {
namespace {

using ledger::Ledger;
using ledger::Writing;

JournalMaker on_disk(const std::string& name, Writing how) {
    // The folders live as long as the test program, for the journal is handed out bare.
    auto folders = std::make_shared<std::vector<std::unique_ptr<TemporaryFolder>>>();
    return {name, [folders, how](boost::asio::io_context& context) {
                folders->push_back(std::make_unique<TemporaryFolder>());
                auto opened = Ledger::open(folders->back()->file("station.ledger"),
                                           context.get_executor(), how);
                return std::unique_ptr<journal::Journal>(std::move(opened).value());
            }};
}

INSTANTIATE_TEST_SUITE_P(OnDisk, JournalContract,
                         testing::Values(on_disk("writer_thread", Writing::writer_thread),
                                         on_disk("inline_calls", Writing::inline_calls)),
                         [](const auto& maker) { return maker.param.name; });

}  // namespace
}  // namespace padtrim::support
