#include "db/quality/who_changed.hpp"

#include <algorithm>
#include <cmath>
#include <set>
#include <utility>

#include "db/statistics/distributions.hpp"
#include "db/statistics/least_squares.hpp"
#include "db/statistics/moments.hpp"

namespace padtrim::quality {

using statistics::Checked;
using statistics::Flaw;

namespace {

using Cells = std::span<const ChangeCell>;

constexpr std::size_t most_causes = 3;

Checked<void> sound_cells(Cells cells) {
    if (cells.size() < 2) return Flaw::too_few_points;
    for (const ChangeCell& cell : cells) {
        if (!std::isfinite(cell.value) || !std::isfinite(cell.standard)) return Flaw::not_finite;
        if (!(cell.standard > 0.0)) return Flaw::not_positive;
        if (!(cell.degrees > 0.0)) return Flaw::out_of_domain;
    }
    return {};
}

bool touches(const ChangeCause& cause, const ChangeCell& cell) {
    switch (cause.what) {
        case Changed::station:
            return true;
        case Changed::nest:
            return cause.nest == cell.nest;
        case Changed::product:
            return cell.specimen.empty();
        case Changed::standard:
            return !cell.specimen.empty() && cause.standard == cell.specimen;
    }
    return false;
}

// Those that the cells could show; the station alone where there is one nest, or one specimen.
Explanation possible_causes(Cells cells) {
    std::set<std::uint16_t> nests;
    std::set<std::string> specimens;
    for (const ChangeCell& cell : cells) {
        nests.insert(cell.nest);
        specimens.insert(cell.specimen);
    }
    Explanation causes{{}};
    if (nests.size() > 1)
        for (const auto nest : nests) causes.push_back({Changed::nest, nest, ""});
    for (const auto& specimen : specimens) {
        if (specimen.empty())
            causes.push_back({Changed::product, 0, ""});
        else
            causes.push_back({Changed::standard, 0, specimen});
    }
    return causes;
}

struct CauseFit {
    statistics::LeastSquares squares;
    std::vector<double> map;   // from cells to sizes, a row a cause
    double inflation = 1.0;    // of the sizes' variances, for weights that are estimated
    double probability = 0.0;  // of so much left over by chance
};

// P(T > left over), T / c being F with f and f (f + 2) / (3 A) degrees (Johansen).
Checked<double> left_over(Cells cells, double squares, double free,
                          std::span<const double> leverages) {
    double doubt = 0.0;
    for (std::size_t i = 0; i < cells.size(); ++i) {
        const double rest = 1.0 - leverages[i];
        doubt += rest * rest / cells[i].degrees;
    }
    const double c = free + 2.0 * doubt - 6.0 * doubt / (free + 2.0);
    const double degrees = doubt > 0.0 ? free * (free + 2.0) / (3.0 * doubt) : INFINITY;
    return statistics::fisher_upper_probability(squares / c, free, degrees);
}

// Each cell's part in each size, its leverage, and what estimated weights add to the variances.
void map_out(Cells cells, std::span<const double> design, std::span<double> leverages,
             CauseFit& fit) {
    const std::size_t unknowns = design.size() / cells.size();
    fit.map.assign(unknowns * cells.size(), 0.0);
    for (std::size_t k = 0; k < cells.size(); ++k) {
        const double weight = 1.0 / (cells[k].standard * cells[k].standard);
        for (std::size_t a = 0; a < unknowns; ++a) {
            double& part = fit.map[a * cells.size() + k];
            for (std::size_t b = 0; b < unknowns; ++b)
                part += fit.squares.covariance_of(a, b) * design[k * unknowns + b] * weight;
            leverages[k] += design[k * unknowns + a] * part;
        }
        fit.inflation += 4.0 * leverages[k] * (1.0 - leverages[k]) / cells[k].degrees;
    }
}

Checked<CauseFit> fit_of(Cells cells, std::span<const ChangeCause> causes) {
    const std::size_t unknowns = causes.size();
    if (cells.size() <= unknowns) return Flaw::too_few_points;
    std::vector<double> design, observed, deviations, leverages(cells.size(), 0.0);
    for (const ChangeCell& cell : cells) {
        for (const ChangeCause& cause : causes) design.push_back(touches(cause, cell) ? 1.0 : 0.0);
        observed.push_back(cell.value);
        deviations.push_back(cell.standard);
    }
    CauseFit fit;
    if (unknowns > 0) {
        auto squares = statistics::fit_weighted(design, unknowns, observed, deviations);
        if (!squares) return squares.error();
        fit.squares = std::move(*squares);
    } else {
        for (std::size_t i = 0; i < cells.size(); ++i)
            fit.squares.residual_squares += std::pow(observed[i] / deviations[i], 2);
    }
    map_out(cells, design, leverages, fit);
    const auto probability = left_over(cells, fit.squares.residual_squares,
                                       static_cast<double>(cells.size() - unknowns), leverages);
    if (!probability) return probability.error();
    fit.probability = *probability;
    return fit;
}

Explanation sized(Explanation causes, Cells cells, const CauseFit& fit) {
    for (std::size_t i = 0; i < causes.size(); ++i) {
        double doubt = 0.0;
        for (std::size_t k = 0; k < cells.size(); ++k)
            doubt +=
                std::pow(fit.map[i * cells.size() + k] * cells[k].standard, 4) / cells[k].degrees;
        const double variance = fit.squares.variance(i);
        causes[i].size = fit.squares.estimate[i];
        causes[i].standard_uncertainty = std::sqrt(variance * fit.inflation);
        causes[i].degrees = doubt > 0.0 ? variance * variance / doubt : INFINITY;
    }
    return causes;
}

// Nests that all changed are told so, and not as the station with all of them but one.
bool says_it_twice(std::span<const ChangeCause> causes, std::size_t nests) {
    std::size_t of_nests = 0;
    bool station = false;
    for (const ChangeCause& cause : causes) {
        station = station || cause.what == Changed::station;
        of_nests += cause.what == Changed::nest ? 1 : 0;
    }
    return station && of_nests > 0 && of_nests + 1 >= nests;
}

// Every choice of `count` causes, in the order of the list.
template <class Each>
void choose(const Explanation& from, std::size_t count, std::size_t begin, Explanation& chosen,
            const Each& each) {
    if (chosen.size() == count) return each(chosen);
    for (std::size_t i = begin; i < from.size(); ++i) {
        chosen.push_back(from[i]);
        choose(from, count, i + 1, chosen, each);
        chosen.pop_back();
    }
}

}  // namespace

Checked<ChangeCell> change_cell(std::string specimen, std::uint16_t nest,
                                std::span<const double> baseline, std::span<const double> recent) {
    if (!statistics::all_finite(baseline) || !statistics::all_finite(recent))
        return Flaw::not_finite;
    if (baseline.empty() || recent.empty() || baseline.size() + recent.size() < 3)
        return Flaw::too_few_points;
    const auto before = statistics::Moments::of(baseline), after = statistics::Moments::of(recent);
    const auto n = static_cast<double>(before.count()), m = static_cast<double>(after.count());
    const double degrees = n + m - 2.0;
    const double variance = (before.squares() + after.squares()) / degrees * (1.0 / n + 1.0 / m);
    if (!(variance > 0.0)) return Flaw::not_positive;
    return ChangeCell{std::move(specimen), nest, *after.mean() - *before.mean(),
                      std::sqrt(variance), degrees};
}

Checked<WhoChanged> who_changed(Cells cells, double risk) {
    if (!(risk > 0.0 && risk < 1.0)) return Flaw::out_of_domain;
    if (const auto ok = sound_cells(cells); !ok) return ok.error();
    WhoChanged answer;
    const auto nothing = fit_of(cells, {});
    if (!nothing) return nothing.error();
    answer.significance = nothing->probability;
    answer.changed = answer.significance < risk;
    if (!answer.changed) return answer;
    const Explanation possible = possible_causes(cells);
    std::set<std::uint16_t> nests;
    for (const ChangeCell& cell : cells) nests.insert(cell.nest);
    for (std::size_t count = 1; count <= most_causes && answer.fitting.empty(); ++count) {
        Explanation chosen;
        choose(possible, count, 0, chosen, [&](const Explanation& causes) {
            if (says_it_twice(causes, nests.size())) return;
            const auto fit = fit_of(cells, causes);
            if (fit && fit->probability >= risk)
                answer.fitting.push_back(sized(causes, cells, *fit));
        });
    }
    return answer;
}

Checked<Explanation> sizes_of(Cells cells, Explanation causes) {
    if (const auto ok = sound_cells(cells); !ok) return ok.error();
    const auto fit = fit_of(cells, causes);
    if (!fit) return fit.error();
    return sized(std::move(causes), cells, *fit);
}

}  // namespace padtrim::quality
