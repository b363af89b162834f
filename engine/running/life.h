#pragma once
// Rating life after ISO 281:2007.
//   L10  = (C / P)^p million revolutions; p = 3 ball, 10/3 roller                 [SKF-CAT-P92] [SHIG8SM-11]
//   L10h = 1e6 L10 / (60 n) hours
//   Lnm  = a1 aISO L10: life at another reliability, with lubrication and dirt considered
// aISO is in a_iso.h, kappa and the limit load Cu in lubrication.h. Life is a statement about many bearings:
// one in ten runs shorter than L10. It says nothing of a bearing that was mounted badly.
// Below a least load the elements slide instead of roll, and the bearing smears long before it is tired:
// about 0.01 C for balls, 0.02 C for rollers (common practice; the maker's value goes first).
#include "engine/base/quantity.h"
#include "engine/base/result.h"

#include <optional>

namespace engine {

enum class ElementKind { ball, roller };

/// Life factor for a reliability of 90..99.95 percent: the table of ISO 281 [MEM-ISO281-T12] at its own
/// values, between them straight on Weibull paper (ln a1 over ln ln 1/R), so that it neither jumps nor turns.
/// Fails: Fault::out_of_range.
[[nodiscard]] Result<double> reliability_factor(double reliability_percent);

struct LifeCase {
    ElementKind                kind = ElementKind::roller;
    Kilonewtons                c;                       ///< basic dynamic load rating, 0.01..100 000
    Kilonewtons                p;                       ///< equivalent dynamic load, above 0, at most 0.5 C
    RevPerMinute               speed;                   ///< 0.1..100 000
    std::optional<double>      kappa;                   ///< viscosity ratio, 0.1..1000; above 4 counts as 4
    std::optional<double>      ec;                      ///< contamination factor, 0..1
    std::optional<Kilonewtons> cu;                      ///< fatigue load limit, above 0, at most C
    bool                       proven_additive = false; ///< see modified_life_factor
    double                     reliability_percent{90};
};

struct LifeFigures {
    double                l10_mrev = 0; ///< million revolutions
    Hours                 l10h;
    double                a1 = 1;
    Hours                 lnh;               ///< a1 x L10h, without lubrication and dirt
    std::optional<double> a_iso;             ///< needs kappa, eC and Cu
    std::optional<Hours>  lnmh;              ///< a1 x aISO x L10h
    Kilonewtons           least_load;        ///< what moves the elements: 0.01 C balls, 0.02 C rollers
    bool                  too_light = false; ///< P is below it: the life is a number, not a promise
};

/// Fails: Fault::out_of_range; Fault::bad_input when only some of kappa, eC and Cu are given. A load above
/// half of C is refused: the life formula does not hold there (from memory).
[[nodiscard]] Result<LifeFigures> rating_life(const LifeCase& bearing);

} // namespace engine
