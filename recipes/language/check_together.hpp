// What must hold across the three documents: names, references, finger, trims, limits, settling.
// Each problem stands at the place in the document where its author would mend it. Sizes against
// which values are compared are stated beside each check.
#pragma once

#include "recipes/language/read_documents.hpp"

namespace padtrim::language {

// The three documents under check.
struct Desk {
    Reading<Recipe>& recipe;
    Reading<RegisterMap>& map;
    Reading<FixtureProfile>& fixture;
};

void check_together(Reading<Recipe>& recipe, Reading<RegisterMap>& map,
                    Reading<FixtureProfile>& fixture);

void check_names(Desk desk);       // products agree, keys exist
void check_references(Desk desk);  // wiring, sizes, held-out reference, settling
void check_finger(Desk desk);      // there is one, and it reaches every key
void check_limits(Desk desk);      // coupling, range of counts, and the two below
void check_vanishing(Desk desk);   // what nobody would ever look at
void check_watching(Desk desk);    // check standards: what the recipe makes of them
void check_resolution(Desk desk);
void check_trims_reach(Desk desk);
// Heights, speeds, targets and kinds of keys that steps with the finger ask for.
void check_finger_steps(Desk desk);

}  // namespace padtrim::language
