/// The yarn of a season: what each project takes, and what of it the stash has.
///
/// Yarns are one where their full names are one; the short names are each file's own. The stash is shared out
/// in the order in which the projects are finished, by the middle of each estimate, so that what one takes is
/// gone for the next. A yarn that the stash does not have at all is bought; one that it has too little of is
/// an error, and a note where it has too little by the upper estimates.
///
///     stash { kelp 340 g }     Slipway Scarf takes 250 g of it, and Harbour Slipover, 162 g, finds 90
#pragma once

#include "compiler/season.hpp"

namespace wale {

struct Checked;

/// The yarns that the project takes.
void take_yarns(const Checked& checked, SeasonProject& project);

/// Shares out the stash that the season's file has.
void share_stash(Season& season, const Pattern& pattern, Diagnostics& diagnostics);

}  // namespace wale
