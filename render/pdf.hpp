/// Pages as a PDF to print, with an outline of its sections and links between words and charts: text that can
/// be selected and searched, with the used part of the font inside.
///
///     write_pdf(lay_out(document), {.title = document.title})  ->  "%PDF-1.5 ..."
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "render/geometry.hpp"

namespace wale::render {

struct PdfInfo {
  std::string title = {}, author = {}, subject = {}, keywords = {};  ///< Cleaned; left out when empty.
  std::optional<std::int64_t> date =
      {};  ///< Seconds since 1970-01-01 UTC; without it the file carries no date.
};

/// One page per drawing, each of its drawing's size. Equal input gives equal bytes: the clock is never read.
/// Fails when there are no pages, or when cairo cannot write.
Bytes write_pdf(const std::vector<Drawing>& pages, const PdfInfo& info = {});

}  // namespace wale::render
