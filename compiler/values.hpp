/// Numbers with units: what an expression comes to.
///
/// Lengths are held in centimetres and masses in grams, so 1 in + 1 cm is 3.54 cm; a length plus a count is
/// an error that says so. 1 yd = 0.9144 m, 1 oz = 28.349523125 g, 1 in = 2.54 cm, exactly (international yard
/// and pound, 1959).
///
///     near(86 cm + 10 cm, 4n) at 20 st to 10 cm     192 st
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "compiler/pattern.hpp"

namespace wale {

enum class Dimension : unsigned char { count, length, mass };

/// A count, centimetres, or grams.
struct Quantity {
  double value = 0;
  Dimension dimension = Dimension::count;
};

/// What expressions may refer to.
struct Scope {
  struct Measure {
    std::string_view name;
    Span where;
    std::optional<Quantity> value = {};  ///< nothing where it is not known yet
    bool unclear = false;                ///< it has a mistake that has been reported
  };
  std::vector<Measure> measures;  ///< all of the file, in `NameOrder`, each once; the names stand in its tree
  bool gauge_unclear = false;     ///< a gauge has a mistake that has been reported
  const Gauge* gauge = nullptr;   ///< for `near`, `rows`, `stitches`; may be null
  std::span<const std::string> sizes;  ///< declared by the pattern; empty where it has one and no name for it
  std::size_t size = 0;                ///< the one that is worked out

  /// Null where no measure is called so.
  const Measure* find(std::string_view name) const;
};

std::optional<Quantity> evaluate(const tree::Expression& expression, const Scope& scope,
                                 Diagnostics& diagnostics);
/// Whether the quantity is a count, a length or a weight as is wanted of `what`; says so where it is not.
bool is_of(Dimension wanted, const Quantity& found, Span where, std::string_view what,
           Diagnostics& diagnostics);
/// A whole number from `least` to 1,000,000,000; `what` names it in messages ("the cast-on").
std::optional<long long> evaluate_count(const tree::Expression& expression, const Scope& scope,
                                        long long least, std::string_view what, Diagnostics& diagnostics);
/// A length in centimetres, over 0 and at most 1,000 km.
std::optional<double> evaluate_length(const tree::Expression& expression, const Scope& scope,
                                      std::string_view what, Diagnostics& diagnostics);
/// A mass in grams, over 0.
std::optional<double> evaluate_mass(const tree::Expression& expression, const Scope& scope,
                                    std::string_view what, Diagnostics& diagnostics);

/// `4n`, `4n + 2`: a multiple as it is written; nothing where the expression is none.
std::optional<Linear> read_multiple(const tree::Expression& expression);

}  // namespace wale
