// The daemon's file is read by another process: flock is per open file, so one process serves here.
#include "station/main/daemon_file.hpp"

#include <filesystem>
#include <fstream>

#include <gtest/gtest.h>

#include "tests/support/temporary_folder.hpp"

namespace padtrim {
namespace {

TEST(DaemonFile, IsFoundWhileItsDaemonLivesAndNotAfter) {
    const support::TemporaryFolder folder;
    const std::string records = folder.file("lots.sqlite");
    EXPECT_FALSE(find_daemon(records));
    {
        auto claimed = DaemonFile::claim(records);
        auto* file = std::get_if<DaemonFile>(&claimed);
        ASSERT_TRUE(file);
        EXPECT_FALSE(find_daemon(records)) << "it has not told its place yet";
        file->tell({"line \"3\"", 8480, "/dev/serial/by-id"});
        const auto place = find_daemon(records);
        ASSERT_TRUE(place);
        EXPECT_EQ(place->station, "line \"3\"");
        EXPECT_EQ(place->port, 8480);
        EXPECT_EQ(place->ports, "/dev/serial/by-id");
    }
    EXPECT_FALSE(find_daemon(records));
    EXPECT_FALSE(std::filesystem::exists(records + ".daemon"));
}

TEST(DaemonFile, OfAKilledDaemonMeansNothing) {
    const support::TemporaryFolder folder;
    const std::string records = folder.file("lots.sqlite");
    std::ofstream(records + ".daemon") << "{\"station\":\"S\",\"port\":8480,\"pid\":1}\n";
    EXPECT_FALSE(find_daemon(records));
    EXPECT_TRUE(std::holds_alternative<DaemonFile>(DaemonFile::claim(records)));
}

TEST(DaemonFile, IsHeldByOneDaemonOnly) {
    const support::TemporaryFolder folder;
    const std::string records = folder.file("lots.sqlite");
    const auto first = DaemonFile::claim(records);
    const auto second = DaemonFile::claim(records);
    ASSERT_TRUE(std::holds_alternative<GivesUp>(second));
    EXPECT_EQ(std::get<GivesUp>(second).exit_code, cli::station_fault);
}

TEST(DaemonFile, WantsAFolderThatExists) {
    const auto claimed = DaemonFile::claim("no/such/folder/lots.sqlite");
    ASSERT_TRUE(std::holds_alternative<GivesUp>(claimed));
    EXPECT_EQ(std::get<GivesUp>(claimed).exit_code, cli::bad_input);
}

TEST(DaemonFile, WithNonsenseInItNamesNoPlace) {
    const support::TemporaryFolder folder;
    const std::string records = folder.file("lots.sqlite");
    auto claimed = DaemonFile::claim(records);
    for (const char* text : {"", "rubbish", "{\"station\":\"S\"}", "{\"station\":1,\"port\":2}",
                             "{\"station\":\"S\",\"port\":70000}", "[]"}) {
        std::ofstream(records + ".daemon", std::ios::trunc) << text;
        EXPECT_FALSE(find_daemon(records)) << text;
    }
}

}  // namespace
}  // namespace padtrim
