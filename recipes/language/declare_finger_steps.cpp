// Declarations of the steps of finger_steps.hpp.
#include "recipes/language/declare_step.hpp"
#include "recipes/language/words.hpp"

namespace padtrim::language {

using document::above;
using document::between;
using document::may;
using document::must;

StepDeclaration declare_approach() {
    return Declare<ApproachStep>(
               "approach curve",
               "Takes the counts at falling heights over each key, finds the surface of this unit "
               "in them, then looks for the height at which the product reports the finger and the "
               "one at which it lets go.",
               "raw counts and heights in test mode; touch reports and heights outside it")
        .parameter(may("keys", "which keys; all when left out"), &ApproachStep::keys)
        .parameter(may("from", "highest look"), &ApproachStep::from, above(0))
        .parameter(may("interval", "of the curve, and of the operating distance"),
                   &ApproachStep::interval, above(0))
        .parameter(may("scans", "scans at each height"), &ApproachStep::scans, scan_range)
        .parameter(may("hold", "how long the product may take to report at one height"),
                   &ApproachStep::hold, between(10, 10000))
        .limit({"surface", "surface", "", Claim::traceable, "key",
                "height at which the finger meets this unit, against a nominal overlay; comparable "
                "only where the profile states no uncertainty of the axis"},
               &ApproachStep::surface)
        .limit({"operating distance", "operating_distance", "", Claim::comparable, "key",
                "height above this unit's surface at which a falling finger is first reported "
                "(IEC 60947-5-2)"},
               &ApproachStep::operating_distance)
        .limit({"differential travel", "differential_travel", "", Claim::comparable, "key",
                "release height minus operating distance (IEC 60947-5-2)"},
               &ApproachStep::differential_travel)
        .check("touch report", "key", "the product reports the finger on the surface");
}

StepDeclaration declare_response() {
    return Declare<ResponseStep>(
               "response time",
               "Lets the finger fall on each key and follows height and report meanwhile. Never "
               "told finer than the link resolves.",
               "height, touch report and time, in turn, while the finger falls")
        .parameter(may("keys", "which keys; all when left out"), &ResponseStep::keys)
        .parameter(may("from", "height at which each approach begins"), &ResponseStep::from,
                   above(0))
        .parameter(may("speed", "of the approach"), &ResponseStep::speed, above(0))
        .parameter(may("repeats", "approaches to each key"), &ResponseStep::repeats,
                   between(1, 100))
        .limit({"response time", "response_time", "", Claim::comparable, "key",
                "from reaching the operating distance to the report", true, Ends::upper},
               &ResponseStep::response_time);
}

StepDeclaration declare_slow_approach() {
    return Declare<SlowApproachStep>(
               "slow approach",
               "Lets the finger come so slowly that firmware which follows its resting level might "
               "take it for drift.",
               "height, touch report and time, in turn, while the finger falls")
        .parameter(may("keys", "which keys; all when left out"), &SlowApproachStep::keys)
        .parameter(may("from", "height at which the approach begins"), &SlowApproachStep::from,
                   above(0))
        .parameter(may("speed", "of the approach"), &SlowApproachStep::speed, above(0))
        .parameter(may("expect", "what the product has to make of it"), &SlowApproachStep::expect)
        .check("slow approach", "key",
               "the product reports the approach, or stays silent, as told");
}

StepDeclaration declare_proximity() {
    return Declare<ProximityStep>(
               "proximity",
               "Brings finger or target towards each proximity pad: response at a stated height, "
               "and the distance at which the product reports.",
               "raw counts far away and at the height; touch reports and heights")
        .parameter(may("keys", "which keys; all of kind proximity when left out"),
                   &ProximityStep::keys)
        .parameter(may("target", "of the fixture; the bare finger when left out"),
                   &ProximityStep::target)
        .parameter(may("from", "farthest look, from which the response counts"),
                   &ProximityStep::from, above(0))
        .parameter(may("height", "at which the response is stated"), &ProximityStep::height,
                   above(0))
        .parameter(may("interval", "of the operating distance"), &ProximityStep::interval, above(0))
        .parameter(may("scans", "scans at each height"), &ProximityStep::scans, scan_range)
        .parameter(may("hold", "how long the product may take to report at one height"),
                   &ProximityStep::hold, between(10, 10000))
        .limit({"proximity response", "response", "", Claim::comparable, "key and frequency",
                "mean change of the key's channels between the farthest look and the height"},
               &ProximityStep::response)
        .limit({"operating distance", "operating_distance", "", Claim::comparable, "key",
                "height at which the falling target is first reported (IEC 60947-5-2)", true},
               &ProximityStep::operating_distance)
        .check("touch report", "key", "the product reports the target on the surface");
}

StepDeclaration declare_sweep() {
    return Declare<SweepStep>("slider or wheel sweep",
                              "Touches each slider and wheel at places along its track.",
                              "touch report and position registers at each place")
        .parameter(may("keys", "which keys; all sliders and wheels when left out"),
                   &SweepStep::keys)
        .parameter(may("points", "places along each track"), &SweepStep::points, between(3, 200))
        .limit({"position non-linearity", "non_linearity", "", Claim::comparable, "key",
                "largest departure of the reported positions from the best straight line, of span",
                true, Ends::upper},
               &SweepStep::non_linearity)
        .limit({"position error", "position_error", "", Claim::comparable, "key",
                "reported position against the finger's, the largest of all places", false,
                Ends::upper},
               &SweepStep::position_error)
        .check("touch report", "key", "the product reports this key at every place, and no other");
}

StepDeclaration declare_hover() {
    return Declare<HoverStep>("hover sweep",
                              "Moves finger or target across the whole panel in a plane above it.",
                              "place, touch report and time, in turn, on the way")
        .parameter(may("target", "of the fixture; the bare finger when left out"),
                   &HoverStep::target)
        .parameter(may("height", "of the plane above the surface, up to 200 mm"),
                   &HoverStep::height, between(1, 200))
        .parameter(may("speed", "of the motion"), &HoverStep::speed, above(0))
        .parameter(may("expect", "whether the product has to report it or to stay silent"),
                   &HoverStep::expect)
        .check("hover report", "unit", "the product reports the target, or stays silent, as told");
}

StepDeclaration declare_wet_panel() {
    return Declare<WetPanelStep>("wet panel",
                                 "Lays a water phantom on the panel and watches what the product "
                                 "makes of it.",
                                 "the product's touch report, repeatedly, at each place")
        .parameter(must("target", "the water phantom, as the fixture names it"),
                   &WetPanelStep::target)
        .parameter(may("keys", "on which keys; on each in turn when left out"), &WetPanelStep::keys)
        .parameter(may("placed_by", "the finger, or the person at the station"),
                   &WetPanelStep::placed_by)
        .parameter(may("watch", "how long to watch at each place"), &WetPanelStep::watch,
                   between(10, 600'000))
        .check("wet report", "unit", "no key is reported");
}

}  // namespace padtrim::language
