// A row's sentence, word by word.
#include <fmt/format.h>

#include <algorithm>

#include "tests/unit/read_back.hpp"

namespace wale::read_back {

namespace {

bool is_digit(char c) {
  return c >= '0' && c <= '9';
}
bool is_lower(char c) {
  return c >= 'a' && c <= 'z';
}
bool is_upper(char c) {
  return c >= 'A' && c <= 'Z';
}
bool in_word(char c) {
  return is_lower(c) || is_upper(c) || is_digit(c) || c == '-' || c == '/' ||
         static_cast<unsigned char>(c) >= 0x80;
}
std::string lower(std::string text) {
  for (char& c : text) c = is_upper(c) ? static_cast<char>(c + 32) : c;
  return text;
}

/// A list of things to do, as the trade separates them: by commas, repeats by a semicolon.
class RowReader {
 public:
  RowReader(Cursor& in, Stitches& table) : in_(in), table_(table) {}

  std::vector<Phrase> list() {
    std::vector<Phrase> out;
    do out.push_back(phrase());
    while (in_.accept(", "));
    return out;
  }

 private:
  Phrase phrase() {
    Phrase out = what();
    // "k2 in A"
    const std::size_t here = in_.at();
    if (in_.accept(" in ")) {
      const std::string name = in_.until(" ,;.:()");
      if (name.empty() || !is_upper(name[0]))
        in_.back_to(here);
      else
        out.strand = name;
    }
    return out;
  }

  Phrase what() {
    Phrase out;
    if (in_.accept("*")) {
      out.kind = Phrase::Kind::repeat;
      out.inner = list();
      in_.expect("; rep from * ");
      out.to_last = to_last();
    } else if (in_.accept("(")) {
      out.kind = Phrase::Kind::group;
      out.inner = list();
      in_.expect(")");
      if (in_.accept(" all into next ")) {
        out.kind = Phrase::Kind::into;
        if (!in_.accept("st")) out.count = in_.sts(), in_.expect(" together");
      } else {
        out.count = maybe_times();
      }
    } else if (in_.accept_any_case("work each st as it faces you ")) {
      out.kind = Phrase::Kind::seen;
      out.to_last = to_last();
    } else if (in_.accept_any_case("wrap next st and turn")) {
      out.kind = Phrase::Kind::turn, out.turn = Turn::wrap;
    } else if (in_.accept_any_case("turn and make a double st")) {
      out.kind = Phrase::Kind::turn, out.turn = Turn::doubled;
    } else if (in_.accept_any_case("turn")) {
      out.kind = Phrase::Kind::turn, out.turn = Turn::plain;
    } else {
      return stitches();
    }
    return out;
  }

  /// "to end", "to last st", "to last 4 sts"
  long long to_last() {
    if (in_.accept("to end")) return 0;
    in_.expect("to last ");
    if (in_.sees("st")) return in_.expect("st"), 1;
    return in_.sts();
  }
  long long maybe_times() {
    const std::size_t here = in_.at();
    if (in_.accept(" twice")) return 2;
    if (!in_.accept(" ")) return 1;
    const auto number = in_.maybe_number();
    if (number && in_.accept(" times")) return *number;
    in_.back_to(here);
    return 1;
  }

  /// "k3", "k2tog twice", "2/2 RC", "sl3 wyif", "k to last 2 sts"
  Phrase stitches() {
    std::string word;
    while (!in_.done() && in_word(in_.peek())) word += in_.peek(), in_.back_to(in_.at() + 1);
    if (word.empty()) in_.stuck("here a stitch should stand");
    if (word.find('/') != std::string::npos &&
        std::all_of(word.begin(), word.end(), [](char c) { return is_digit(c) || c == '/'; })) {
      in_.expect(" ");
      while (is_upper(in_.peek()) || is_lower(in_.peek()) || is_digit(in_.peek()) || in_.peek() == '-')
        word += in_.peek(), in_.back_to(in_.at() + 1);
    }
    word = lower(word);
    Phrase out;
    std::string slip;
    if (in_.accept(" wyif")) slip = "wyif";
    if (in_.accept(" wyib")) slip = "wyib";
    const auto found = table_.lookup(word);
    if (!found) in_.stuck(fmt::format("no such stitch: {}", word));
    out.count = found->count;
    out.stitch = table_[found->stitch].name;
    if (!slip.empty()) {
      if (out.stitch != "sl") in_.stuck("only slipped stitches have the yarn in front or at the back");
      out.stitch = "sl" + slip;
    }
    if (in_.sees(" to end") || in_.sees(" to last ")) {
      in_.expect(" ");
      Phrase repeat;
      repeat.kind = Phrase::Kind::repeat;
      repeat.to_last = to_last();
      repeat.inner.push_back(out);
      return repeat;
    }
    const bool numbered = found->count != 1 || is_digit(word.back());
    const long long times = maybe_times();
    if (times != 1 && numbered && !table_.find(word)) in_.stuck("a number before it and one behind it");
    out.count *= times;
    return out;
  }

  Cursor& in_;
  Stitches& table_;
};

/// "(inc 2 sts)", "(6 sts in each repeat + 2)", "(multiple of 6 sts - 1)", ": 50 sts"
void read_count(Cursor& in, Claims& out) {
  const auto plus = [&] {
    if (in.accept(" + ")) return in.number();
    if (in.accept(" - ")) return -in.number();
    return 0LL;
  };
  if (in.accept(" (")) {
    if (in.accept("inc ")) {
      out.change = in.sts();
    } else if (in.accept("dec ")) {
      out.change = -in.sts();
    } else if (in.accept("multiple of ")) {
      const long long per = in.sts();
      out.multiple = std::pair(per, plus());
    } else {
      const long long per = in.sts();
      in.expect(" in each repeat");
      long long more = 0;
      if (in.accept(" and ")) more = in.number(), in.expect(" more");
      out.in_each = std::pair(per, more);
    }
    in.expect(")");
  } else if (in.accept(": ")) {
    out.after = in.sts();
  }
}

std::pair<long long, long long> read_range(Cursor& in) {
  const long long first = in.number();
  const std::size_t here = in.at();
  if (in.accept(" and ") || in.accept("-"))
    if (const auto last = in.maybe_number()) return {first, *last};
  in.back_to(here);
  return {first, first};
}

Op op_of(const Phrase& phrase, Stitches& table) {
  Op out;
  out.stitch = table.lookup(phrase.stitch)->stitch;
  return out;
}

class Spreader {
 public:
  Spreader(long long ahead, Stitches& table, std::string_view words)
      : ahead_(ahead), table_(table), words_(words) {}

  void read(const std::vector<Phrase>& phrases, const std::string& strand) {
    for (const Phrase& each : phrases) read(each, each.strand.empty() ? strand : each.strand);
  }
  void finish() {
    if (out.turn == Turn::none && ahead_ != 0)
      misread(fmt::format("{} loops are left on the needle", ahead_), words_);
    out.left = ahead_;
  }

  Spread out;

 private:
  void put(Item item) {
    if (out.turn != Turn::none) misread("stitches behind a turn", words_);
    ahead_ -= item.takes;
    if (ahead_ < 0) misread("more stitches than loops on the needle", words_);
    (filled_ ? out.after : out.before).push_back(std::move(item));
  }

  void read(const Phrase& phrase, const std::string& strand) {
    switch (phrase.kind) {
      case Phrase::Kind::stitch: {
        const Op op = op_of(phrase, table_);
        const Stitch& stitch = table_[op.stitch];
        for (long long i = 0; i < phrase.count; ++i)
          put({op, strand, static_cast<long long>(stitch.takes.size()),
               static_cast<long long>(stitch.passes_on ? stitch.takes.size() : stitch.gives.size())});
        return;
      }
      case Phrase::Kind::group:
        for (long long i = 0; i < phrase.count; ++i) read(phrase.inner, strand);
        return;
      case Phrase::Kind::into: {
        Item item;
        item.op.form = Op::Form::into;
        item.op.count = item.takes = phrase.count;
        item.strand = strand;
        for (const Phrase& inner : phrase.inner) {
          if (inner.kind != Phrase::Kind::stitch) misread("only stitches are worked into one", words_);
          Op op = op_of(inner, table_);
          op.count = inner.count;
          item.gives += inner.count * static_cast<long long>(table_[op.stitch].gives.size());
          item.op.ops.push_back(op);
        }
        return put(item);
      }
      case Phrase::Kind::seen: {
        begin_fill();
        out.seen = true;
        out.times = ahead_ - phrase.to_last;
        if (out.times < 0) misread("fewer loops than are to be left", words_);
        Item item;
        item.op.form = Op::Form::as_seen;
        item.strand = strand;
        item.takes = item.gives = 1;
        out.fill = {item};
        ahead_ = phrase.to_last;
        return;
      }
      case Phrase::Kind::repeat: {
        begin_fill();
        Spreader once(1'000'000'000, table_, words_);
        once.read(phrase.inner, strand);
        const long long takes = 1'000'000'000 - once.ahead_, there = ahead_ - phrase.to_last;
        if (takes == 0) misread("the repeat uses no stitches", words_);
        if (there < 0 || there % takes != 0)
          misread(fmt::format("{} loops before the last {}, and the repeat takes {}", there, phrase.to_last,
                              takes),
                  words_);
        out.fill = once.out.before;
        out.times = there / takes;
        ahead_ = phrase.to_last;
        return;
      }
      case Phrase::Kind::turn:
        out.turn = phrase.turn;
        return;
    }
  }
  void begin_fill() {
    if (filled_) misread("two repeats in one row", words_);
    filled_ = true;
  }

  long long ahead_;
  Stitches& table_;
  std::string_view words_;
  bool filled_ = false;
};

}  // namespace

void misread(const std::string& why, std::string_view words) {
  throw Misread(fmt::format("{}\n    in: {}", why, words));
}

// --- Cursor

void Cursor::stuck(const std::string& why) const {
  throw Misread(fmt::format("{}\n    in: {}\n    at: {}", why, words_, words_.substr(at_)));
}
bool Cursor::accept(std::string_view part) {
  if (!sees(part)) return false;
  at_ += part.size();
  return true;
}
bool Cursor::accept_any_case(std::string_view part) {
  const std::string_view ahead = words_.substr(at_, part.size());
  if (ahead.size() < part.size() || lower(std::string(ahead)) != lower(std::string(part))) return false;
  at_ += part.size();
  return true;
}
void Cursor::expect(std::string_view part) {
  if (!accept(part)) stuck(fmt::format("expected \"{}\"", part));
}
std::optional<long long> Cursor::maybe_number() {
  long long out = 0;
  std::size_t at = at_;
  for (; at < words_.size() && is_digit(words_[at]); ++at) out = out * 10 + (words_[at] - '0');
  if (at == at_) return {};
  at_ = at;
  return out;
}
long long Cursor::number() {
  const auto out = maybe_number();
  if (!out) stuck("expected a number");
  return *out;
}
std::string Cursor::until(std::string_view ends) {
  const std::size_t end = std::min(words_.find_first_of(ends, at_), words_.size());
  std::string out(words_.substr(at_, end - at_));
  at_ = end;
  return out;
}
std::string Cursor::up_to(std::string_view part) {
  const std::size_t end = words_.find(part, at_);
  if (end == std::string_view::npos) stuck(fmt::format("expected \"{}\" somewhere behind it", part));
  std::string out(words_.substr(at_, end - at_));
  at_ = end + part.size();
  return out;
}
long long Cursor::sts() {
  const long long out = number();
  expect(out == 1 ? " st" : " sts");
  return out;
}
long long Cursor::times() {
  if (accept("once")) return 1;
  if (accept("twice")) return 2;
  const long long out = number();
  expect(out == 1 ? " time" : " times");
  return out;
}

// --- rows

std::optional<RowLine> read_lead(std::string_view lead) {
  RowLine out;
  Cursor in(lead);
  if (in.accept("Every row:")) return out.every = true, out;
  if (in.accept("Every rnd:")) return out.every = out.round = true, out;
  if (in.accept("Next row") || in.accept("Next rnd")) {
    out.next = true;
    out.round = lead.starts_with("Next rnd");
  } else if (in.accept("Rows ") || in.accept("Rnds ") || in.accept("Row ") || in.accept("Rnd ")) {
    out.round = lead.starts_with("Rnd");
    std::tie(out.first, out.last) = read_range(in);
  } else {
    return {};
  }
  if (in.accept(" (RS)")) out.side = Side::right;
  if (in.accept(" (WS)")) out.side = Side::wrong;
  if (in.accept(" and all other WS rows") || in.accept(" and all other even-numbered rnds")) {
    out.others = true;
    if (out.first != out.last || out.first % 2 != 0 || out.round != in.before("rnds") ||
        (!out.round && out.side != Side::wrong))
      in.stuck("which rows are these?");
  }
  if (in.accept(", with the yarn of the piece")) {
    // As if it named none.
  } else if (in.accept(", with ")) {
    out.with.push_back(in.until(" :"));
    if (in.accept(" and ")) out.with.push_back(in.until(" :"));
  }
  in.expect(":");
  if (!in.done()) in.stuck("more than the name of a row");
  return out;
}

void read_row(std::string_view text, RowLine& out, Stitches& table) {
  out.words = text;
  Cursor in(text);
  if (in.accept("As row ") || in.accept("As rnd ") || in.accept("Rep rows ") || in.accept("Rep rnds ")) {
    out.again = read_range(in);
    in.expect(".");
    if (!in.done()) in.stuck("more than a copy of rows");
    return;
  }
  Phrase whole;
  whole.kind = Phrase::Kind::repeat;
  const auto all_of = [&](std::string_view words, std::string_view stitch) {
    const std::size_t here = in.at();
    if (!in.accept(words) || !(in.sees(".") || in.sees(":") || in.sees(" ("))) return in.back_to(here), false;
    Phrase one;
    one.stitch = stitch;
    if (stitch.empty())
      whole.kind = Phrase::Kind::seen;
    else
      whole.inner = {one};
    out.phrases = {whole};
    return true;
  };
  if (!all_of("Knit", "k") && !all_of("Purl", "p") && !all_of("Work each st as it faces you", "") &&
      !in.accept("Work no stitch"))
    out.phrases = RowReader(in, table).list();
  read_count(in, out.claims);
  in.expect(".");
  while (!in.done()) {
    in.expect(" ");
    if (in.accept("Do not turn; slide the sts back to the other end of the needle."))
      out.claims.slides = true;
    else if (in.accept("Work each wrap together with its st."))
      out.claims.wraps = true;
    else if (in.accept("Work both legs of a double st together as one st."))
      out.claims.doubles = true;
    else if (in.accept("Turn."))
      out.claims.turns = true;
    else
      in.stuck("this is not understood");
  }
}

std::vector<Item> Spread::all() const {
  std::vector<Item> out = before;
  if (seen) {
    out.insert(out.end(), fill.begin(), fill.end());
  } else {
    for (long long i = 0; i < times; ++i) out.insert(out.end(), fill.begin(), fill.end());
  }
  out.insert(out.end(), after.begin(), after.end());
  return out;
}

Spread spread(const RowLine& row, long long ahead, Stitches& table) {
  Spreader spreader(ahead, table, row.words);
  spreader.read(row.phrases, "");
  spreader.finish();
  return std::move(spreader.out);
}

}  // namespace wale::read_back
