// The equipment record's layout, with its shorthand: one rule a reference instead of one entry for
// each nest and channel. Explicit entries follow the rules and win over them.
#include <algorithm>
#include <map>
#include <set>
#include <tuple>

#include "recipes/document/node.hpp"
#include "recipes/language/layouts.hpp"
#include "recipes/language/words.hpp"

namespace padtrim::language {

using document::above;
using document::at_least;
using document::between;
using document::Fields;
using document::may;
using document::must;

namespace {

// "0.498 0.512 ... pF" for each nest, in the order of the nests; one value a channel.
using Tips = std::vector<std::vector<double>>;

struct ReferenceRule {
    std::string name;
    std::uint16_t first_coil = 0, nest_stride = 0, channel_stride = 1;
    Picofarad expanded_uncertainty;
    double coverage_factor = 2.0, common_relative = 0.0;
    Tips tips;
};

struct PartRule {
    Picofarad expanded_uncertainty;
    double coverage_factor = 2.0;
    Tips tips;
};

constexpr double largest_coil = 65535;

// The values of one row, or none when they could not be read. `width` is the number of channels,
// once a first row has told it.
std::vector<double> read_row(Fields& f, const std::string& at, const std::string& text,
                             std::size_t& width) {
    const auto values = document::parse_quantities(text, Picofarad::symbol());
    if (!values) {
        f.complain(at, values.error().message, values.error().mend);
        return {};
    }
    if (width == 0) width = (*values).size();
    if (std::any_of((*values).begin(), (*values).end(), [](double v) { return v <= 0.0; }))
        f.complain(at, "a step of 0 pF or less stands here", "Steps are above 0 pF.");
    if ((*values).size() == width) return *values;
    f.complain(at,
               "the number of values here is " + std::to_string((*values).size()) +
                   ", in the first row it is " + std::to_string(width),
               "Write one value for each channel.");
    return {};
}

void read_tips(Fields& f, Tips& tips, std::size_t nests, std::size_t& width) {
    std::vector<std::string> rows;
    f.add(must("tips", "for each nest a text like \"0.498 0.512 pF\", one value a channel"), rows);
    if (!f.reading()) return;
    if (nests > 0 && rows.size() != nests)
        f.complain("tips",
                   "the number of rows here is " + std::to_string(rows.size()) +
                       ", the number of nests is " + std::to_string(nests),
                   "Write one text for each nest, in the order of the nests.");
    for (std::size_t i = 0; i < rows.size(); ++i)
        tips.push_back(read_row(f, document::path_item("tips", i), rows[i], width));
}

void describe_doubt(Fields& f, Picofarad& expanded, double& factor) {
    f.add(must("expanded_uncertainty", "of each value"), expanded, above(0));
    f.add(may("coverage_factor", "k of the expanded uncertainty"), factor, between(1, 10));
}

void describe_common(Fields& f, double& common_relative) {
    f.add(may("common_relative",
              "standard uncertainty that all values of one meter share, as a "
              "part of the value"),
          common_relative, between(0, 0.5));
}

void describe_rule(Fields& f, ReferenceRule& rule, std::size_t nests, std::size_t& width) {
    f.add(must("name", "as recipes name it"), rule.name);
    f.add(must("first_coil", "switches it in on the first nest, channel 0"), rule.first_coil);
    f.add(may("nest_stride", "coils from one nest to the next"), rule.nest_stride);
    f.add(may("channel_stride", "coils from one channel to the next"), rule.channel_stride);
    describe_doubt(f, rule.expanded_uncertainty, rule.coverage_factor);
    describe_common(f, rule.common_relative);
    read_tips(f, rule.tips, nests, width);
}

using TipName = std::tuple<std::uint16_t, std::uint16_t, std::string>;

TipName name_of(const CharacterisedStep& step) {
    return {step.nest, step.channel, step.reference};
}
TipName name_of(const FixturePart& part) {
    return {part.nest, part.channel, ""};
}

// Entries in the order in which they first came; a later one takes the place of an equal one.
template <class T>
class Entries {
  public:
    void put(T entry) {
        const auto [at, fresh] = places_.try_emplace(name_of(entry), all_.size());
        if (fresh)
            all_.push_back(std::move(entry));
        else
            all_[at->second] = std::move(entry);
    }
    [[nodiscard]] std::vector<T> take() { return std::move(all_); }

  private:
    std::map<TipName, std::size_t> places_;
    std::vector<T> all_;
};

struct Record {
    Entries<CharacterisedStep> steps;
    Entries<FixturePart> parts;
};

// False when the rule leads to a coil that no relay board can have.
bool expand(const ReferenceRule& rule, const FixtureProfile& fixture, Record& record) {
    for (std::size_t row = 0; row < std::min(rule.tips.size(), fixture.nests.size()); ++row) {
        for (std::size_t channel = 0; channel < rule.tips[row].size(); ++channel) {
            const auto coil =
                static_cast<double>(rule.first_coil) +
                static_cast<double>(rule.nest_stride) * static_cast<double>(row) +
                static_cast<double>(rule.channel_stride) * static_cast<double>(channel);
            if (coil > largest_coil) return false;
            record.steps.put({fixture.nests[row].number, static_cast<std::uint16_t>(channel),
                              rule.name, static_cast<std::uint16_t>(coil),
                              Picofarad(rule.tips[row][channel]), rule.expanded_uncertainty,
                              rule.coverage_factor, rule.common_relative});
        }
    }
    return true;
}

void expand(const PartRule& rule, const FixtureProfile& fixture, Record& record) {
    for (std::size_t row = 0; row < std::min(rule.tips.size(), fixture.nests.size()); ++row)
        for (std::size_t channel = 0; channel < rule.tips[row].size(); ++channel)
            record.parts.put({fixture.nests[row].number, static_cast<std::uint16_t>(channel),
                              Picofarad(rule.tips[row][channel]), rule.expanded_uncertainty,
                              rule.coverage_factor});
}

void read_rules(Fields& f, const FixtureProfile& fixture, Record& record) {
    std::vector<ReferenceRule> rules;
    std::size_t width = 0;
    f.tables(
        may("reference",
            "wiring by rule: coil = first_coil + nest_stride * (place of the nest) + "
            "channel_stride * channel"),
        0, [&](std::size_t count) { rules.resize(count); },
        [&](Fields& below, std::size_t i) {
            describe_rule(below, rules[i], fixture.nests.size(), width);
            if (!expand(rules[i], fixture, record))
                below.complain("first_coil", "this rule leads to coils above 65535",
                               "Check first_coil, nest_stride and channel_stride.");
        });
    PartRule parts;
    if (!f.present("fixture_part", false)) return;
    f.table(may("fixture_part", "what the connected fixture adds to each channel"),
            [&](Fields& below) {
                describe_doubt(below, parts.expanded_uncertainty, parts.coverage_factor);
                read_tips(below, parts.tips, fixture.nests.size(), width);
            });
    expand(parts, fixture, record);
}

}  // namespace

void describe(Fields& f, CharacterisedStep& step) {
    f.add(must("nest", "from 1"), step.nest, between(1, 64));
    f.add(must("channel", "from 0"), step.channel);
    f.add(must("reference", "as recipes name it"), step.reference);
    f.add(must("coil", "switches it in"), step.coil);
    f.add(must("value", "of the step at the contact's tip"), step.value, above(0));
    describe_doubt(f, step.expanded_uncertainty, step.coverage_factor);
    describe_common(f, step.common_relative);
}

void describe(Fields& f, FixturePart& part) {
    f.add(must("nest", "from 1"), part.nest, between(1, 64));
    f.add(must("channel", "from 0"), part.channel);
    f.add(must("value", "between retracted and connected"), part.value, above(0));
    describe_doubt(f, part.expanded_uncertainty, part.coverage_factor);
}

namespace {

// The explicit entries, laid over what the rules made. Twice the same is a mistake.
template <class T>
void describe_entries(Fields& f, const document::Field& field, std::vector<T>& entries,
                      Entries<T>& record) {
    if (!f.reading()) return f.add(field, entries);
    std::vector<T> given;
    f.add(field, given);
    std::set<TipName> seen;
    for (std::size_t i = 0; i < given.size(); ++i) {
        if (!seen.insert(name_of(given[i])).second)
            f.complain(document::path_item(std::string(field.key), i),
                       "this nest and channel were described before", "Keep one of the two.");
        record.put(std::move(given[i]));
    }
    entries = record.take();
}

}  // namespace

void describe(Fields& f, EquipmentRecord& equipment, const FixtureProfile& fixture) {
    f.add(must("certificate", "number of the characterisation"), equipment.certificate);
    f.date(must("characterised_on", "date"), equipment.characterised_on);
    f.date(must("recalibration_due", "date; the station blocks after it"),
           equipment.recalibration_due);
    f.add(must("frequency", "at which the steps were characterised"), equipment.frequency,
          above(0));
    f.add(may("temperature_coefficient", "of the references"), equipment.temperature_coefficient);
    if (f.present("temperature_coefficient_half_width",
                  equipment.temperature_coefficient_half_width.value() > 0.0))
        f.add(may("temperature_coefficient_half_width",
                  "what the coefficient is known to lie within, as of the part's class"),
              equipment.temperature_coefficient_half_width, at_least(0));
    f.add(may("definition_relative",
              "standard uncertainty, as a part of every step, of strays that the unit sees and a "
              "guarded meter leaves out"),
          equipment.definition_relative, between(0, 0.5));
    f.add(must("temperature", "of the characterisation"), equipment.temperature, between(-40, 125));
    if (f.present("flexing", equipment.flexing.value() > 0.0))
        f.add(may("flexing", "how much the wiring's own capacitance may change as it moves"),
              equipment.flexing, at_least(0));
    Record record;
    if (!f.writing()) read_rules(f, fixture, record);
    describe_entries(f, may("step", "one reference step; wins over a rule"), equipment.steps,
                     record.steps);
    describe_entries(f, may("part", "one fixture part; wins over the rule"),
                     equipment.fixture_parts, record.parts);
}

}  // namespace padtrim::language
