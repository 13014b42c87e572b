#include "compiler/bring_in.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <bitset>
#include <filesystem>
#include <map>
#include <set>

#include "grammar/tokens.hpp"

namespace wale {

namespace {

using Words = std::set<std::string, std::less<>>;

/// What a declaration is known by: its kind, and its name.
struct Key {
  std::string_view kind;
  std::string name;
  auto operator<=>(const Key&) const = default;
};

constexpr std::string_view gauge_kind = "gauges";

/// The key of what can be lent; nothing for what stays in its file. `where` is its name.
std::optional<Key> key_of(const tree::Declaration& declaration, Span& where) {
  where = declaration.span;
  const auto named = [&](std::string_view kind, const tree::Name& name) {
    where = name.span;
    return Key{kind, name.text};
  };
  if (const auto* yarn = std::get_if<tree::Yarn>(&declaration.what)) return named("yarns", yarn->name);
  if (const auto* strand = std::get_if<tree::Strand>(&declaration.what))
    return named("strands", strand->name);
  if (const auto* measure = std::get_if<tree::Measure>(&declaration.what))
    return named("measures", measure->name);
  if (const auto* fabric = std::get_if<tree::Fabric>(&declaration.what))
    return named("fabrics", fabric->name);
  if (const auto* swatch = std::get_if<tree::Swatch>(&declaration.what))
    return named("swatches of", swatch->fabric);
  if (const auto* stitch = std::get_if<tree::Stitch>(&declaration.what))
    return named(stitch->crossing ? "crossings" : "stitches", stitch->name);
  if (const auto* gauge = std::get_if<tree::Gauge>(&declaration.what))
    return Key{gauge_kind, gauge->fabric ? gauge->fabric->text : ""};
  return {};
}

/// A stitch may be named with a count behind it, a family of crossings by the end of a word.
void add_words_of(const Source& source, const Token& token, Words& out) {
  const std::string_view text = source.text({token.begin, token.end, source.number()});
  if (token.kind == TokenKind::crossing) {
    out.emplace(text.substr(text.find_last_of("0123456789/") + 1));
  } else if (token.kind == TokenKind::name) {
    out.emplace(text);
    out.emplace(text.substr(0, text.find_last_not_of("0123456789") + 1));
  }
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
      }
  }

  /// Of the used declarations of one key, those of the file that goes before the others.
  void choose() {
    std::map<Key, std::vector<std::size_t>> by_key;
    bool own_gauge = false;
    for (std::size_t i = 0; i < lent_.size(); ++i) {
      by_key[lent_[i].key].push_back(i);
      own_gauge |= lent_[i].file == 0 && lent_[i].key.kind == gauge_kind;
    }
    for (const auto& [key, places] : by_key) {
      if (lent_[places.front()].file == 0) continue;
      // The first gauge stands for all fabrics without one: an own one keeps that part.
      if (key.kind == gauge_kind && key.name.empty() && own_gauge) continue;
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
    Words words;
    bool season = false;
    for (const tree::Declaration& each : files_.front().tree.declarations) {
      season |= std::holds_alternative<tree::Season>(each.what);
      if (const auto* stash = std::get_if<tree::Stash>(&each.what))
        for (const tree::Stash::Lot& lot : stash->lots) own_lots_.insert(name_of(lot));
      add_words(0, each.span, words);
    }
    // A season shares out the whole stash.
    if (season)
      for (std::size_t file = 1; file < files_.size(); ++file)
        for (const tree::Declaration& each : files_[file].tree.declarations)
          if (std::holds_alternative<tree::Stash>(each.what)) add_words(file, each.span, words);
    std::map<std::string, std::vector<std::size_t>, std::less<>> by_name;
    for (std::size_t i = 0; i < lent_.size(); ++i)
      if (lent_[i].chosen && !lent_[i].wanted) by_name[lent_[i].key.name].push_back(i);
    words.emplace();  // a gauge of no fabric comes in unasked
    std::vector<std::string> open(words.begin(), words.end());
    while (!open.empty()) {
      const std::string word = std::move(open.back());
      open.pop_back();
      const auto found = by_name.find(word);
      if (found == by_name.end()) continue;
      for (const std::size_t i : found->second) {
        lent_[i].wanted = true;
        Words more;
        add_words(lent_[i].file, lent_[i].declaration->span, more);
        for (const std::string& each : more)
          if (words.insert(each).second) open.push_back(each);
        if (const auto rivals = rivals_.find(lent_[i].key); rivals != rivals_.end())
          say_rivals(lent_[i], rivals->second.at(1));
      }
    }
    words_ = std::move(words);
  }

  void add_words(std::size_t file, Span span, Words& words) {
    const Source& source = files_[file].source;
    std::vector<Token>& tokens = tokens_[file];
    if (tokens.empty()) {
      Diagnostics quiet;
      tokens = read_tokens(source, quiet);
    }
    const auto first =
        std::lower_bound(tokens.begin(), tokens.end(), span.begin,
                         [](const Token& token, std::uint32_t at) { return token.begin < at; });
    for (auto token = first; token != tokens.end() && token->begin < span.end; ++token)
      add_words_of(source, *token, words);
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
                         chosen.key.kind, what))
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
    add_words(lent_[at].file, lent_[at].declaration->span, needed);
    for (const std::string& word : needed)
      if (const auto found = measures_of_.find(word); found != measures_of_.end())
        for (const std::size_t i : found->second)
          if (lent_[i].file != lent_[at].file || i < at) place(i, depth + 1);
    measures_.push_back(lent_[at].declaration);
  }

  void merge() {
    const tree::Pattern& own = files_.front().tree;
    out_.span = own.span;
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
  static std::pair<std::string, std::string> name_of(const tree::Stash::Lot& lot) {
    return {lot.yarn.text, lot.lot ? lot.lot->text : ""};
  }

  /// The lots of yarns that are needed, but for those that the pattern has itself.
  void lend(const tree::Stash& stash, Span span) {
    tree::Stash part;
    for (const tree::Stash::Lot& lot : stash.lots)
      if (words_.contains(lot.yarn.text) && !own_lots_.contains(name_of(lot))) part.lots.push_back(lot);
    if (!part.lots.empty()) out_.declarations.push_back({std::move(part), span});
  }

  const std::vector<LoadedFile>& files_;
  Diagnostics& diagnostics_;
  std::vector<std::bitset<most_files>> reached_;
  std::vector<Lent> lent_;
  std::map<Key, std::vector<std::size_t>> rivals_;
  std::map<std::size_t, std::vector<Token>> tokens_;
  std::set<std::pair<std::string, std::string>> own_lots_;
  std::map<std::string, std::vector<std::size_t>, std::less<>> measures_of_;  ///< that come in, by name
  std::vector<const tree::Declaration*> measures_;                            ///< in the order that they get
  Words words_;
  tree::Pattern out_;
};

}  // namespace

tree::Pattern bring_in(const Loaded& loaded, Diagnostics& diagnostics) {
  return Bringer(loaded, diagnostics).run();
}

}  // namespace wale
