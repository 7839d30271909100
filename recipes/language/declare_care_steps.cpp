// Declarations of the steps of care_steps.hpp.
#include "recipes/language/declare_step.hpp"
#include "recipes/language/words.hpp"

namespace padtrim::language {

using document::between;
using document::may;
using document::must;

StepDeclaration declare_wait() {
    return Declare<WaitStep>("wait", "Lets time pass, in whatever situation the step before left.",
                             "nothing")
        .parameter(may("time", "how long"), &WaitStep::time, between(0, 3'600'000));
}

StepDeclaration declare_ask() {
    return Declare<AskStep>("ask the operator",
                            "Asks the person at the station a question that is answered yes or no.",
                            "question, answer and time")
        .parameter(must("text", "the question, as the person reads it"), &AskStep::text)
        .parameter(may("picture", "file or address of a picture that explains it"),
                   &AskStep::picture)
        .parameter(may("expect", "the answer that passes"), &AskStep::expect)
        .parameter(may("unattended", "what stands for an answer when nobody can be asked"),
                   &AskStep::unattended)
        .parameter(may("patience", "how long to wait for the answer"), &AskStep::patience,
                   between(1000, 3'600'000))
        .check("answer", "unit", "the person gave the expected answer");
}

StepDeclaration declare_warm_up() {
    return Declare<WarmUpStep>("warm-up",
                               "Looks at the readings once an interval until they stand still, or "
                               "until the time is over.",
                               "raw counts with all references open, a look an interval")
        .parameter(may("scans", "scans of one look"), &WarmUpStep::scans, scan_range)
        .parameter(may("interval", "from one look to the next"), &WarmUpStep::interval,
                   between(10, 600'000))
        .parameter(may("longest", "looks end after this"), &WarmUpStep::longest,
                   between(10, 3'600'000))
        .limit({"drift", "drift", "", Claim::indication, per_line,
                "change of the mean between the last two looks, either way", true, Ends::upper},
               &WarmUpStep::drift);
}

StepDeclaration declare_link() {
    return Declare<LinkStep>("supply and link check",
                             "Reads the unit's own measurement of its supply, and asks it many "
                             "times who it is: a bad supply or cable shows before it costs a "
                             "measurement.",
                             "supply voltage as the unit reads it; requests, repeats, reply times")
        .parameter(may("requests", "how often to ask"), &LinkStep::requests, between(1, 10000))
        .parameter(may("lost_at_most", "requests that may need repeating"), &LinkStep::lost_at_most,
                   between(0, 10000))
        .limit({"supply", "supply", "", Claim::indication, "unit",
                "the unit's own reading of its supply"},
               &LinkStep::supply)
        .limit({"reply time", "reply_time", "", Claim::indication, "unit",
                "the slowest exchange, both ways", false, Ends::upper},
               &LinkStep::reply_time)
        .check("link", "unit", "no more requests than allowed had to be repeated");
}

StepDeclaration declare_crosstalk() {
    return Declare<CrosstalkStep>("crosstalk",
                                  "The dummy finger touches each key while its neighbours are "
                                  "watched.",
                                  "raw counts of all channels, finger lifted and touching")
        .parameter(may("keys", "which keys; all when left out"), &CrosstalkStep::keys)
        .parameter(may("scans", "scans lifted and touching, each"), &CrosstalkStep::scans,
                   scan_range)
        .limit({"crosstalk", "crosstalk", "", Claim::indication, "key and frequency",
                "largest change on a neighbour, as a share of the touched key's change", true,
                Ends::upper},
               &CrosstalkStep::crosstalk)
        .check("touch report", "key", "the product reports this key, and no other")
        .check("rest report", "unit", "with the finger lifted the product reports nothing");
}

StepDeclaration declare_frequency() {
    return Declare<FrequencyStep>("frequency agreement",
                                  "Switches one reference in and compares what each sensing "
                                  "frequency makes of it.",
                                  "raw counts at every frequency, open and with the reference")
        .parameter(must("reference", "the reference that is switched in"),
                   &FrequencyStep::reference)
        .parameter(may("scans", "scans at each state"), &FrequencyStep::scans, scan_range)
        .limit({"frequency departure", "departure", "", Claim::indication, per_line,
                "change at this frequency against the mean of the others", true, Ends::upper},
               &FrequencyStep::departure);
}

StepDeclaration declare_non_linearity() {
    return Declare<NonLinearityStep>("non-linearity",
                                     "Straight line through readings at several references, each "
                                     "between two open readings; nothing but the departure from it "
                                     "is judged.",
                                     "raw counts, open and with each reference, in bracketed order")
        .parameter(must("references", "four or more of different size, in switching order"),
                   &NonLinearityStep::references)
        .parameter(may("scans", "scans at each state"), &NonLinearityStep::scans, scan_range)
        .limit({"non-linearity", "non_linearity", "", Claim::traceable, per_line,
                "largest departure from the best straight line, of span", true, Ends::upper},
               &NonLinearityStep::non_linearity);
}

StepDeclaration declare_stuck_key() {
    return Declare<StuckKeyStep>("stuck or dead key",
                                 "Watches the product's own report while nothing is near, then "
                                 "while the dummy finger touches each key.",
                                 "the product's touch report, repeatedly")
        .parameter(may("keys", "which keys; all when left out"), &StuckKeyStep::keys)
        .parameter(may("watch", "how long nothing may be reported"), &StuckKeyStep::watch,
                   between(10, 600'000))
        .parameter(may("finger", "touch each key too"), &StuckKeyStep::finger)
        .check("stuck key", "key", "the key is silent while nothing is near")
        .check("dead key", "key", "the key reports the finger");
}

}  // namespace padtrim::language
