#include "station/answers/names.hpp"

#include <string>

#include <gtest/gtest.h>

namespace padtrim::answers {
namespace {

TEST(Names, MayBeWhatPeopleWriteOnTravellers) {
    for (const char* name : {"2231", "late shift 14/3", "Lot \"B\"", "Grün-7", "../etc", "<b>"}) {
        EXPECT_EQ(wrong_with_name("lot", name), "") << name;
    }
}

TEST(Names, AreOneVisibleLine) {
    EXPECT_EQ(wrong_with_name("lot", ""), "The name of the lot is empty. Give one.");
    EXPECT_EQ(wrong_with_name("lot", std::string(65, 'x')),
              "The name of the lot is longer than 64 characters. Shorten it.");
    EXPECT_EQ(wrong_with_name("lot", std::string(64, 'x')), "");
    for (const std::string& name : {std::string("a\nb"), std::string("a\0b", 3),
                                    std::string("\xff\xfe"), std::string("\x1b[2J")}) {
        EXPECT_NE(wrong_with_name("lot", name).find("control characters"), std::string::npos);
    }
    EXPECT_NE(wrong_with_name("station", "x "), "");
}

TEST(Names, SignWithAReason) {
    EXPECT_EQ(wrong_with_signature("M", "broken glass"), "");
    EXPECT_EQ(wrong_with_signature("", "x"), "The name of the person (--who) is empty. Give one.");
    EXPECT_EQ(wrong_with_signature("M", " \t"), "The reason is empty. Give one with --why.");
    EXPECT_EQ(wrong_with_signature("M", "", SignedBy::call), "The reason is empty. Give one.");
    EXPECT_EQ(wrong_with_signature("", "", SignedBy::call),
              "The name of the person is empty. Give one.");
}

}  // namespace
}  // namespace padtrim::answers
