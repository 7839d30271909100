#include "station/files/whole_file.hpp"

#include <fstream>
#include <sstream>

#include <gtest/gtest.h>

#include "tests/support/temporary_folder.hpp"

namespace padtrim::files {
namespace {

namespace fs = std::filesystem;

std::string content(const std::string& path) {
    std::stringstream text;
    text << std::ifstream(path).rdbuf();
    return text.str();
}

TEST(WholeFile, TakesThePlaceOfWhatWasThereWithThesePermissions) {
    const support::TemporaryFolder folder;
    const std::string path = folder.file("profile.toml");
    std::ofstream(path) << "before";
    EXPECT_TRUE(replace_file(path, "after\n", fs::perms{0600}));
    EXPECT_EQ(content(path), "after\n");
    EXPECT_EQ(fs::status(path).permissions(), fs::perms{0600});
}

TEST(WholeFile, LeavesNothingBesideItAndTouchesNobodysFile) {
    const support::TemporaryFolder folder;
    const std::string path = folder.file("profile.toml"), other = path + ".new";
    std::ofstream(other) << "somebody's";
    EXPECT_TRUE(replace_file(path, std::string(1 << 20, 'x'), fs::perms{0644}));
    EXPECT_EQ(content(other), "somebody's");
    EXPECT_EQ(std::distance(fs::directory_iterator(fs::path(path).parent_path()), {}), 2);
}

TEST(WholeFile, SaysWhenThereIsNoFolderForIt) {
    const support::TemporaryFolder folder;
    EXPECT_FALSE(replace_file(folder.file("nowhere/profile.toml"), "after", fs::perms{0644}));
}

}  // namespace
}  // namespace padtrim::files
