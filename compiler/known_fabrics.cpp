#include "compiler/known_fabrics.hpp"

namespace wale {

namespace {

constexpr std::size_t most_stitches = 1000, most_once = 10'000;

}  // namespace

Stitches& KnownFabrics::begin() {
  if (bytes_ > most_bytes_known || (stitches_ && stitches_->size() > most_stitches)) {
    known_.clear();
    bytes_ = 0;
    stitches_.reset();
  }
  if (!stitches_) stitches_ = std::make_unique<Stitches>();
  return *stitches_;
}

const KnownFabrics::Known* KnownFabrics::find(const std::vector<Strand>& strands, std::string_view words) {
  key_.clear();
  for (const Strand& strand : strands) (key_ += strand.name) += ' ';
  (key_ += '\n') += words;
  const auto found = known_.find(key_);
  return found == known_.end() ? nullptr : &found->second;
}

void KnownFabrics::keep(Known known) {
  if (once_.size() >= most_once) once_.clear();
  if (once_.insert(std::hash<std::string>()(key_)).second) return;
  bytes_ += key_.size();
  known_.insert_or_assign(key_, std::move(known));
}

}  // namespace wale
