/// A piece, worked from cast-on to bind-off.
///
/// The needle goes from step to step. A fabric that makes every loop anew is not worked at all: the piece
/// puts its n into what is proved of the rows (piece_evaluate.cpp). Others are worked row by row until the
/// needle is as it was a cycle before; the rest is multiplication, so 100,000 rows of brioche cost what two
/// cycles cost. A repeat that leaves the needle as it found it is likewise worked once and counted N times,
/// and most rows of a plain shaping are only counted where nobody will look at them (piece_unseen.cpp).
///
///     cast on 42 / work rib for 100000 rows     no row worked, 100,000 counted
#pragma once

#include <set>

#include "compiler/declarations.hpp"
#include "compiler/fabric.hpp"
#include "compiler/resolve.hpp"
#include "compiler/values.hpp"

namespace wale {

/// Numbers in the place of the file's, by where a step begins in it: how often a repeat is worked, over how
/// many rows a fabric.
using Instead = std::map<std::uint32_t, long long>;

/// What a piece may refer to.
struct Shelf {
  const Pattern& pattern;
  const Scope& scope;
  Stitches& stitches;
  std::vector<Strand>& strands;
  bool declares_strands;
  Effort& effort;
  Effort& help;   ///< goes into looking for casts-on that work
  bool doubtful;  ///< something could not be read: what is left on the needle says nothing
  const std::set<std::string>& wanted;  ///< stitches that other pieces take up, see `held_for_others`
  const Instead& instead;               ///< of repeats that go by yarn all, once they are solved (`fit.hpp`)
};

/// "piece holder" for all stitches that a piece takes up from another one.
std::set<std::string> held_for_others(const Declarations& pattern);

/// Works the piece. Where a row or a layout does not fit, the diagnostic names casts-on with which the whole
/// piece works: they are found by working it with others.
Piece work_piece(const tree::Piece& piece, const Shelf& shelf, Diagnostics& diagnostics);

/// The same without a search for casts-on: to see what it comes to. `converted`: the fabrics of an earlier
/// try.
Piece try_piece(const tree::Piece& piece, const Shelf& shelf, const std::vector<Fabric>* converted,
                Diagnostics& diagnostics);

}  // namespace wale
