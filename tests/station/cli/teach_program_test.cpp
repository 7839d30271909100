// `padtrim teach` beside a virtual bench on pseudo-terminals, each in a process of its own; what a
// person types comes through a named pipe.
#include <filesystem>

#include <fcntl.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/stat.h>
#include <unistd.h>

#include "recipes/language/load.hpp"
#include "tests/station/cli/line_program.hpp"

namespace padtrim {
namespace {

using test_support::Spawned;
using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::Not;

class TeachProgram : public test_support::LineProgram {
  protected:
    void SetUp() override {
        ASSERT_EQ(::mkfifo(typed_.c_str(), 0600), 0);
        keyboard_ = ::open(typed_.c_str(), O_RDWR | O_CLOEXEC);
        ASSERT_GE(keyboard_, 0);
    }
    void TearDown() override { ::close(keyboard_); }
    // The bench has the shipped profile; the one that is taught is off by 1.8 and -1.2 mm.
    void start(const std::string& more = "") {
        start_bench();
        profile_with("origin_x = \"20 mm\"", "origin_x = \"21.8 mm\"  # by ruler");
        profile_with("origin_y = \"40 mm\"", "origin_y = \"38.8 mm\"");
        teach_ = std::make_unique<Spawned>(
            Words{"/bin/sh", "-c",
                  "exec " + program + " teach --fixture " + profile + " --unit " + unit +
                      " --ports " + ports + " --out " + out_ + " " + more + " < " + typed_});
    }
    void type(const std::string& lines) const {
        ASSERT_EQ(::write(keyboard_, lines.data(), lines.size()),
                  static_cast<ssize_t>(lines.size()));
    }
    void clear() {
        type("clear\n");
        ASSERT_TRUE(teach_->until("homed and lifted")) << teach_->err();
    }

    const std::string typed_ = folder.file("typed"), out_ = folder.file("taught.toml");
    int keyboard_ = -1;
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
    type("find power\nx 1\nstop\n");  // the step was typed before the stop: it is forgotten
    type("where\n");
    ASSERT_TRUE(teach_->until("stands at")) << teach_->err();
    type("x 1\nclear\n");
    ASSERT_TRUE(teach_->until("The finger may move")) << teach_->err();
    type("z -5\nhum\nquit\n");
    ASSERT_TRUE(teach_->until("stands at", 2)) << teach_->err();
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
    type("where\n");
    ASSERT_TRUE(teach_->until("stands at", 1)) << teach_->err();
    type("quit\n");
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
}

}  // namespace
}  // namespace padtrim
