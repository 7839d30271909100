// Rights as chmod(2) sets them.
#include "station/files/secret_file.hpp"

#include <filesystem>
#include <fstream>

#include <gtest/gtest.h>

#include "tests/support/temporary_folder.hpp"

namespace padtrim::files {
namespace {

using std::filesystem::perms;

TEST(SecretFile, IsReadWholeByItsOwnerAndNotWhenOthersMayTouchIt) {
    const support::TemporaryFolder folder;
    const std::string path = folder.file("key");
    const std::string text(10'000, 'k');
    std::ofstream(path) << text;
    struct Row {
        perms rights;
        bool shown;
    };
    for (const Row& row :
         {Row{perms{0600}, false}, Row{perms{0400}, false}, Row{perms{0640}, false},
          Row{perms{0604}, true}, Row{perms{0602}, true}, Row{perms{0620}, true},
          Row{perms{0644}, true}, Row{perms{0660}, true}}) {
        std::filesystem::permissions(path, row.rights);
        const Secret secret = secret_in(path);
        EXPECT_TRUE(secret.there);
        EXPECT_EQ(secret.shown, row.shown) << static_cast<int>(row.rights);
        EXPECT_EQ(secret.text, row.shown ? "" : text);
    }
}

TEST(SecretFile, SaysWhenItIsNotThere) {
    EXPECT_FALSE(secret_in("/no/such/key").there);
    const support::TemporaryFolder folder;
    EXPECT_FALSE(secret_in(folder.path()).there) << "a folder";
}

}  // namespace
}  // namespace padtrim::files
