/// Patterns of shaped pieces made at random, in three sizes: only what the checker accepts is kept, step by
/// step.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "compiler/check.hpp"
#include "tests/unit/random_fabric.hpp"

namespace wale::naive {

struct RandomPattern {
  std::string text;
  Checked checked;
};

/// One to four pieces that are knitted flat, in the round and in both, narrowed, widened, set aside, taken up
/// again, picked up and joined. Nothing where not even the cast-on is good.
std::optional<RandomPattern> random_pattern(Dice& dice);

/// Without lines and blocks that can go while `fails` still holds of the rest.
std::string shrunk_text(std::string text, const std::function<bool(const Checked&)>& fails);

}  // namespace wale::naive
