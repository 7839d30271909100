// Percent-encoding as in RFC 3986, section 2.1.
#include "station/web/query.hpp"

#include <gtest/gtest.h>

namespace padtrim::web {
namespace {

TEST(Query, DecodesOneOfItsMembers) {
    EXPECT_EQ(query_value("serial=HOB8-1&run=2", "run"), "2");
    EXPECT_EQ(query_value("serial=HOB8%2D1+x", "serial"), "HOB8-1 x");
    EXPECT_EQ(query_value("serial=%C3%A4", "serial"), "\u00e4");
    EXPECT_EQ(query_value("a&b=", "a"), "");
    EXPECT_EQ(query_value("a&b=", "b"), "");
    EXPECT_EQ(query_value("a=b=c", "a"), "b=c");
}

TEST(Query, HasNoValueWhereThereIsNone) {
    EXPECT_EQ(query_value("", "run"), std::nullopt);
    EXPECT_EQ(query_value("runs=2", "run"), std::nullopt);
    for (const char* broken : {"run=%", "run=%2", "run=%zz", "run=%-1", "run=%2 "})
        EXPECT_EQ(query_value(broken, "run"), std::nullopt) << broken;
}

}  // namespace
}  // namespace padtrim::web
