/// A fabric, proved for every n.
///
/// One cycle is worked symbolically: the needle holds a head of a few loops, a repeat of `a` loops n times,
/// and a tail, and every loop's type is at first unknown. The rows themselves say what they need (`brk` needs
/// a loop with its yarn over) and so the types of the first needle are found. Each row's sum is linear in n;
/// that it comes out for all n is a statement about two coefficients. Where the outcome needs n to be large
/// enough, the few smaller n are worked one by one. So nothing is sampled and nothing is hoped for.
///
///     tide, 2n + 3 st    enters on: plain, (plain, veiled) n times, plain, plain; comes back to the same
#pragma once

#include "compiler/effort.hpp"
#include "compiler/pattern.hpp"

namespace wale {

/// Proves the rows and fills in everything that `Fabric` says about them. Reports what does not work out, or
/// what is more than may be worked out.
void prove(Fabric& fabric, const Stitches& stitches, const std::vector<Strand>& strands,
           Diagnostics& diagnostics, Effort& effort);
inline void prove(Fabric& fabric, const Stitches& stitches, const std::vector<Strand>& strands,
                  Diagnostics& diagnostics) {
  Effort effort;
  prove(fabric, stitches, strands, diagnostics, effort);
}

/// The same fabric for the other way of working: wrong-side rows mirrored with each stitch's twin, and
/// proved.
Fabric converted(const Fabric& fabric, Form form, const Stitches& stitches,
                 const std::vector<Strand>& strands, Effort& effort);
inline Fabric converted(const Fabric& fabric, Form form, const Stitches& stitches,
                        const std::vector<Strand>& strands) {
  Effort effort;
  return converted(fabric, form, stitches, strands, effort);
}

/// The needle with nothing but types left in it, in a comparable form.
Needle types_only(const Needle& needle, const EntryTypes& entry);

}  // namespace wale
