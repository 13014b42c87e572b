/// The text of `vocabulary.wale`, embedded when the program is built.
#pragma once

#include <string_view>

namespace wale {

extern const std::string_view vocabulary_text;

}  // namespace wale
