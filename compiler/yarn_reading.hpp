/// A yarn as its declaration tells it: what a ball weighs and how long it is, its colour, and what it is
/// like.
///
///     yarn kelp "Skerry Sock, Kelp" 100 g = 420 m #2f5d50     100 g, 420 m, 47, 93, 80
#pragma once

#include <optional>

#include "compiler/values.hpp"

namespace wale {

/// Nothing where the ball's weight or length cannot be told, which is reported.
std::optional<Yarn> read_yarn(const tree::Yarn& source, const Scope& scope, Diagnostics& diagnostics);

}  // namespace wale
