// `padtrim teach` beside a virtual bench on pseudo-terminals, each in a process of its own; what a
// person types comes through a pseudo-terminal, too.
#include <csignal>
#include <filesystem>
#include <functional>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <unistd.h>

#include "recipes/language/load.hpp"
#include "tests/station/cli/line_program.hpp"
#include "tests/support/pseudo_terminal.hpp"

namespace padtrim {
namespace {

using test_support::Spawned;
using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::Not;

class TeachProgram : public test_support::LineProgram {
  protected:
    // The bench has the shipped profile; the one that is taught is off by 1.8 and -1.2 mm.
    void start(const std::string& more = "", const std::function<void()>& first = {}) {
        start_bench();
        if (first) first();
        profile_with("origin_x = \"20 mm\"", "origin_x = \"21.8 mm\"  # by ruler");
        profile_with("origin_y = \"40 mm\"", "origin_y = \"38.8 mm\"");
        teach_ = std::make_unique<Spawned>(Words{
            "/bin/sh", "-c",
            "exec " + program + " teach --fixture " + profile + " --unit " + unit + " --ports " +
                ports + " --out " + out_ + " " + more + " < " + keyboard_.path()});
    }
    void type(const std::string& lines) const {
        keyboard_.send({reinterpret_cast<const std::uint8_t*>(lines.data()), lines.size()});
    }
    void clear() {
        type("clear\n");
        ASSERT_TRUE(teach_->until("homed and lifted")) << teach_->err();
    }

    // Returns in the middle of it.
    void search() {
        type("find power\n");
        ASSERT_TRUE(teach_->until_complaint("power: X")) << teach_->err();
    }

    const std::string out_ = folder.file("taught.toml");
    test::PseudoTerminal keyboard_;
    std::unique_ptr<Spawned> teach_;
};

TEST_F(TeachProgram, FindsKeysAndWritesTheOriginWithRemarksKept) {
    start();
    clear();
    type("find power\nfind boost\n");
    ASSERT_TRUE(teach_->until("boost: centre at")) << teach_->err();
    type("write\n");
    EXPECT_EQ(teach_->wait(), 0) << teach_->err();
    EXPECT_THAT(teach_->err(), AllOf(HasSubstr("Caution: "), HasSubstr("Type clear"),
                                     HasSubstr("change "), HasSubstr("Enter within")));
    EXPECT_THAT(teach_->out(), HasSubstr("from 2 keys (before: 21.80, 38.80)"));
    const auto taught = language::read_fixture_profile(whole_file(out_), out_);
    ASSERT_TRUE(taught.value) << document::text_of(taught.diagnostics);
    EXPECT_NEAR(taught.value->nests[0].origin_x.value(), 20.0, 0.15);
    EXPECT_NEAR(taught.value->nests[0].origin_y.value(), 40.0, 0.15);
    EXPECT_THAT(whole_file(out_), HasSubstr(" mm\"  # by ruler"));
}

TEST_F(TeachProgram, MovesNothingWithoutAClearWord) {
    start();
    type("yes\n");
    EXPECT_EQ(teach_->wait(), 1);
    EXPECT_THAT(teach_->err(), AllOf(HasSubstr("Caution: "), HasSubstr("nothing was moved")));
    EXPECT_EQ(teach_->out(), "");
    EXPECT_FALSE(std::filesystem::exists(out_));
}

TEST_F(TeachProgram, StopsByAWordAndGoesOnByAnother) {
    start();
    clear();
    search();
    type("x 1\nStop\n");  // the step was typed before the stop: it is forgotten
    ASSERT_TRUE(teach_->until_complaint("types clear")) << teach_->err();
    type("clear\n");
    ASSERT_TRUE(teach_->until("stands at")) << teach_->err();
    type("x  1\n");
    ASSERT_TRUE(teach_->until("stands at", 2)) << teach_->err();
    type("hum\n");
    type("quit\n");
    EXPECT_EQ(teach_->wait(), 1);
    EXPECT_THAT(teach_->err(), AllOf(HasSubstr("Stopped by hand."), HasSubstr("types clear"),
                                     HasSubstr("\"hum\" is no word")));
    EXPECT_FALSE(std::filesystem::exists(out_));
}

TEST_F(TeachProgram, StopsWhenNobodySaysThatTheyAreThere) {
    start("--lease 2");
    clear();
    type("all\n");
    ASSERT_TRUE(teach_->until("homed and lifted"));
    EXPECT_EQ(teach_->wait(std::chrono::seconds(1)), -1);  // it waits for a person
    type("where\nquit\n");
    EXPECT_EQ(teach_->wait(), 3);
    EXPECT_THAT(teach_->err(), HasSubstr("Nothing was heard from the person for 2 s"));
}

TEST_F(TeachProgram, TellsWhatIsWrongBeforeAnythingIsOpened) {
    EXPECT_EQ(run({"teach", "--fixture", profile, "--unit", unit}), 2);
    EXPECT_THAT(complained, HasSubstr("--out FILE"));
    EXPECT_EQ(run({"teach", "--fixture", profile, "--unit", unit, "--out", out_, "--nest", "9"}),
              2);
    EXPECT_THAT(complained, HasSubstr("no nest 9"));
    EXPECT_EQ(run({"teach", "--fixture", unit, "--unit", profile, "--out", out_}), 2);
    EXPECT_EQ(run({"teach", "--fixture", profile, "--unit", unit, "--out", profile}), 2);
    EXPECT_THAT(complained, HasSubstr("is there already"));
    EXPECT_EQ(run({"teach", "--fixture", profile, "--unit", unit, "--out", folder.file("no/x")}),
              2);
    EXPECT_THAT(complained, HasSubstr("There is no folder"));
    EXPECT_EQ(run({"teach", "--fixture", profile, "--unit", unit, "--out", out_}), 2);
    EXPECT_THAT(complained, HasSubstr("Type the words at a terminal"));
}

// Whoever types in a fright need not spell.
TEST_F(TeachProgram, TakesAWordThatIsNoneForAStopWhileTheFingerMoves) {
    start();
    clear();
    search();
    type("STPO\nwhere\n");
    type("quit\n");
    EXPECT_EQ(teach_->wait(), 3) << teach_->out();
    EXPECT_THAT(teach_->err(), HasSubstr("\"STPO\" is no word"));
}

// "write" was typed for a search that failed, or that was not waited for.
TEST_F(TeachProgram, ForgetsWhatWasTypedAheadOfAFailure) {
    start();
    clear();
    type("find boost\n");
    ASSERT_TRUE(teach_->until("boost: centre at")) << teach_->err();
    search();
    type("write\n");
    bench->signal(SIGRTMIN);  // the guard opens
    ASSERT_TRUE(teach_->until_complaint("guard door")) << teach_->err();
    type("quit\n");
    EXPECT_EQ(teach_->wait(), 3) << teach_->out();
    EXPECT_FALSE(std::filesystem::exists(out_));
}

// A search that nobody waits for any more is not gone on with.
TEST_F(TeachProgram, EndsASearchAtQuitAndLiftsTheFinger) {
    start();
    clear();
    search();
    type("quit\n");
    EXPECT_EQ(teach_->wait(), 1) << teach_->err();
    EXPECT_EQ(teach_->out().find("centre at"), std::string::npos);
}

TEST_F(TeachProgram, StopsWhenTheTerminalIsClosed) {
    start();
    clear();
    search();
    keyboard_.hang_up();
    EXPECT_EQ(teach_->wait(), 3) << teach_->err();
    EXPECT_THAT(teach_->err(), HasSubstr("The terminal was closed."));
}

TEST_F(TeachProgram, SaysThatTheGuardIsOpenWhenSomebodyClears) {
    start("", [this] { bench->signal(SIGRTMIN); });  // opens it
    type("clear\n");
    EXPECT_EQ(teach_->wait(), 3);
    EXPECT_THAT(teach_->err(), AllOf(HasSubstr("guard"), Not(HasSubstr("homed and lifted"))));
}

// A link stays a link, and who may read the profile may still.
TEST_F(TeachProgram, WritesThroughASymbolicLinkAndKeepsPermissions) {
    start();
    teach_.reset();
    const std::string link = folder.file("linked.toml");
    std::filesystem::create_symlink(profile, link);
    std::filesystem::permissions(profile, std::filesystem::perms{0640});
    teach_ = std::make_unique<Spawned>(Words{"/bin/sh", "-c",
                                             "exec " + program + " teach --fixture " + link +
                                                 " --unit " + unit + " --ports " + ports +
                                                 " --write < " + keyboard_.path()});
    clear();
    type("find power\nwrite\n");
    EXPECT_EQ(teach_->wait(), 0) << teach_->err();
    EXPECT_TRUE(std::filesystem::is_symlink(link));
    EXPECT_EQ(std::filesystem::status(profile).permissions(), std::filesystem::perms{0640});
    const auto taught = language::read_fixture_profile(whole_file(profile), profile);
    ASSERT_TRUE(taught.value);
    EXPECT_NEAR(taught.value->nests[0].origin_x.value(), 20.0, 0.15);
}

}  // namespace
}  // namespace padtrim
