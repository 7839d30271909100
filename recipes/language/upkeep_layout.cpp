// The layout of [stop_rule], [stack_light], [contact_lives] and [identity] in a fixture profile.
#include "recipes/language/layouts.hpp"

namespace padtrim::language {

using document::between;
using document::Fields;
using document::may;
using document::must;

void describe(Fields& f, StopRule& rule) {
    f.add(
        may("same_failures",
            "so many units in a row that failed the same check in one nest: it calls for help and "
            "waits for a person"),
        rule.same_failures, between(2, 1000));
}

void describe(Fields& f, StackLight& light) {
    f.add(may("running_coil", "green: the lot runs"), light.running_coil);
    f.add(may("attention_coil", "yellow: a person is needed"), light.attention_coil);
    f.add(may("fault_coil", "red: a fault that a person has to look at"), light.fault_coil);
    f.add(may("buzzer_coil", "sounds when yellow or red comes on"), light.buzzer_coil);
    f.add(may("buzzer_time", "how long the buzzer sounds"), light.buzzer_time, between(100, 60000));
}

void describe(Fields& f, ContactLives& lives) {
    f.add(may("relay_life", "operations that a relay is rated for, at its load here"),
          lives.relay_life, between(1000, 1000000000000.0));
    f.add(may("pin_life", "touches that the pins of a nest are rated for"), lives.pin_life,
          between(1000, 1000000000000.0));
}

void describe(Fields& f, CodedIdentity& identity) {
    f.add(must("inputs", "of the relay board; the first is the lowest bit, closed is 1"),
          identity.inputs);
    f.add(must("number", "that they say of this fixture"), identity.number,
          between(0, 4294967295.0));
}

}  // namespace padtrim::language
