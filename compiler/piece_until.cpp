// How often a repeat is worked, and over how many rows a fabric, where that is not (only) for the file to
// say.
//
// `repeat until half of A` and `repeat until A runs out` are solved outside of the piece (`fit.hpp`): it is
// worked with one number and another until the yarn comes out, and then with the one that was found.

#include <fmt/format.h>

#include "compiler/piece_worker.hpp"

namespace wale {

/// The number that stands in the place of what the file says of the step, if one does.
long long PieceWorker::or_instead(Span step, long long said) const {
  const auto found = shelf_.instead.find(step.begin);
  return found == shelf_.instead.end() ? said : found->second;
}

std::optional<long long> PieceWorker::how_often(const tree::Repeat& source, Step& out) {
  if (source.form == tree::Repeat::Form::times) {
    const auto times = evaluate_count(*source.amount, shelf_.scope, 1, "a repeat", diagnostics_);
    if (!times) return {};
    return or_instead(out.span, *times);
  }
  const auto strand = resolver_.strand(*source.strand);
  if (!strand) return {};
  out.until_yarn = UntilYarn{source.form == tree::Repeat::Form::until_half, *strand};
  if (repeats_ > 1) {
    diagnostics_
        .add(Kind::never_reached, source.strand->span,
             fmt::format("inside another repeat, {} would be used up the first time through",
                         source.strand->text))
        .try_this("say how often: repeat 4 times");
    return {};
  }
  return or_instead(out.span, 1);
}

}  // namespace wale
