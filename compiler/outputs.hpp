/// The files that one pattern compiles to, as bytes in memory.
///
///     slipway-scarf.wale  ->  slipway-scarf.pdf, .txt, .json, and slipway-scarf.rib.svg for each chart
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "compiler/check.hpp"
#include "compiler/document_settings.hpp"
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

/// `stem` begins every name. `date`: seconds since 1970 for the PDF; without it the PDF carries no date.
/// `written`: the same sizes at the gauge that the file gives, where `checked` is at another.
Outputs make_outputs(const Checked& checked, const std::string& stem, std::optional<std::int64_t> date,
                     const DocumentSettings& settings = {}, const Checked* written = nullptr);

/// The paper and the type that the settings ask for.
render::PageStyle page_style(const DocumentSettings& settings);

}  // namespace wale
