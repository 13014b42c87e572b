/// Files that have been drawn before, kept in memory: a program that watches patterns draws only what has
/// changed.
///
/// A change of one measure leaves most charts and views of a pattern as they are. A file hangs on nothing but
/// the drawings that it shows and on how it is written, so it is kept by the fingerprint of these:
///
///     drawing of the rib's view, as PNG of 200 dots to the inch   ->   the PNG's bytes
///
/// The files that were asked for last are kept, up to a number of bytes in all.
#pragma once

#include <functional>
#include <list>
#include <map>
#include <mutex>
#include <string>
#include <utility>
#include <vector>

#include "compiler/fingerprint.hpp"
#include "render/geometry.hpp"

namespace wale {

/// Of everything in the drawings that a file of them may show, and of `how` it is written.
Fingerprint fingerprint_of(const std::vector<const render::Drawing*>& drawings, const std::string& how);

class DrawnFiles {
 public:
  explicit DrawnFiles(std::size_t most_bytes = 64 << 20) : most_bytes_(most_bytes) {}
  DrawnFiles(const DrawnFiles&) = delete;
  DrawnFiles& operator=(const DrawnFiles&) = delete;

  /// What was drawn for the fingerprint before, or what `draw` gives now. Several threads may ask at once.
  /// What could not be drawn is not kept.
  render::Bytes file(const Fingerprint& of, const std::function<render::Bytes()>& draw);

  /// Of all that is kept.
  std::size_t bytes() const;

 private:
  using Key = std::pair<std::uint64_t, std::uint64_t>;
  using Files = std::list<std::pair<Key, std::string>>;

  std::size_t most_bytes_, bytes_ = 0;
  Files files_;  ///< those asked for last come first
  std::map<Key, Files::iterator> places_;
  mutable std::mutex busy_;
};

}  // namespace wale
