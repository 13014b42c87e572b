#include "compiler/yarn_reading.hpp"

#include <fmt/format.h>

#include <charconv>

#include "compiler/strands.hpp"

namespace wale {

namespace {

bool has_length_first(const tree::Yarn& source, const Scope& scope) {
  Diagnostics quiet;
  const auto first = evaluate(source.mass, scope, quiet), second = evaluate(source.length, scope, quiet);
  return first && second && first->dimension == Dimension::length && second->dimension == Dimension::mass;
}

/// `#2f5d50`
Rgb read_colour(std::string_view text) {
  std::uint32_t value = 0;
  std::from_chars(text.data() + 1, text.data() + text.size(), value, 16);
  return {static_cast<unsigned char>(value >> 16), static_cast<unsigned char>(value >> 8 & 0xFF),
          static_cast<unsigned char>(value & 0xFF)};
}

}  // namespace

std::optional<Yarn> read_yarn(const tree::Yarn& source, const Scope& scope, Diagnostics& diagnostics) {
  Diagnostics found;
  const auto grams = evaluate_mass(source.mass, scope, "a ball's weight", found);
  const auto length = evaluate_length(source.length, scope, "a ball's length", found);
  const Span both = join(source.mass.span, source.length.span);
  if (!grams && !length && has_length_first(source, scope)) {
    diagnostics.add(Kind::bad_measure, both, "a ball's weight comes first, then its length")
        .try_this("100 g = 200 m");
    return {};
  }
  diagnostics.append(found);
  if (!grams || !length) return {};
  Yarn out{source.name.text, source.label.text, *grams, *length / 100, {}, source.name.span};
  for (const tree::Name& word : source.words) out.words.insert(word.text);
  if (const double tex = tex_of(out); !is_knitting_yarn(tex))
    diagnostics.add(
        Kind::bad_measure, both,
        fmt::format("this makes a yarn of {:.3g} g to the kilometre, which is no knitting yarn", tex));
  if (source.colour) out.colour = read_colour(source.colour->text);
  return out;
}

}  // namespace wale
