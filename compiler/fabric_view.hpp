/// The view of a fabric: its checked loops, drawn as the yarn that they are made of.
///
/// Each loop is a head, two legs and two feet. A loop that was knitted comes towards us through the one
/// below: its legs lie in front and the head that it came through lies behind, and so the right side shows a
/// V. A purled one goes away from us: that head, and its own feet, lie in front, and we see a bump; where the
/// colour changed, in both colours. Nothing else has to be said for ribs, garter, brioche or stripes; they
/// come out of the net of loops (loop_mesh.hpp) and of what lies before what. Floats lie behind, and are not
/// seen.
///
///     knit   \ /      purl   .--.
///             V              '  '
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "compiler/pattern.hpp"
#include "render/document.hpp"

namespace wale {

/// More wales or rows than this are not shown; the picture begins at the right edge and the first row. A
/// fabric wider than `widest_viewed` has no picture.
inline constexpr int most_wales_shown = 60, most_rows_shown = 80, widest_viewed = 400;
/// The scale of a view that is a file of its own.
inline constexpr double points_per_wale = 12;
/// Of a pattern's fabrics so many are drawn, the first ones.
inline constexpr std::size_t most_views = 24;

/// The fabrics of a pattern that have a view, and the names of these for files, no two alike.
std::vector<std::pair<const Fabric*, std::string>> viewed_fabrics(const Pattern& pattern);

/// The views of a pattern's fabrics, as `mirror` has it.
std::vector<render::PictureBlock::Each> make_views(const Pattern& pattern, const Stitches& stitches,
                                                   bool mirror);

/// Nothing for a fabric that did not work out or is too wide. Measured in wales.
std::optional<render::ThreadPicture> view_fabric(const Fabric& fabric, const Pattern& pattern,
                                                 const Stitches& stitches);

/// Whether the colours of the fabric can be told apart: "A and B: contrast 2.8 : 1, ...", the weakest pair.
/// Empty where fewer than two of its strands have a colour.
std::string contrast_words(const Fabric& fabric, const Pattern& pattern);

}  // namespace wale
