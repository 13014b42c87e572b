/// What `use` brings in: the declarations of a pattern and of the files that it uses, as those of one file.
///
/// A file that is used lends yarns, strands, gauges, fabrics, stitches, measures, swatches and stash; its
/// title, author, sizes, pieces and seasons stay where they are. Of what it could lend only that comes in
/// which is named, in the pattern or in something that comes in itself, so a locker of fifty yarns adds one
/// to the materials of a hat.
///
///     locker.wale       yarn kelp ...  yarn lamp ...  fabric rib ...
///     scarf.wale        use "locker.wale"   strand A = kelp       comes to   yarn kelp ...  strand A = kelp
///
/// A file's own declaration goes before those of that name in the files that it uses, in everything that
/// comes in: who declares `yarn kelp` anew has the used strands in the new yarn. Two files of which neither
/// uses the other and that both declare what is needed are an error.
#pragma once

#include "compiler/declarations.hpp"
#include "compiler/loading.hpp"

namespace wale {

/// The declarations of all files in an order in which they can be worked out; views of the files.
Declarations bring_in(const Loaded& loaded, Diagnostics& diagnostics);

}  // namespace wale
