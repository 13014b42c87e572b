#include "compiler/declared_names.hpp"

#include <algorithm>

#include "compiler/name_order.hpp"

namespace wale {

namespace {

bool before(const DeclaredNames::Declared& a, const DeclaredNames::Declared& b) {
  return a.what != b.what ? a.what < b.what : NameOrder()(a.name, b.name);
}

}  // namespace

std::string_view DeclaredNames::words(Of what) {
  switch (what) {
    case Of::yarns:
      return "yarns";
    case Of::strands:
      return "strands";
    case Of::measures:
      return "measures";
    case Of::swatches:
      return "swatches";
    case Of::fabrics:
      return "fabrics";
    case Of::pieces:
      return "pieces";
  }
  return "names";
}

DeclaredNames::DeclaredNames(const Declarations& pattern) {
  const auto note = [&](Of what, const tree::Name& name) { names_.push_back({what, name.text, name.span}); };
  names_.reserve(pattern.size());
  pattern.for_each<tree::Yarn>([&](const tree::Yarn& yarn, Span) { note(Of::yarns, yarn.name); });
  pattern.for_each<tree::Strand>([&](const tree::Strand& strand, Span) { note(Of::strands, strand.name); });
  pattern.for_each<tree::Measure>([&](const tree::Measure& each, Span) { note(Of::measures, each.name); });
  pattern.for_each<Boxed<tree::Swatch>>(
      [&](const Boxed<tree::Swatch>& swatch, Span) { note(Of::swatches, swatch->fabric); });
  pattern.for_each<tree::Fabric>([&](const tree::Fabric& fabric, Span) { note(Of::fabrics, fabric.name); });
  pattern.for_each<tree::Piece>([&](const tree::Piece& piece, Span) { note(Of::pieces, piece.name); });
  std::stable_sort(names_.begin(), names_.end(), before);
  const auto rest = std::unique(names_.begin(), names_.end(), [](const Declared& a, const Declared& b) {
    return a.what == b.what && a.name == b.name;
  });
  any_twice_ = rest != names_.end();
  names_.erase(rest, names_.end());
}

const Span* DeclaredNames::first(Of what, std::string_view name) const {
  const auto found = std::lower_bound(names_.begin(), names_.end(), Declared{what, name, {}}, before);
  return found != names_.end() && found->what == what && found->name == name ? &found->where : nullptr;
}

std::span<const DeclaredNames::Declared> DeclaredNames::all(Of what) const {
  const auto begin =
      std::find_if(names_.begin(), names_.end(), [&](const Declared& d) { return d.what == what; });
  const auto end = std::find_if(begin, names_.end(), [&](const Declared& d) { return d.what != what; });
  return {begin, end};
}

std::vector<std::string> DeclaredNames::names(Of what) const {
  std::vector<std::string> out;
  for (const Declared& each : all(what)) out.emplace_back(each.name);
  std::sort(out.begin(), out.end());
  return out;
}

}  // namespace wale
