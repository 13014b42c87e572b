/// A table before it is set: words in rows and columns.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "render/colour.hpp"

namespace wale::render {

struct Table {
  std::vector<std::string> header;             ///< May be empty.
  std::vector<std::vector<std::string>> rows;  ///< All of one width.
  std::vector<std::optional<Colour>>
      swatches;               ///< Empty, or one per row: a colour patch before the first column.
  std::vector<bool> numeric;  ///< Per column: align right. Empty: all left.
};

}  // namespace wale::render
