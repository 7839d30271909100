// What a ledger says of files that it cannot use, each a real one.
#include <filesystem>
#include <fstream>

#include <SQLiteCpp/SQLiteCpp.h>
#include <fcntl.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sched.h>
#include <sys/mount.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "db/ledger/ledger.hpp"
#include "db/ledger/migrations.hpp"
#include "db/ledger/reader.hpp"
#include "db/ledger/store_faults.hpp"
#include "tests/support/await.hpp"
#include "tests/support/child_process.hpp"
#include "tests/support/lot_samples.hpp"
#include "tests/support/temporary_folder.hpp"

namespace padtrim::ledger {
namespace {

using journal::StoreFault;
using journal::StoreFaultKind;
using support::ChildProcess;
using support::TemporaryFolder;
using testing::AllOf;
using testing::HasSubstr;

class LedgerFiles : public testing::Test {
  protected:
    journal::Stored<std::unique_ptr<Ledger>> open(const std::string& path) {
        return Ledger::open(path, context_.get_executor(), Writing::inline_calls);
    }
    StoreFault refusal(const std::string& path) {
        auto opened = open(path);
        return opened ? StoreFault{StoreFaultKind::broken, "taken"} : opened.error();
    }
    static StoreFault reading_refusal(const std::string& path) {
        auto opened = Reader::open(path);
        return opened ? StoreFault{StoreFaultKind::broken, "taken"} : opened.error();
    }
    static std::string content(const std::string& path) {
        std::ifstream file(path, std::ios::binary);
        return {std::istreambuf_iterator<char>(file), {}};
    }
    std::vector<std::string> names() const {
        std::vector<std::string> found;
        for (const auto& entry : std::filesystem::directory_iterator(folder_.path()))
            found.push_back(entry.path().filename());
        return found;
    }

    boost::asio::io_context context_;
    TemporaryFolder folder_;
    const std::string path_ = folder_.file("station.ledger");
};

TEST_F(LedgerFiles, SayThatAFolderIsMissingAndMakeNothing) {
    for (const std::string& path : {folder_.file("no/such/station.ledger"), std::string()}) {
        EXPECT_EQ(refusal(path).kind, StoreFaultKind::missing);
        EXPECT_EQ(reading_refusal(path).kind, StoreFaultKind::missing);
        EXPECT_THAT(refusal(path).what, AllOf(HasSubstr("'" + path + "'"), HasSubstr("create")));
    }
    EXPECT_TRUE(names().empty());
}

TEST_F(LedgerFiles, AreNotMadeByReading) {
    EXPECT_EQ(reading_refusal(path_).kind, StoreFaultKind::missing);
    EXPECT_THAT(reading_refusal(path_).what, HasSubstr("there are no records"));
    EXPECT_TRUE(names().empty());
}

// Closing any descriptor of a file drops all of a process's POSIX locks on it (fcntl(2)): a reader
// that came and went must not leave the writer's log open to removal by another program.
TEST_F(LedgerFiles, StayLockedForTheWriterWhenAReaderOfItsProcessHasGone) {
    const auto ledger = open(path_);
    ASSERT_TRUE(ledger);
    ASSERT_TRUE(support::await(context_, ledger.value()->open_lot(support::sample_lot())));
    for (int i = 0; i < 3; ++i) EXPECT_TRUE(Reader::open(path_));
    EXPECT_EQ(refusal(path_).kind, StoreFaultKind::locked);
    const pid_t child = fork();
    if (child == 0) {  // only calls that are safe after fork
        const int file = ::open(path_.c_str(), O_RDWR);
        struct flock wanted {};
        wanted.l_type = F_WRLCK;
        wanted.l_whence = SEEK_SET;
        const bool asked = fcntl(file, F_GETLK, &wanted) == 0;
        _exit(!asked ? 2 : wanted.l_type == F_UNLCK ? 1 : 0);
    }
    int status = -1;
    ASSERT_EQ(waitpid(child, &status, 0), child);
    EXPECT_EQ(WEXITSTATUS(status), 0) << "another program could take the writer's log away";
}

TEST_F(LedgerFiles, MustNotBeFolders) {
    std::filesystem::create_directory(path_);
    EXPECT_THAT(refusal(path_).what, HasSubstr("is not a file of padtrim's records"));
    EXPECT_THAT(reading_refusal(path_).what, HasSubstr("is not a file of padtrim's records"));
    EXPECT_EQ(names().size(), 1U);
}

TEST_F(LedgerFiles, WithOtherContentStayAsTheyWere) {
    for (const std::string& rubbish : {std::string("x"), std::string(100'000, 'r'),
                                       std::string("SQLite format 2") + '\0' + "..."}) {
        std::ofstream(path_, std::ios::binary) << rubbish;
        EXPECT_EQ(refusal(path_).kind, StoreFaultKind::broken);
        EXPECT_THAT(refusal(path_).what, HasSubstr("is not a file of padtrim's records"));
        EXPECT_THAT(reading_refusal(path_).what, HasSubstr("is not a file of padtrim's records"));
        EXPECT_EQ(content(path_), rubbish);
        EXPECT_EQ(names().size(), 1U);
    }
}

TEST_F(LedgerFiles, WithAnSQLiteHeaderAndRubbishBehindAreNoLedgers) {
    std::ofstream(path_, std::ios::binary)
        << std::string("SQLite format 3") + '\0' + std::string(5000, 'r');
    EXPECT_EQ(refusal(path_).kind, StoreFaultKind::broken);
    EXPECT_THAT(refusal(path_).what, HasSubstr("'" + path_ + "'"));
}

TEST_F(LedgerFiles, OfAnotherApplicationStayAsTheyWere) {
    SQLite::Database(path_, SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE)
        .exec("CREATE TABLE recipes (soup TEXT)");
    const std::string before = content(path_);
    EXPECT_EQ(refusal(path_).kind, StoreFaultKind::broken);
    EXPECT_THAT(refusal(path_).what, HasSubstr("another application"));
    EXPECT_THAT(reading_refusal(path_).what, HasSubstr("another application"));
    EXPECT_EQ(content(path_), before);
}

TEST_F(LedgerFiles, OfANewerSchemaAreRefusedUnchanged) {
    ASSERT_TRUE(open(path_));
    SQLite::Database(path_, SQLite::OPEN_READWRITE)
        .exec("INSERT INTO schema_version (version, name) VALUES (99, 'from tomorrow')");
    const std::string before = content(path_);
    for (const StoreFault& fault : {refusal(path_), reading_refusal(path_)}) {
        EXPECT_EQ(fault.kind, StoreFaultKind::newer_schema);
        EXPECT_THAT(fault.what, AllOf(HasSubstr("schema version 99"), HasSubstr("newer padtrim")));
    }
    EXPECT_EQ(content(path_), before);
}

TEST_F(LedgerFiles, HaveOneWriterAtATimeAndItIsNamed) {
    ChildProcess other([&](const ChildProcess::Voice& parent) {
        auto held = open(path_);
        parent.say(held ? "+" : "-");
        if (held) pause();
    });
    ASSERT_EQ(other.hear(), '+');
    const StoreFault fault = refusal(path_);
    EXPECT_EQ(fault.kind, StoreFaultKind::locked);
    EXPECT_THAT(fault.what, AllOf(HasSubstr("process "), HasSubstr("'" + path_ + "'")));
    EXPECT_TRUE(Reader::open(path_));  // readers are always welcome
    other.kill_now();
    EXPECT_TRUE(open(path_));  // however the other ended
}

TEST_F(LedgerFiles, HaveOneWriterInAProcessToo) {
    const auto first = open(path_);
    ASSERT_TRUE(first);
    EXPECT_EQ(refusal(path_).kind, StoreFaultKind::locked);
}

// Root may write anywhere, so a child without rights looks.
std::string kind_seen_by_nobody(const std::string& path) {
    ChildProcess child([&](const ChildProcess::Voice& parent) {
        if (geteuid() == 0 && setuid(65534) != 0) _exit(3);
        boost::asio::io_context context;
        auto opened = Ledger::open(path, context.get_executor(), Writing::inline_calls);
        parent.say(opened ? "taken" : std::string(name_of(opened.error().kind)));
        auto read = Reader::open(path);
        parent.say(read ? " reads" : " " + std::string(name_of(read.error().kind)));
    });
    return child.hear_all();
}

TEST_F(LedgerFiles, WithoutTheRightToWriteAreReadOnlyAndCanStillBeRead) {
    ASSERT_TRUE(open(path_));
    chmod(path_.c_str(), 0444);
    chmod((path_ + ".lock").c_str(), 0444);
    chmod(folder_.path().c_str(), 0555);
    EXPECT_EQ(kind_seen_by_nobody(path_), "read-only reads");
    chmod((path_ + ".lock").c_str(), 0666);  // now the lock is taken and the ledger itself refuses
    EXPECT_EQ(kind_seen_by_nobody(path_), "read-only reads");
    chmod(folder_.path().c_str(), 0755);
}

TEST_F(LedgerFiles, InAFolderWithoutTheRightToWriteAreReadOnly) {
    chmod(folder_.path().c_str(), 0555);
    EXPECT_EQ(kind_seen_by_nobody(path_), "read-only missing");
    chmod(folder_.path().c_str(), 0755);
}

// A file system of 1.4 MB that only the child sees. Rows go in until one does not fit; then room
// is made and the ledger goes on.
TEST_F(LedgerFiles, OnAFullDiskKeepWhatTheyHaveAndGoOnWhenThereIsRoom) {
    ChildProcess child([&](const ChildProcess::Voice& parent) {
        if (unshare(CLONE_NEWNS) != 0 || mount("", "/", "", MS_REC | MS_PRIVATE, nullptr) != 0 ||
            mount("none", folder_.path().c_str(), "tmpfs", 0, "size=1400k") != 0)
            return parent.say("no mount");
        std::ofstream(folder_.file("ballast")) << std::string(400'000, 'b');
        auto ledger = std::move(open(path_).value());
        const auto lot = support::await(context_, ledger->open_lot(support::sample_lot())).value();
        std::optional<StoreFault> fault;
        std::size_t stored = 0;
        while (!fault) {
            const auto run = support::sample_run(lot, "A1" + std::string(3000, 'x'));
            const auto id = support::await(context_, ledger->start_run(run));
            if (id) {
                ++stored;
            } else {
                fault = id.error();
            }
        }
        std::filesystem::remove(folder_.file("ballast"));
        const bool goes_on =
            support::await(context_, ledger->start_run(support::sample_run(lot, "A2"))).has_value();
        const auto left = support::await(context_, ledger->unfinished("S1")).value();
        parent.say(std::string(name_of(fault->kind)) + (goes_on ? ", goes on" : ", stuck") +
                   (left.size() == stored + 1 ? ", all there" : ", rows lost"));
    });
    const std::string seen = child.hear_all();
    if (seen == "no mount") GTEST_SKIP() << "needs the right to mount";
    EXPECT_EQ(seen, "full, goes on, all there");
}

TEST_F(LedgerFiles, LockedByAToolForTooLongAreReported) {
    const auto ledger = std::move(open(path_).value());
    SQLite::Database tool(path_, SQLite::OPEN_READWRITE);
    tool.exec("BEGIN IMMEDIATE");
    try {
        SQLite::Database(path_, SQLite::OPEN_READWRITE).exec("BEGIN IMMEDIATE");
        FAIL() << "two write transactions at once";
    } catch (const SQLite::Exception& error) {
        EXPECT_EQ(fault_of(error, path_).kind, StoreFaultKind::locked);
    }
}

}  // namespace
}  // namespace padtrim::ledger
