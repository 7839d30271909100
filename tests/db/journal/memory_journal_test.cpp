#include "tests/support/memory_journal.hpp"

#include "tests/support/journal_contract.hpp"

namespace padtrim::support {
namespace {

std::unique_ptr<journal::Journal> in_memory(boost::asio::io_context&) {
    return std::make_unique<MemoryJournal>();
}

INSTANTIATE_TEST_SUITE_P(InMemory, JournalContract,
                         testing::Values(JournalMaker{"memory", in_memory}),
                         [](const auto& maker) { return maker.param.name; });

TEST(MemoryJournal, FailsThePlannedCallAndStoresNothingOfIt) {
    boost::asio::io_context context;
    MemoryJournal journal;
    journal.fail_call(2, {journal::StoreFaultKind::full, "no space"});
    ASSERT_TRUE(await(context, journal.open_lot(sample_lot("L-1"))));
    const auto refused = await(context, journal.open_lot(sample_lot("L-2")));
    ASSERT_FALSE(refused);
    EXPECT_EQ(refused.error().kind, journal::StoreFaultKind::full);
    EXPECT_EQ(journal.lots.size(), 1U);
    EXPECT_TRUE(await(context, journal.open_lot(sample_lot("L-2"))));
}

TEST(StoreFault, NamesEveryKind) {
    using journal::StoreFaultKind;
    std::set<std::string_view> names;
    for (int kind = 0; kind <= static_cast<int>(StoreFaultKind::broken); ++kind)
        names.insert(journal::name_of(static_cast<StoreFaultKind>(kind)));
    EXPECT_EQ(names.size(), 6U);
    EXPECT_EQ(names.count(""), 0U);
}

}  // namespace
}  // namespace padtrim::support
