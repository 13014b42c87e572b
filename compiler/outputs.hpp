/// The files that one pattern compiles to, as bytes in memory.
///
///     slipway-scarf.wale  ->  slipway-scarf.pdf, .txt, .json, .yarn.md, and slipway-scarf.rib.svg for each
///     chart
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "compiler/check.hpp"
#include "compiler/document_settings.hpp"
#include "compiler/drawn_files.hpp"
#include "render/page_flow.hpp"

namespace wale {

struct OutputFile {
  std::string name;  ///< without a folder
  std::string bytes;
};

struct Outputs {
  std::vector<OutputFile> files;
  std::string failure;  ///< why drawing failed; empty where it did not
};

/// Of the PNG pictures of charts, which settings ask for.
inline constexpr double chart_dots_per_inch = 300;

/// The same sizes, where what is compiled is not as the file says, for comparing with it.
struct Originals {
  const Checked* at_written_gauge = nullptr;  ///< where the gauge is another one
  const Checked* as_written = nullptr;        ///< where the gauge or measures are others
};

/// `stem` begins every name. `date`: seconds since 1970 for the PDF; without it the PDF carries no date.
/// `drawn`: what a program has drawn before and keeps, for the same bytes with less work.
Outputs make_outputs(const Checked& checked, const std::string& stem, std::optional<std::int64_t> date,
                     const DocumentSettings& settings = {}, const Originals& originals = {},
                     DrawnFiles* drawn = nullptr);

/// The names of all files that `make_outputs` makes, in their order; nothing is drawn for it.
std::vector<std::string> output_names(const Checked& checked, const std::string& stem,
                                      const DocumentSettings& settings = {});

/// The paper and the type that the settings ask for.
render::PageStyle page_style(const DocumentSettings& settings);

}  // namespace wale
