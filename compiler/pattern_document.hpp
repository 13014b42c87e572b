/// The document of a pattern: what a knitter reads, in the order in which it is needed.
#pragma once

#include "compiler/document_settings.hpp"
#include "compiler/pattern.hpp"
#include "compiler/what_changed.hpp"
#include "compiler/yarn_estimate.hpp"
#include "render/document.hpp"

namespace wale {

/// A pattern among its sizes.
struct Family {
  std::vector<const Pattern*> sizes;    ///< all that the document is about, this one among them
  std::vector<const Pattern*> written;  ///< the same at the gauge of the file; empty where it is that gauge
  std::vector<Estimate> estimates;      ///< of `sizes`
  Numbers as_written;  ///< all as the file says, where gauge or measures are others; else empty
  std::vector<render::Chart> charts;                ///< of the pieces, for all sizes
  std::optional<render::Schematic> schematic = {};  ///< of all sizes
  /// Of the fabrics, which look alike in every size; left out, they are made.
  std::optional<std::vector<render::PictureBlock::Each>> views = {};
};

/// Title, materials, gauge, size, abbreviations, charts, instructions, yarn notes. `name` stands for a
/// missing title.
render::Document make_document(const Pattern& pattern, const Stitches& stitches, const Estimate& estimate,
                               const std::string& name, const DocumentSettings& settings = {},
                               const Family& family = {});

/// The charts of all fabrics, in the pattern's order.
std::vector<render::Chart> make_charts(const Pattern& pattern, const Stitches& stitches,
                                       const DocumentSettings& settings = {});

/// The charts of all fabrics, and then those of the pieces: `sizes` are all that the charts are about.
std::vector<render::Chart> make_all_charts(const std::vector<const Pattern*>& sizes, const Stitches& stitches,
                                           const DocumentSettings& settings = {});
/// The same, with those of the pieces at hand.
std::vector<render::Chart> make_all_charts(const Pattern& smallest, const Stitches& stitches,
                                           const DocumentSettings& settings,
                                           const std::vector<render::Chart>& of_pieces);
/// Those of the pieces alone.
std::vector<render::Chart> make_piece_charts(const std::vector<const Pattern*>& sizes,
                                             const Stitches& stitches, const DocumentSettings& settings = {});

/// The yarn report: JSON, UTF-8, ends with a newline. Masses in g, lengths in m. An estimate for each size.
std::string yarn_report(const std::vector<const Pattern*>& sizes, const Stitches& stitches,
                        const std::vector<Estimate>& estimates, const std::string& name);

}  // namespace wale
