// `padtrim ports` beside a virtual bench on pseudo-terminals, each in a process of its own.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/station/cli/line_program.hpp"

namespace padtrim {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::Not;

class PortsProgram : public test_support::LineProgram {
  protected:
    int ask(const Words& more = {}) {
        Words words{"ports", "--ports", ports, "--fixture", profile, "--unit", unit};
        words.insert(words.end(), more.begin(), more.end());
        return run(words);
    }
};

TEST_F(PortsProgram, ListsTheNamesAndWhatAnswered) {
    start_bench();
    EXPECT_EQ(ask(), 3) << said;  // no unit has power
    EXPECT_THAT(said, AllOf(HasSubstr("listed    " + ports + "/relays"),
                            HasSubstr("relay board on relays: "), HasSubstr(" coils, 0 closed"),
                            HasSubstr("motion controller on finger: greets \""),
                            HasSubstr("climate sensor on climate: "),
                            HasSubstr("unit in nest 1 on nest-1: no answer.")));
    EXPECT_EQ(run({"ports", "--ports", ports, "--fixture", profile, "--json"}), 0) << complained;
    EXPECT_THAT(said, AllOf(HasSubstr("\"devices\":[{\"device\":\"relay board\",\"port\":"
                                      "\"relays\",\"result\":\"answered\""),
                            HasSubstr("\"result\":\"not asked\"")));
}

TEST_F(PortsProgram, SaysOfEachDeviceThatItsPortIsMissing) {
    EXPECT_EQ(ask(), 3);
    EXPECT_THAT(said, HasSubstr("relay board on relays: no answer. There is no port " + ports));
    EXPECT_EQ(run({"ports", "--ports", folder.file("nowhere")}), 3);
    EXPECT_THAT(complained, HasSubstr("There is no folder of ports"));
}

TEST_F(PortsProgram, AsksNothingWithoutAProfile) {
    start_bench();
    EXPECT_EQ(run({"ports", "--ports", ports}), 0) << complained;
    EXPECT_THAT(said, AllOf(HasSubstr(ports + "/finger"), Not(HasSubstr("relay board"))));
    EXPECT_EQ(run({"ports", "--fixture", unit}), 2);
    EXPECT_EQ(run({"ports", "--unit", unit}), 2);
}

}  // namespace
}  // namespace padtrim
