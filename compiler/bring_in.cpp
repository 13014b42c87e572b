#include "compiler/bring_in.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <bitset>
#include <filesystem>
#include <map>
#include <numeric>
#include <set>
#include <span>
#include <tuple>

namespace wale {

namespace {

// All views here are of the files, which stay as they are.

/// A name with what its length and its ends come to, which tells most names apart before their letters do.
struct Name {
  explicit Name(std::string_view word) : text(word) {
    if (word.empty()) return;
    const auto letter = [](char c) { return static_cast<unsigned>(static_cast<unsigned char>(c)); };
    glance =
        (static_cast<unsigned>(word.size()) + letter(word.front()) * 8 + letter(word.back()) * 32) % glances;
  }
  auto operator<=>(const Name&) const = default;

  static constexpr unsigned glances = 1024;
  unsigned glance = 0;
  std::string_view text;
};

/// Places in a list, in its order, by the name of what is there. Most words of a file name nothing of the
/// kind.
class ByName {
 public:
  /// Without a place the name is known, and nothing is called so. To be called before any is looked for.
  void add(const Name& name, std::optional<std::size_t> place = {}) {
    likely_.set(name.glance);
    entries_.push_back({name, place ? *place + 1 : 0});
  }
  void sort() { std::sort(entries_.begin(), entries_.end()); }

  /// The number of the name; nothing where it is not known.
  std::optional<std::size_t> find(const Name& name) const {
    if (!likely_.test(name.glance)) return {};
    const auto found = std::lower_bound(entries_.begin(), entries_.end(), Entry{name, 0});
    if (found == entries_.end() || found->first != name) return {};
    return found - entries_.begin();
  }
  /// Above all numbers.
  std::size_t end() const { return entries_.size(); }
  std::string_view text(std::size_t number) const { return entries_[number].first.text; }
  /// What is called by the name of this number.
  template <typename Use>
  void each_place(std::size_t number, const Use& use) const {
    for (std::size_t at = number; at < entries_.size() && entries_[at].first == entries_[number].first; ++at)
      if (entries_[at].second > 0) use(entries_[at].second - 1);
  }

 private:
  using Entry = std::pair<Name, std::size_t>;
  std::vector<Entry> entries_;
  std::bitset<Name::glances> likely_;
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
  Name name;
  auto operator<=>(const Key&) const = default;
};

/// The key of what can be lent; nothing for what stays in its file. `where` is its name.
std::optional<Key> key_of(const tree::Declaration& declaration, Span& where) {
  where = declaration.span;
  const auto named = [&](Lends kind, const tree::Name& name) {
    where = name.span;
    return Key{kind, Name(name.text)};
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
    return Key{Lends::gauges, Name(gauge->fabric ? std::string_view(gauge->fabric->text) : "")};
  return {};
}

bool is_digit(char c) {
  return c >= '0' && c <= '9';
}

/// Calls `use` with the numbers of the words of the token that are known: a stitch may be named with a count
/// behind it, a family of crossings by the end of a word.
template <typename Use>
void each_known(const Source& source, const Token& token, const ByName& known, const Use& use) {
  if (token.kind != TokenKind::crossing && token.kind != TokenKind::name) return;
  const std::string_view text = std::string_view(source.text()).substr(token.begin, token.end - token.begin);
  const auto look_for = [&](std::string_view word) {
    if (const auto number = known.find(Name(word))) use(*number);
  };
  if (token.kind == TokenKind::crossing) return look_for(text.substr(text.find_last_of("0123456789/") + 1));
  look_for(text);
  std::size_t letters = text.size();
  while (letters > 0 && is_digit(text[letters - 1])) --letters;
  if (letters < text.size()) look_for(text.substr(0, letters));
}

class Bringer {
 public:
  Bringer(const Loaded& loaded, Diagnostics& diagnostics) : files_(loaded.files), diagnostics_(diagnostics) {}

  Declarations run() {
    reach();
    list();
    choose();
    want();
    order();
    return merge();
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
          for (const tree::Stash::Lot& lot : stash->lots) askable_.add(Name(lot.yarn.text));
      }
  }

  /// Of the used declarations of one key, those of the file that goes before the others.
  void choose() {
    const bool own_gauge = std::any_of(lent_.begin(), lent_.end(), [](const Lent& each) {
      return each.file == 0 && each.key.kind == Lends::gauges;
    });
    std::vector<std::size_t> by_key(lent_.size());
    std::iota(by_key.begin(), by_key.end(), 0);
    std::sort(by_key.begin(), by_key.end(), [&](std::size_t a, std::size_t b) {
      const Key &one = lent_[a].key, &other = lent_[b].key;
      return std::tie(one.name, one.kind, a) < std::tie(other.name, other.kind, b);
    });
    for (auto begin = by_key.begin(), end = begin; begin != by_key.end(); begin = end) {
      const Key& key = lent_[*begin].key;
      end = std::find_if(begin, by_key.end(), [&](std::size_t i) { return lent_[i].key != key; });
      const std::span places(begin, end);
      if (lent_[places.front()].file == 0) continue;
      // The first gauge stands for all fabrics without one: an own one keeps that part.
      if (key.kind == Lends::gauges && key.name.text.empty() && own_gauge) continue;
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
      if (lent_[i].chosen && !lent_[i].wanted) askable_.add(lent_[i].key.name, i);
    askable_.sort();
    asked_.resize(askable_.end());
    std::vector<std::size_t> open;
    const auto ask = [&](std::size_t name) {
      if (!asked_[name]) open.push_back(name);
      asked_[name] = true;
    };
    bool season = false;
    for (const tree::Declaration& each : files_.front().tree.declarations) {
      season |= std::holds_alternative<tree::Season>(each.what);
      if (const auto* stash = std::get_if<tree::Stash>(&each.what))
        for (const tree::Stash::Lot& lot : stash->lots) own_lots_.insert(name_of(lot));
      each_word(0, each.span, askable_, ask);
    }
    // A season shares out the whole stash.
    if (season)
      for (std::size_t file = 1; file < files_.size(); ++file)
        for (const tree::Declaration& each : files_[file].tree.declarations)
          if (std::holds_alternative<tree::Stash>(each.what)) each_word(file, each.span, askable_, ask);
    if (const auto unasked = askable_.find(Name(""))) ask(*unasked);  // a gauge of no fabric
    while (!open.empty()) {
      const std::size_t name = open.back();
      open.pop_back();
      askable_.each_place(name, [&](std::size_t i) {
        lent_[i].wanted = true;
        each_word(lent_[i].file, lent_[i].declaration->span, askable_, ask);
        if (const auto rivals = rivals_.find(lent_[i].key); rivals != rivals_.end())
          say_rivals(lent_[i], rivals->second.at(1));
      });
    }
  }

  /// The numbers of the known words of a part of the file.
  template <typename Use>
  void each_word(std::size_t file, Span span, const ByName& known, const Use& use) const {
    const Source& source = files_[file].source;
    const std::vector<Token>& tokens = files_[file].parsed->tokens;
    const auto first =
        std::lower_bound(tokens.begin(), tokens.end(), span.begin,
                         [](const Token& token, std::uint32_t at) { return token.begin < at; });
    for (auto token = first; token != tokens.end() && token->begin < span.end; ++token)
      each_known(source, *token, known, use);
  }

  void say_rivals(const Lent& chosen, std::size_t other_file) {
    const auto other = std::find_if(lent_.begin(), lent_.end(), [&](const Lent& each) {
      return each.file == other_file && each.key == chosen.key;
    });
    const auto name = [&](std::size_t file) {
      return std::filesystem::path(files_[file].source.name()).filename().string();
    };
    const std::string what =
        chosen.key.name.text.empty() ? "a gauge" : fmt::format("`{}`", chosen.key.name.text);
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
      if (is_measure(i)) measures_of_.add(lent_[i].key.name, i);
    measures_of_.sort();
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
    std::map<std::string_view, std::size_t> needed;  // in the order of letters
    each_word(lent_[at].file, lent_[at].declaration->span, measures_of_,
              [&](std::size_t name) { needed.emplace(measures_of_.text(name), name); });
    for (const auto& [text, name] : needed)
      measures_of_.each_place(name, [&](std::size_t i) {
        if (lent_[i].file != lent_[at].file || i < at) place(i, depth + 1);
      });
    out_.push_back(lent_[at].declaration);
  }

  Declarations merge() {
    const auto stays = [](const tree::Declaration& each) {
      return !std::holds_alternative<tree::Measure>(each.what) &&
             !std::holds_alternative<tree::Use>(each.what);
    };
    for (const tree::Declaration& each : files_.front().tree.declarations)
      if (stays(each)) out_.push_back(&each);
    for (const Lent& each : lent_)
      if (each.file != 0 && each.chosen && each.wanted && stays(*each.declaration))
        out_.push_back(each.declaration);
    std::vector<tree::Declaration> lots;
    bool whole = true;
    for (const LoadedFile& file : files_) {
      whole &= file.tree.whole;
      if (&file == &files_.front()) continue;
      for (const tree::Declaration& each : file.tree.declarations)
        if (const auto* stash = std::get_if<tree::Stash>(&each.what)) lend(*stash, each.span, lots);
    }
    return Declarations(out_, std::move(lots), whole);
  }

  /// A yarn and its dye lot.
  using LotName = std::pair<std::string_view, std::string_view>;
  static LotName name_of(const tree::Stash::Lot& lot) {
    return {lot.yarn.text, lot.lot ? std::string_view(lot.lot->text) : std::string_view()};
  }

  /// The lots of yarns that are needed, but for those that the pattern has itself.
  void lend(const tree::Stash& stash, Span span, std::vector<tree::Declaration>& lots) const {
    tree::Stash part;
    for (const tree::Stash::Lot& lot : stash.lots)
      if (asked_[*askable_.find(Name(lot.yarn.text))] && !own_lots_.contains(name_of(lot)))
        part.lots.push_back(lot);
    if (!part.lots.empty()) lots.push_back({std::move(part), span});
  }

  const std::vector<LoadedFile>& files_;
  Diagnostics& diagnostics_;
  std::vector<std::bitset<most_files>> reached_;
  std::vector<Lent> lent_;
  std::map<Key, std::vector<std::size_t>> rivals_;
  std::set<LotName> own_lots_;
  /// In `lent_`, what may be wanted; with nothing behind it a yarn of which lots can be lent.
  ByName askable_;
  std::vector<bool> asked_;                    ///< of the names of these, those that are named
  ByName measures_of_;                         ///< in `lent_`, that come in
  std::vector<const tree::Declaration*> out_;  ///< measures first, in the order that they get
};

}  // namespace

Declarations bring_in(const Loaded& loaded, Diagnostics& diagnostics) {
  return Bringer(loaded, diagnostics).run();
}

}  // namespace wale
