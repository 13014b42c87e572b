/// An order of names that is quick to search.
///
///     "head" before "depth" before "length"     by length, and only among names of one length by letters
#pragma once

#include <string_view>

namespace wale {

struct NameOrder {
  bool operator()(std::string_view a, std::string_view b) const {
    return a.size() != b.size() ? a.size() < b.size() : a < b;
  }
};

}  // namespace wale
