/// What Wale has to say about a pattern, as values.
///
/// A diagnostic is of a kind, stands at the narrowest span that went wrong, and is written for a knitter:
/// what was met, what was expected, what would fit. The kinds are listed in `diagnostic_kinds.def`, one line
/// each; every kind has a file under `tests/diagnostics/` that shows it. Nothing here prints: `render`
/// returns text.
///
///     rib.wale:3:6: error: row 2 leaves 1 stitch unworked [row-leaves-stitches]
///         3 |   2: <p2 k2> p2
///           |      ^^^^^^^^^^ 4 x 10 + 2 = 42, on the needle 43
///           try  cast on 42 or 46
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "grammar/edits.hpp"
#include "grammar/quote.hpp"
#include "grammar/source.hpp"
#include "grammar/spelling.hpp"

namespace wale {

enum class Severity { note, warning, error };

enum class Kind {
#define WALE_KIND(name, slug, severity, summary) name,
#include "grammar/diagnostic_kinds.def"
#undef WALE_KIND
};

/// What the registry knows about a kind.
struct KindFacts {
  std::string_view slug;  ///< Stable, for people and scripts.
  Severity severity;
  std::string_view summary;  ///< One sentence: what it means.
};
const KindFacts& facts(Kind kind);
const std::vector<Kind>& all_kinds();
/// The part of the registry in which the kind stands, "Rows".
std::string_view group_of(Kind kind);
/// The kind with this slug, if there is one.
std::optional<Kind> find_kind(std::string_view slug);

/// A second place that matters ("first given here").
struct Label {
  Span span;
  std::string text;
};

struct Diagnostic {
  Kind kind;
  Span span;
  std::string message;  ///< What is wrong, one line.
  std::string at;       ///< Short words under the marked place; may be empty.
  std::vector<Label> labels;
  std::vector<std::string> notes;  ///< Why.
  std::vector<std::string> help;   ///< What would fit.
  Mend edits;                      ///< That mend it: only where every knitter would accept them.

  Diagnostic(Kind kind, Span span, std::string message)
      : kind(kind), span(span), message(std::move(message)) {}
  Diagnostic& under(std::string text) {
    at = std::move(text);
    return *this;
  }
  Diagnostic& label(Span where, std::string text) {
    labels.push_back({where, std::move(text)});
    return *this;
  }
  Diagnostic& note(std::string text) {
    notes.push_back(std::move(text));
    return *this;
  }
  Diagnostic& try_this(std::string text) {
    help.push_back(std::move(text));
    return *this;
  }
  /// One more edit of those that mend it together.
  Diagnostic& mend(Span where, std::string text) {
    edits.push_back({where, std::move(text)});
    return *this;
  }
  /// For a word that is none of the candidates: tries the nearest of them, and mends it where that is
  /// certain. Returns whether any was near.
  bool try_nearest(Span where, std::string_view word, const std::vector<std::string>& candidates,
                   Candidates what = Candidates::open);
};

/// Diagnostics in the order they were found. Past `most` they are counted, not kept: no input can fill the
/// memory.
class Diagnostics {
 public:
  static constexpr std::size_t most = 100;

  /// Returns the kept diagnostic, to be filled further; valid until the next one is added.
  Diagnostic& add(Kind kind, Span span, std::string message);
  /// The one added last, to say more about it; there must be one.
  Diagnostic& last() { return overflow_ ? *overflow_ : kept_.back(); }
  void append(const Diagnostics& others);
  /// Counts what the others counted and did not keep.
  void count_dropped(const Diagnostics& others);

  const std::vector<Diagnostic>& all() const { return kept_; }
  std::size_t dropped() const { return dropped_; }
  /// What is added from here on is counted only: help for it need not be looked for.
  bool full() const { return kept_.size() >= most; }
  /// Those kept that can be mended with certainty.
  std::size_t certain() const;
  bool has_errors() const { return errors_ > 0; }
  std::size_t errors() const { return errors_; }
  std::size_t warnings() const { return warnings_; }
  /// Takes the edits from those added after the first so many.
  void drop_edits(std::size_t from);
  /// Takes back what was said of this kind within the span: something said of the whole stands for it.
  void withdraw(Kind kind, Span within);
  /// By place in the source, each place once per kind.
  void sort();

 private:
  std::vector<Diagnostic> kept_;
  std::optional<Diagnostic> overflow_;
  std::size_t dropped_ = 0, errors_ = 0, warnings_ = 0;
};

/// One diagnostic as text: the line that editors and CI understand, the quoted source, notes and help. With
/// `strict` warnings are called errors.
std::string show(const Diagnostic& diagnostic, const Sources& sources, bool strict = false,
                 const Look& look = {});
/// All of them, and a line on those not shown.
std::string show(const Diagnostics& diagnostics, const Sources& sources, bool strict = false,
                 const Look& look = {});

/// "1 stitch", "3 stitches".
std::string count_of(long long count, std::string_view one, std::string_view many);

}  // namespace wale
