/// Fabrics made at random, good ones and bad ones, and made smaller while they still show what is wrong.
#pragma once

#include <functional>
#include <random>
#include <string>
#include <vector>

#include "compiler/pattern.hpp"

namespace wale::naive {

/// Random numbers that are the same on every machine.
class Dice {
 public:
  explicit Dice(std::uint64_t seed) : engine_(seed) {}
  /// From `least` to `most`, both included.
  long long number(long long least, long long most) {
    return least + static_cast<long long>(engine_() % static_cast<std::uint64_t>(most - least + 1));
  }
  bool chance(int percent) { return number(1, 100) <= percent; }
  template <typename T>
  const T& one_of(const std::vector<T>& list) {
    return list[static_cast<std::size_t>(number(0, static_cast<long long>(list.size()) - 1))];
  }

 private:
  std::mt19937_64 engine_;
};

/// A fabric as its author would give it: nothing proved.
struct Sketch {
  Form form = Form::flat;
  Linear width;
  std::vector<Row> rows;
};

/// The shipped vocabulary, and some crossings in it.
Stitches& vocabulary();
/// Strands A and B.
const std::vector<Strand>& two_strands();

/// Plain stitches with increases, decreases, groups, strands and crossings; most of them fit.
Sketch random_plain(Dice& dice);
/// Brioche stitches over loops of the types that they ask for, fills begun anywhere in the repeat.
Sketch random_typed(Dice& dice);
/// Rows that turn in mid-row, plainly, with wraps and with double stitches; flat and round.
Sketch random_turning(Dice& dice);
/// Double knitting: pairs in two strands, layers exchanged, closed edges, turns.
Sketch random_layered(Dice& dice);

Op stitch_op(const std::string& word, long long count = 1);
Op frame(Op::Form form, std::vector<Op> ops, long long count = 1);
/// Numbers and sides for rows of which only the ops are there yet; `slides`: another pass over it follows.
void number_rows(Sketch& sketch, const std::vector<bool>& slides);
/// Ops without a fill.
std::vector<Op> random_ops(Dice& dice, const std::vector<std::string>& words, int depth = 0);

Fabric fabric_of(const Sketch& sketch);
/// As it would be written in a file.
std::string words_of(const Sketch& sketch, const std::string& name = "f");

/// The smallest sketch found on the way down from this one that still fails, in at most 2,000 looks.
Sketch shrink(Sketch sketch, const std::function<bool(const Sketch&)>& fails);

}  // namespace wale::naive
