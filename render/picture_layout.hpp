/// Pictures on a page: in two or three columns, as large as these allow, with their words below.
///
///     [picture]   [picture]
///     plain       rib
///     ...         A and B: contrast 5.1 : 1
#pragma once

#include <vector>

#include "render/document.hpp"
#include "render/page_flow.hpp"

namespace wale::render {

/// A fragment for each line of pictures.
std::vector<Fragment> lay_out_pictures(const PictureBlock& block, const PageStyle& page);

}  // namespace wale::render
