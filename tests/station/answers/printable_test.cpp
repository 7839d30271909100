#include "station/answers/printable.hpp"

#include <random>

#include <gtest/gtest.h>

namespace padtrim::answers {
namespace {

TEST(Printable, LeavesOrdinaryTextAlone) {
    EXPECT_EQ(printable("HOB8-00417"), "HOB8-00417");
    EXPECT_EQ(printable("Größe µ 板"), "Größe µ 板");
}

TEST(Printable, ShowsControlCharactersInsteadOfObeyingThem) {
    EXPECT_EQ(printable("A\x1b[2JB"), "A\\x1b[2JB");
    EXPECT_EQ(printable("A\nB\r\t"), "A\\x0aB\\x0d\\x09");
    EXPECT_EQ(printable(std::string("A\0B", 3)), "A\\x00B");
    EXPECT_EQ(printable("\xc2\x9b[0m"), "\\u{9b}[0m");  // the one-byte CSI of ISO 6429
}

TEST(Printable, ShowsMarksThatReverseOrHideText) {
    EXPECT_EQ(printable("12\u202e34"), "12\\u{202e}34");
    EXPECT_EQ(printable("12\u200b34"), "12\\u{200b}34");
}

// RFC 3629, sections 3 and 10: overlong forms, surrogates and cut sequences are not UTF-8.
TEST(Printable, ShowsBytesThatAreNotUtf8) {
    EXPECT_EQ(printable("\xc0\x80"), "\\xc0\\x80");
    EXPECT_EQ(printable("\xed\xa0\x80"), "\\xed\\xa0\\x80");
    EXPECT_EQ(printable("\xf4\x90\x80\x80"), "\\xf4\\x90\\x80\\x80");
    EXPECT_EQ(printable("\xe2\x82"), "\\xe2\\x82");
}

TEST(Printable, CutsWhatIsTooLong) {
    EXPECT_EQ(printable("abcdef", 4), "abcd...");
    EXPECT_LE(columns(printable(std::string(100'000, 'x'))), 203u);
}

TEST(Printable, NeverLetsAControlByteThroughWhateverComesIn) {
    std::mt19937 random(7);
    for (int round = 0; round < 2000; ++round) {
        std::string bytes(random() % 24, ' ');
        for (char& byte : bytes) byte = static_cast<char>(random() % 256);
        for (const char byte : printable(bytes)) {
            const auto value = static_cast<unsigned char>(byte);
            EXPECT_GE(value, 0x20);
            EXPECT_NE(value, 0x7f);
        }
    }
}

TEST(Fitted, CutsAndFillsByColumnsNotBytes) {
    EXPECT_EQ(fitted("µµµ", 2), "µµ");
    EXPECT_EQ(fitted("µ", 3), "µ  ");
    EXPECT_EQ(columns(fitted("┃╳┃", 5)), 5u);
}

}  // namespace
}  // namespace padtrim::answers
