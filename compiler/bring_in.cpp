#include "compiler/bring_in.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <bitset>
#include <filesystem>
#include <map>
#include <numeric>
#include <set>
#include <span>
#include <unordered_map>
#include <unordered_set>

namespace wale {

namespace {

// All views here are of the files, which stay as they are.
using Words = std::vector<std::string_view>;

/// Places in a list, in its order, by the name of what is there. Most words of a file name nothing of the
/// kind, which their length and their ends tell.
class ByName {
 public:
  using Places = std::vector<std::size_t>;

  Places& operator[](std::string_view name) {
    likely_.set(at_a_glance(name));
    return places_[name];
  }
  /// Null where nothing is called so.
  const Places* find(std::string_view name) const {
    if (!likely_.test(at_a_glance(name))) return nullptr;
    const auto found = places_.find(name);
    return found == places_.end() ? nullptr : &found->second;
  }

 private:
  static constexpr std::size_t glances = 1024;
  static std::size_t at_a_glance(std::string_view name) {
    if (name.empty()) return 0;
    const auto letter = [](char c) { return static_cast<std::size_t>(static_cast<unsigned char>(c)); };
    return (name.size() + letter(name.front()) * 8 + letter(name.back()) * 32) % glances;
  }

  std::unordered_map<std::string_view, Places> places_;
  std::bitset<glances> likely_;
};

enum class Lends : unsigned char { yarns, strands, measures, fabrics, swatches, stitches, crossings, gauges };

std::string_view words_of(Lends kind) {
  switch (kind) {
    case Lends::yarns:
      return "yarns";
    case Lends::strands:
      return "strands";
    case Lends::measures:
      return "measures";
    case Lends::fabrics:
      return "fabrics";
    case Lends::swatches:
      return "swatches of";
    case Lends::stitches:
      return "stitches";
    case Lends::crossings:
      return "crossings";
    case Lends::gauges:
      return "gauges";
  }
  return "declarations";
}

/// What a declaration is known by: its kind, and its name.
struct Key {
  Lends kind;
  std::string_view name;
  auto operator<=>(const Key&) const = default;
};

/// The key of what can be lent; nothing for what stays in its file. `where` is its name.
std::optional<Key> key_of(const tree::Declaration& declaration, Span& where) {
  where = declaration.span;
  const auto named = [&](Lends kind, const tree::Name& name) {
    where = name.span;
    return Key{kind, name.text};
  };
  if (const auto* yarn = std::get_if<tree::Yarn>(&declaration.what)) return named(Lends::yarns, yarn->name);
  if (const auto* strand = std::get_if<tree::Strand>(&declaration.what))
    return named(Lends::strands, strand->name);
  if (const auto* measure = std::get_if<tree::Measure>(&declaration.what))
    return named(Lends::measures, measure->name);
  if (const auto* fabric = std::get_if<tree::Fabric>(&declaration.what))
    return named(Lends::fabrics, fabric->name);
  if (const auto* swatch = std::get_if<Boxed<tree::Swatch>>(&declaration.what))
    return named(Lends::swatches, (*swatch)->fabric);
  if (const auto* stitch = std::get_if<tree::Stitch>(&declaration.what))
    return named(stitch->crossing ? Lends::crossings : Lends::stitches, stitch->name);
  if (const auto* gauge = std::get_if<tree::Gauge>(&declaration.what))
    return Key{Lends::gauges, gauge->fabric ? std::string_view(gauge->fabric->text) : std::string_view()};
  return {};
}

/// Adds what is known of the words of the token: a stitch may be named with a count behind it, a family of
/// crossings by the end of a word.
void add_words_of(const Source& source, const Token& token, const ByName& known, Words& out) {
  if (token.kind != TokenKind::crossing && token.kind != TokenKind::name) return;
  const std::string_view text = source.text({token.begin, token.end, source.number()});
  const auto add = [&](std::string_view word) {
    if (known.find(word)) out.push_back(word);
  };
  if (token.kind == TokenKind::crossing) return add(text.substr(text.find_last_of("0123456789/") + 1));
  add(text);
  if (const std::size_t last = text.find_last_not_of("0123456789") + 1; last < text.size())
    add(text.substr(0, last));
}

/// Sorted, each once.
void tidy(Words& words) {
  std::sort(words.begin(), words.end());
  words.erase(std::unique(words.begin(), words.end()), words.end());
}

class Bringer {
 public:
  Bringer(const Loaded& loaded, Diagnostics& diagnostics) : files_(loaded.files), diagnostics_(diagnostics) {}

  tree::Pattern run() {
    reach();
    list();
    choose();
    want();
    order();
    merge();
    return std::move(out_);
  }

 private:
  struct Lent {
    const tree::Declaration* declaration = nullptr;
    Key key;
    Span where;
    std::size_t file = 0;
    bool chosen = false, wanted = false, placed = false;
  };

  /// Which files each file uses, through others, too. Files that are used have larger numbers than the first
  /// that uses them, but not than all, so it is done until nothing more is found.
  void reach() {
    reached_.resize(files_.size());
    for (bool more = true; more;) {
      more = false;
      for (std::size_t file = 0; file < files_.size(); ++file) {
        auto now = reached_[file];
        for (const std::size_t used : files_[file].uses) {
          now.set(used);
          now |= reached_[used];
        }
        more |= now != reached_[file];
        reached_[file] = now;
      }
    }
  }

  void list() {
    for (std::size_t file = 0; file < files_.size(); ++file)
      for (const tree::Declaration& each : files_[file].tree.declarations) {
        Span where;
        if (const auto key = key_of(each, where))
          lent_.push_back({&each, *key, where, file, file == 0, file == 0, false});
        if (const auto* stash = std::get_if<tree::Stash>(&each.what); stash && file > 0)
          for (const tree::Stash::Lot& lot : stash->lots) askable_[lot.yarn.text];
      }
  }

  /// Of the used declarations of one key, those of the file that goes before the others.
  void choose() {
    const bool own_gauge = std::any_of(lent_.begin(), lent_.end(), [](const Lent& each) {
      return each.file == 0 && each.key.kind == Lends::gauges;
    });
    std::vector<std::size_t> by_key(lent_.size());
    std::iota(by_key.begin(), by_key.end(), 0);
    std::stable_sort(by_key.begin(), by_key.end(),
                     [&](std::size_t a, std::size_t b) { return lent_[a].key < lent_[b].key; });
    for (auto begin = by_key.begin(), end = begin; begin != by_key.end(); begin = end) {
      const Key& key = lent_[*begin].key;
      end = std::find_if(begin, by_key.end(), [&](std::size_t i) { return lent_[i].key != key; });
      const std::span places(begin, end);
      if (lent_[places.front()].file == 0) continue;
      // The first gauge stands for all fabrics without one: an own one keeps that part.
      if (key.kind == Lends::gauges && key.name.empty() && own_gauge) continue;
      std::vector<std::size_t> first;  // files that no other of these goes before
      for (const std::size_t i : places) {
        const std::size_t file = lent_[i].file;
        const bool after = std::any_of(places.begin(), places.end(), [&](std::size_t other) {
          return lent_[other].file != file && reached_[lent_[other].file].test(file);
        });
        if (!after && (first.empty() || first.back() != file)) first.push_back(file);
      }
      for (const std::size_t i : places) lent_[i].chosen = lent_[i].file == first.front();
      if (first.size() > 1) rivals_[key] = first;
    }
  }

  void want() {
    for (std::size_t i = 0; i < lent_.size(); ++i)
      if (lent_[i].chosen && !lent_[i].wanted) askable_[lent_[i].key.name].push_back(i);
    Words open;
    bool season = false;
    for (const tree::Declaration& each : files_.front().tree.declarations) {
      season |= std::holds_alternative<tree::Season>(each.what);
      if (const auto* stash = std::get_if<tree::Stash>(&each.what))
        for (const tree::Stash::Lot& lot : stash->lots) own_lots_.insert(name_of(lot));
      add_words(0, each.span, askable_, open);
    }
    // A season shares out the whole stash.
    if (season)
      for (std::size_t file = 1; file < files_.size(); ++file)
        for (const tree::Declaration& each : files_[file].tree.declarations)
          if (std::holds_alternative<tree::Stash>(each.what)) add_words(file, each.span, askable_, open);
    open.emplace_back();  // a gauge of no fabric comes in unasked
    tidy(open);
    asked_.insert(open.begin(), open.end());
    while (!open.empty()) {
      const ByName::Places* found = askable_.find(open.back());
      open.pop_back();
      if (!found) continue;
      for (const std::size_t i : *found) {
        lent_[i].wanted = true;
        Words more;
        add_words(lent_[i].file, lent_[i].declaration->span, askable_, more);
        tidy(more);
        for (const std::string_view each : more)
          if (asked_.insert(each).second) open.push_back(each);
        if (const auto rivals = rivals_.find(lent_[i].key); rivals != rivals_.end())
          say_rivals(lent_[i], rivals->second.at(1));
      }
    }
  }

  /// The known words of a part of the file.
  void add_words(std::size_t file, Span span, const ByName& known, Words& words) const {
    const Source& source = files_[file].source;
    const std::vector<Token>& tokens = files_[file].parsed->tokens;
    const auto first =
        std::lower_bound(tokens.begin(), tokens.end(), span.begin,
                         [](const Token& token, std::uint32_t at) { return token.begin < at; });
    for (auto token = first; token != tokens.end() && token->begin < span.end; ++token)
      add_words_of(source, *token, known, words);
  }

  void say_rivals(const Lent& chosen, std::size_t other_file) {
    const auto other = std::find_if(lent_.begin(), lent_.end(), [&](const Lent& each) {
      return each.file == other_file && each.key == chosen.key;
    });
    const auto name = [&](std::size_t file) {
      return std::filesystem::path(files_[file].source.name()).filename().string();
    };
    const std::string what = chosen.key.name.empty() ? "a gauge" : fmt::format("`{}`", chosen.key.name);
    diagnostics_
        .add(Kind::duplicate_name, other->where,
             fmt::format("both {} and {} have {} called {}", name(chosen.file), name(other_file),
                         words_of(chosen.key.kind), what))
        .label(chosen.where, "the other one")
        .note(fmt::format("{} uses both, and needs one of them", name(0)))
        .try_this(fmt::format("declare it in {}: a file's own goes before what it uses", name(0)));
  }

  /// Measures, so that those of other files stand above what is worked out from them; within a file the order
  /// stays as its author wrote it.
  void order() {
    for (std::size_t i = 0; i < lent_.size(); ++i)
      if (is_measure(i)) measures_of_[lent_[i].key.name].push_back(i);
    for (std::size_t file = files_.size(); file-- > 0;)
      for (std::size_t i = 0; i < lent_.size(); ++i)
        if (lent_[i].file == file) place(i, 0);
  }

  bool is_measure(std::size_t at) const {
    return lent_[at].chosen && lent_[at].wanted &&
           std::holds_alternative<tree::Measure>(lent_[at].declaration->what);
  }

  void place(std::size_t at, int depth) {
    constexpr int deepest_chain = 1000;
    if (!is_measure(at) || lent_[at].placed || depth > deepest_chain) return;
    lent_[at].placed = true;
    Words needed;
    add_words(lent_[at].file, lent_[at].declaration->span, measures_of_, needed);
    tidy(needed);
    for (const std::string_view word : needed)
      for (const std::size_t i : *measures_of_.find(word))
        if (lent_[i].file != lent_[at].file || i < at) place(i, depth + 1);
    measures_.push_back(lent_[at].declaration);
  }

  void merge() {
    const tree::Pattern& own = files_.front().tree;
    out_.span = own.span;
    out_.declarations.reserve(own.declarations.size() + lent_.size());
    for (const tree::Declaration* each : measures_) out_.declarations.push_back(*each);
    for (const tree::Declaration& each : own.declarations)
      if (!std::holds_alternative<tree::Measure>(each.what) && !std::holds_alternative<tree::Use>(each.what))
        out_.declarations.push_back(each);
    for (const Lent& each : lent_)
      if (each.file != 0 && each.chosen && each.wanted &&
          !std::holds_alternative<tree::Measure>(each.declaration->what))
        out_.declarations.push_back(*each.declaration);
    for (std::size_t file = 1; file < files_.size(); ++file)
      for (const tree::Declaration& each : files_[file].tree.declarations)
        if (const auto* stash = std::get_if<tree::Stash>(&each.what)) lend(*stash, each.span);
    for (const LoadedFile& file : files_) out_.whole = out_.whole && file.tree.whole;
  }

  /// A yarn and its dye lot.
  using LotName = std::pair<std::string_view, std::string_view>;
  static LotName name_of(const tree::Stash::Lot& lot) {
    return {lot.yarn.text, lot.lot ? std::string_view(lot.lot->text) : std::string_view()};
  }

  /// The lots of yarns that are needed, but for those that the pattern has itself.
  void lend(const tree::Stash& stash, Span span) {
    tree::Stash part;
    for (const tree::Stash::Lot& lot : stash.lots)
      if (asked_.contains(lot.yarn.text) && !own_lots_.contains(name_of(lot))) part.lots.push_back(lot);
    if (!part.lots.empty()) out_.declarations.push_back({std::move(part), span});
  }

  const std::vector<LoadedFile>& files_;
  Diagnostics& diagnostics_;
  std::vector<std::bitset<most_files>> reached_;
  std::vector<Lent> lent_;
  std::map<Key, std::vector<std::size_t>> rivals_;
  std::set<LotName> own_lots_;
  ByName
      askable_;  ///< in `lent_`, what may be wanted; with nothing behind it a yarn of which lots can be lent
  ByName measures_of_;                              ///< that come in
  std::vector<const tree::Declaration*> measures_;  ///< in the order that they get
  std::unordered_set<std::string_view> asked_;      ///< of the askable names, those that are named
  tree::Pattern out_;
};

}  // namespace

tree::Pattern bring_in(const Loaded& loaded, Diagnostics& diagnostics) {
  return Bringer(loaded, diagnostics).run();
}

}  // namespace wale
