// What happened to a channel of a station: a reference that changed, stray capacitance, the dummy
// finger, a check standard, or the product? Pure; who_changed() over gain, offset and touch
// response together.
//
// In a nest, references and stray are told apart by what they do to its channel's line. Stray adds
// to the offset and leaves the gain; a reference r that is larger by d pF than its certificate
// moves gain and offset by d times known sensitivities (the fit's own):
//
//      offset |  stray
//             |    |      r1 /
//             |    |       /     one cause fits where the point (gain, offset) lies on its line
//             |    |    /        within the joint uncertainty of both
//             |    | /
//        -----+----+------------ gain
//
// The other conclusions: touch response that changed with nest or station: the finger; with the
// product while its gain did not: what lies over the electrode (glue, overlay). Where several
// explanations of a quantity fit, causes that another quantity tells are preferred: the one
// explanation that needs the fewest causes more is told. The risk is shared
// by the quantities that are given, so that a steady channel is called changed as seldom as one
// test.
#pragma once

#include <string>
#include <vector>

#include "db/quality/who_changed.hpp"

namespace padtrim::quality {

// Relative change of the channel's gain, and change of its offset in pF, for each pF by which the
// reference is larger than its certificate.
struct ReferenceEffect {
    std::string reference;
    double gain = 0.0, offset = 0.0;
};

struct ChannelWatch {
    std::vector<ChangeCell> gain, offset, touch;  // relative, pF, relative; any may be empty
    // Of gain and offset as they are estimated, in these units: their errors go together.
    double correlation = 0.0;
    std::vector<ReferenceEffect> references;  // none: they are not told from stray by offset
};

enum class ChannelCauseKind {
    reference,            // one or several, by their names
    stray,                // capacitance that came or went
    reference_and_stray,  // both in one nest
    reference_or_stray,   // the numbers allow either
    finger,               // the station's touch response
    standard,             // a check standard by itself
    over_electrode,       // the product: glue or overlay
    product_line          // the product: its gain or offset
};
struct ChannelCause {
    ChannelCauseKind kind = ChannelCauseKind::reference;
    std::uint16_t nest = 0;               // 0: all
    std::string standard;                 // of a standard
    std::vector<std::string> references;  // that it may be
    std::string quantity;                 // "gain", "offset", "touch response": what size is of
    double size = 0.0, standard_uncertainty = 0.0;  // relative, or pF
};

struct ChannelCauses {
    std::vector<ChannelCause> causes;
    bool changed = false;               // anything at all
    bool distinguishable = true;        // what changed is all in `causes`
    double significance = 1.0;          // the smallest of the quantities'
    std::vector<std::string> not_told;  // quantities whose change several causes would explain
};
// The values that a watch is made of: of one specimen in one nest, check by check, or lot by lot.
struct WatchedValues {
    std::vector<double> baseline, recent;
};
struct SpecimenSeries {
    std::string specimen;  // "": the product
    std::uint16_t nest = 1;
    WatchedValues gain, offset, touch;  // counts/pF, counts, counts
};
// Relative to each specimen's own baseline. A quantity without values enough, or that does not
// scatter, is left out for that specimen; offset also where there is no gain to make pF of it.
[[nodiscard]] ChannelWatch watch_of(std::span<const SpecimenSeries> series,
                                    std::vector<ReferenceEffect> references);

// Flaws as of who_changed(); too_few_points where no quantity has two cells.
[[nodiscard]] statistics::Checked<ChannelCauses> channel_causes(const ChannelWatch& watch,
                                                                double risk = 0.01);

// A change of gain and offset in one nest: the point and its joint uncertainty.
struct LineShift {
    double gain = 0.0, gain_standard = 0.0;      // relative
    double offset = 0.0, offset_standard = 0.0;  // pF
    double correlation = 0.0;
    double degrees = std::numeric_limits<double>::infinity();
};
struct ReferenceOrStray {
    bool stray = false;                   // alone would explain it
    std::vector<std::string> references;  // each of these alone would
    [[nodiscard]] ChannelCauseKind kind() const;
};
[[nodiscard]] ReferenceOrStray reference_or_stray(const LineShift& shift,
                                                  const std::vector<ReferenceEffect>& references,
                                                  double risk);

}  // namespace padtrim::quality
