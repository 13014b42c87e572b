#include "compiler/values.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "compiler/body_sizes.hpp"
#include "compiler/name_order.hpp"
#include "grammar/parser.hpp"

namespace wale {

namespace {

struct Unit {
  Keyword name;
  Dimension dimension;
  double size;  ///< in cm or g
};
constexpr std::array units{Unit{"mm", Dimension::length, 0.1},       Unit{"cm", Dimension::length, 1},
                           Unit{"m", Dimension::length, 100},        Unit{"in", Dimension::length, 2.54},
                           Unit{"yd", Dimension::length, 91.44},     Unit{"g", Dimension::mass, 1},
                           Unit{"oz", Dimension::mass, 28.349523125}};

std::string_view name_of(Dimension dimension) {
  switch (dimension) {
    case Dimension::count:
      return "a plain number";
    case Dimension::length:
      return "a length";
    case Dimension::mass:
      return "a weight";
  }
  return "a number";
}

/// Adds up `4n + 2`; false where something else stands in it.
bool multiple(const tree::Expression& e, double sign, double& per_n, double& base) {
  using Form = tree::Expression::Form;
  if (e.form == Form::multiple) return per_n += sign * e.value, e.value == std::floor(e.value);
  if (e.form == Form::name && e.word == "n") return per_n += sign, true;
  if (e.form == Form::number && !e.unit) return base += sign * e.value, e.value == std::floor(e.value);
  if (e.form != Form::binary || (e.word != "+" && e.word != "-")) return false;
  return multiple(e.operands[0], sign, per_n, base) &&
         multiple(e.operands[1], e.word == "+" ? sign : -sign, per_n, base);
}

class Evaluator {
 public:
  Evaluator(const Scope& scope, Diagnostics& diagnostics) : scope_(scope), diagnostics_(diagnostics) {}

  std::optional<Quantity> value(const tree::Expression& e) {
    using Form = tree::Expression::Form;
    switch (e.form) {
      case Form::number:
        return number(e);
      case Form::name:
        return name(e);
      case Form::multiple:
        return fail(e.span, "a multiple of n stands only in a fabric's width and in near(..., 4n + 2)");
      case Form::list:
        return list(e);
      case Form::call:
        return call(e);
      case Form::binary:
        return binary(e);
      case Form::negate: {
        auto inner = value(e.operands[0]);
        if (inner) inner->value = -inner->value;
        return inner;
      }
    }
    return {};
  }

 private:
  std::optional<Quantity> fail(Span span, std::string message) {
    diagnostics_.add(Kind::bad_measure, span, std::move(message));
    return {};
  }

  std::optional<Quantity> number(const tree::Expression& e) {
    if (!e.unit) return Quantity{e.value, Dimension::count};
    return in_unit(e.value, e.unit);
  }

  /// The value of the size that is worked out.
  std::optional<Quantity> list(const tree::Expression& e) {
    if (scope_.sizes.empty()) {
      diagnostics_
          .add(Kind::one_value_per_size, e.span,
               "a list gives one value for each size, and the pattern names no sizes")
          .try_this("sizes S M L");
      return {};
    }
    if (e.operands.size() != scope_.sizes.size()) {
      diagnostics_
          .add(Kind::one_value_per_size, e.span,
               fmt::format("the list has {}, and the pattern {}",
                           count_of(static_cast<long long>(e.operands.size()), "value", "values"),
                           count_of(static_cast<long long>(scope_.sizes.size()), "size", "sizes")))
          .note(fmt::format("the sizes are {}", fmt::join(scope_.sizes, " ")))
          .try_this("write one value for each, in that order");
      return {};
    }
    const auto one = value(e.operands[scope_.size]);
    if (!one || !e.unit) return one;
    if (one->dimension != Dimension::count)
      return fail(e.operands[scope_.size].span, "this has a unit of its own, and the list has one, too");
    return in_unit(one->value, e.unit);
  }

  static Quantity in_unit(double value, Keyword name) {
    const auto* unit =
        std::find_if(units.begin(), units.end(), [&](const Unit& u) { return u.name == name; });
    return {value * unit->size, unit->dimension};
  }

  std::optional<Quantity> name(const tree::Expression& e) {
    if (const Scope::Measure* measure = scope_.find(e.word)) {
      if (measure->value || measure->unclear) return measure->value;
      const bool itself = measure->where.begin < e.span.begin;
      diagnostics_
          .add(Kind::bad_measure, e.span,
               itself ? fmt::format("`{}` cannot be told from itself", e.word)
                      : fmt::format("`{}` is declared below, and is not known here yet", e.word))
          .label(measure->where, "declared here")
          .try_this(itself ? "give it a value, or call one of the two another name"
                           : fmt::format("move `measure {} = ...` above the measures that use it", e.word));
      return {};
    }
    std::vector<std::string> names;
    if (!diagnostics_.full())
      for (const Scope::Measure& known : scope_.measures) names.emplace_back(known.name);
    std::sort(names.begin(), names.end());
    diagnostics_.add(Kind::bad_measure, e.span, fmt::format("no measure is called `{}`", e.word))
        .try_nearest(e.span, e.word, names);
    return {};
  }

  std::optional<Quantity> binary(const tree::Expression& e) {
    const auto left = value(e.operands[0]), right = value(e.operands[1]);
    if (!left || !right) return {};
    if (e.word == "+" || e.word == "-") {
      if (left->dimension != right->dimension)
        return fail(e.span, fmt::format("{} and {} cannot be {}", name_of(left->dimension),
                                        name_of(right->dimension), e.word == "+" ? "added" : "subtracted"));
      return Quantity{e.word == "+" ? left->value + right->value : left->value - right->value,
                      left->dimension};
    }
    if (e.word == "*") {
      if (left->dimension != Dimension::count && right->dimension != Dimension::count)
        return fail(e.span, "two measures cannot be multiplied; one of them must be a plain number");
      return Quantity{left->value * right->value,
                      left->dimension == Dimension::count ? right->dimension : left->dimension};
    }
    if (right->value == 0) return fail(e.operands[1].span, "this is zero, and nothing can be divided by it");
    if (left->dimension == right->dimension) return Quantity{left->value / right->value, Dimension::count};
    if (right->dimension != Dimension::count)
      return fail(e.span, fmt::format("{} cannot be divided by {}", name_of(left->dimension),
                                      name_of(right->dimension)));
    return Quantity{left->value / right->value, left->dimension};
  }

  std::optional<Quantity> call(const tree::Expression& e) {
    if (e.word == "min" || e.word == "max") return extreme(e);
    if (e.word == "near") return near(e);
    if (e.word == "rows" || e.word == "stitches") {
      const auto length = one_length(e, 1);
      if (!length) return {};
      const double density = e.word == "rows" ? scope_.gauge->rows_per_cm : scope_.gauge->stitches_per_cm;
      return Quantity{std::round(*length * density), Dimension::count};
    }
    if (e.word == "height" || e.word == "width") return extent(e);
    if (e.word == "body") return body(e);
    if (e.word == "ease") return ease(e);
    const Span word{e.span.begin, e.span.begin + static_cast<std::uint32_t>(e.word.size()), e.span.source};
    Diagnostic& added =
        diagnostics_.add(Kind::bad_measure, e.span, fmt::format("there is no `{}(...)`", e.word));
    if (!added.try_nearest(word, e.word,
                           {"near", "rows", "stitches", "height", "width", "min", "max", "body", "ease"},
                           Candidates::closed))
      added.try_this("near, rows, stitches, height, width, min, max, body, ease");
    return {};
  }

  /// `body(woman, bust)`: what the standard gives for the size that is worked out.
  std::optional<Quantity> body(const tree::Expression& e) {
    const auto is = [&](std::size_t i, std::string_view word) {
      return e.operands.size() == 2 && e.operands[i].form == tree::Expression::Form::name &&
             e.operands[i].word == word;
    };
    if (!is(0, "woman") || !is(1, "bust")) {
      diagnostics_.add(Kind::bad_measure, e.span, "`body` wants who it is for, and which measure")
          .note("known so far is a woman's bust, as the Craft Yarn Council's standard has it")
          .try_this("body(woman, bust)");
      return {};
    }
    const std::string size = scope_.sizes.empty() ? "" : scope_.sizes[scope_.size];
    if (const auto cm = woman_bust_cm(size)) return Quantity{*cm, Dimension::length};
    diagnostics_
        .add(Kind::unknown_size, e.span,
             size.empty() ? "`body` goes by the name of a size, and the pattern names none"
                          : fmt::format("the standard has no size called `{}`", size))
        .note(fmt::format("its sizes are {}", fmt::join(standard_sizes(), " ")))
        .try_this(size.empty() ? "sizes S M L" : "call the size so, or give its measure: [86 97 107] cm");
    return {};
  }

  std::optional<Quantity> ease(const tree::Expression& e) {
    if (e.operands.size() == 1 && e.operands[0].form == tree::Expression::Form::name)
      if (const auto cm = ease_cm(e.operands[0].word)) return Quantity{*cm, Dimension::length};
    diagnostics_
        .add(Kind::bad_measure, e.span, fmt::format("`ease` wants one of {}", fmt::join(ease_words(), ", ")))
        .try_this("ease(classic)");
    return {};
  }

  /// `height(40)`, `width(21)`: what so many rows or stitches measure.
  std::optional<Quantity> extent(const tree::Expression& e) {
    if (e.operands.size() != 1)
      return fail(e.span, fmt::format("`{}` wants {} here", e.word,
                                      e.word == "height" ? "a number of rows" : "a number of stitches"));
    if (!has_gauge(e)) return {};
    const auto count = value(e.operands[0]);
    if (!count) return {};
    if (count->dimension != Dimension::count)
      return fail(e.operands[0].span,
                  fmt::format("expected a plain number, but this is {}", name_of(count->dimension)));
    const double density = e.word == "height" ? scope_.gauge->rows_per_cm : scope_.gauge->stitches_per_cm;
    return Quantity{count->value / density, Dimension::length};
  }

  bool has_gauge(const tree::Expression& e) {
    if (scope_.gauge) return true;
    if (scope_.gauge_unclear) return false;
    diagnostics_.add(Kind::no_gauge, e.span, fmt::format("`{}` needs a gauge", e.word))
        .try_this("gauge 20 st x 28 rows = 10 cm");
    return false;
  }

  std::optional<double> one_length(const tree::Expression& e, std::size_t operands) {
    if (e.operands.size() != operands) {
      fail(e.span, fmt::format("`{}` wants {} here", e.word,
                               operands == 1 ? "one length" : "a length and a multiple"));
      return {};
    }
    if (!has_gauge(e)) return {};
    const auto length = value(e.operands[0]);
    if (!length) return {};
    if (length->dimension != Dimension::length) {
      fail(e.operands[0].span, fmt::format("expected a length, but this is {}", name_of(length->dimension)));
      return {};
    }
    return length->value;
  }

  std::optional<Quantity> extreme(const tree::Expression& e) {
    std::optional<Quantity> out;
    for (const tree::Expression& operand : e.operands) {
      const auto next = value(operand);
      if (!next) return {};
      if (out && out->dimension != next->dimension)
        return fail(operand.span, fmt::format("{} and {} cannot be compared", name_of(out->dimension),
                                              name_of(next->dimension)));
      const bool better = !out || (e.word == "min" ? next->value < out->value : next->value > out->value);
      if (better) out = next;
    }
    if (!out) return fail(e.span, fmt::format("`{}` wants something to choose from", e.word));
    return out;
  }

  /// The multiple nearest to a length's stitches; of two as near, the larger one.
  std::optional<Quantity> near(const tree::Expression& e) {
    const auto length = one_length(e, 2);
    if (!length) return {};
    double per_n = 0, base = 0;
    if (!multiple(e.operands[1], 1, per_n, base) || per_n <= 0)
      return fail(e.operands[1].span, "expected a multiple, such as 4n or 4n + 2");
    const double stitches = *length * scope_.gauge->stitches_per_cm;
    const double n = std::max(0.0, std::floor((stitches - base) / per_n + 0.5));
    return Quantity{per_n * n + base, Dimension::count};
  }

  const Scope& scope_;
  Diagnostics& diagnostics_;
};

/// Where a value stands: in a list, that of the size which is worked out.
Span place_of(const tree::Expression& e, const Scope& scope) {
  const bool listed =
      e.form == tree::Expression::Form::list && e.operands.size() == scope.sizes.size() && !e.unit;
  return listed ? e.operands[scope.size].span : e.span;
}

std::optional<double> evaluate_measure(const tree::Expression& expression, const Scope& scope,
                                       Dimension wanted, double largest, std::string_view what,
                                       Diagnostics& diagnostics) {
  const auto found = evaluate(expression, scope, diagnostics);
  if (!found) return {};
  if (!is_of(wanted, *found, place_of(expression, scope), what, diagnostics)) return {};
  if (!(found->value > 0) || found->value > largest) {
    diagnostics.add(
        Kind::bad_measure, place_of(expression, scope),
        fmt::format("{} {}", what,
                    found->value > 0 ? "is larger than any knitting" : "must be more than nothing"));
    return {};
  }
  return found->value;
}

}  // namespace

const Scope::Measure* Scope::find(std::string_view name) const {
  const auto found = std::lower_bound(
      measures.begin(), measures.end(), name,
      [](const Measure& measure, std::string_view wanted) { return NameOrder()(measure.name, wanted); });
  return found != measures.end() && found->name == name ? &*found : nullptr;
}

bool is_of(Dimension wanted, const Quantity& found, Span where, std::string_view what,
           Diagnostics& diagnostics) {
  if (found.dimension == wanted) return true;
  Diagnostic& added = diagnostics.add(
      Kind::bad_measure, where,
      fmt::format("{} is {}, but this is {}", what, name_of(wanted), name_of(found.dimension)));
  added.try_this(wanted == Dimension::length ? "lengths are in mm, cm, m, in or yd"
                 : wanted == Dimension::mass ? "weights are in g or oz"
                                             : "write the number without a unit");
  return false;
}

std::optional<Quantity> evaluate(const tree::Expression& expression, const Scope& scope,
                                 Diagnostics& diagnostics) {
  return Evaluator(scope, diagnostics).value(expression);
}

std::optional<long long> evaluate_count(const tree::Expression& expression, const Scope& scope,
                                        long long least, std::string_view what, Diagnostics& diagnostics) {
  const auto found = evaluate(expression, scope, diagnostics);
  if (!found) return {};
  if (found->dimension != Dimension::count) {
    diagnostics
        .add(Kind::bad_measure, place_of(expression, scope),
             fmt::format("{} is a plain number, but this is {}", what, name_of(found->dimension)))
        .try_this("stitches(...) and rows(...) turn a length into a number");
    return {};
  }
  if (found->value > static_cast<double>(largest_count)) {
    diagnostics
        .add(Kind::number_too_large, place_of(expression, scope),
             fmt::format("{} is larger than any knitting", what))
        .try_this("counts go up to 1,000,000,000");
    return {};
  }
  if (!(found->value >= static_cast<double>(least)) || std::floor(found->value) != found->value) {
    diagnostics.add(Kind::bad_measure, place_of(expression, scope),
                    fmt::format("{} must be a whole number, {} or more", what, least));
    return {};
  }
  return static_cast<long long>(found->value);
}

std::optional<Linear> read_multiple(const tree::Expression& expression) {
  double per_n = 0, base = 0;
  if (!multiple(expression, 1, per_n, base) || per_n == 0) return {};
  const double most = static_cast<double>(largest_count);
  if (std::abs(per_n) > most || std::abs(base) > most) return {};
  return Linear(static_cast<long long>(per_n), static_cast<long long>(base));
}

std::optional<double> evaluate_length(const tree::Expression& expression, const Scope& scope,
                                      std::string_view what, Diagnostics& diagnostics) {
  return evaluate_measure(expression, scope, Dimension::length, 1e8, what, diagnostics);
}

std::optional<double> evaluate_mass(const tree::Expression& expression, const Scope& scope,
                                    std::string_view what, Diagnostics& diagnostics) {
  return evaluate_measure(expression, scope, Dimension::mass, 1e9, what, diagnostics);
}

}  // namespace wale
