#include "compiler/pictures.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace wale {

namespace {

/// A character in one number, as its bytes stand in the text, of which it has four at most.
using Character = std::uint32_t;

std::vector<Character> characters(std::string_view text) {
  std::vector<Character> out;
  out.reserve(text.size());
  for (const char c : text) {
    const auto byte = static_cast<unsigned char>(c);
    if ((byte & 0xC0) == 0x80 && !out.empty())
      out.back() = out.back() << 8 | byte;
    else
      out.push_back(byte);
  }
  return out;
}

std::string text_of(Character character) {
  std::string out;
  for (int shift = 24; shift >= 0; shift -= 8)
    if (const auto byte = static_cast<unsigned char>(character >> shift); byte != 0)
      out += static_cast<char>(byte);
  return out;
}

class Drawer {
 public:
  Drawer(const tree::Picture& picture, Diagnostics& diagnostics)
      : picture_(picture), diagnostics_(diagnostics) {
    for (const tree::Picture::Key& key : picture.keys) {
      const std::vector<Character> known = characters(key.character);
      keys_.push_back(known.size() == 1 ? known.front() : 0);
    }
  }

  bool good(std::optional<tree::Width> width) {
    if (picture_.rows.empty()) {
      diagnostics_.add(Kind::row_missing, picture_.span, "this picture has no rows");
      return false;
    }
    columns_ = static_cast<long long>(characters(picture_.rows.front().text).size());
    repeats_ = !width || width->per_n > 0;
    return (!width || fits(*width)) && (!picture_.pairs || two_strands());
  }

  std::optional<tree::Row> row(const tree::Text& line, long long number, bool right) {
    std::vector<Character> cells = characters(line.text);
    if (static_cast<long long>(cells.size()) != columns_) {
      diagnostics_.add(
          Kind::row_leaves_stitches, line.span,
          fmt::format("this row of the picture is {} wide, the first one {}", cells.size(), columns_));
      return {};
    }
    if (right) std::reverse(cells.begin(), cells.end());
    tree::RowItem fill;
    fill.form = tree::RowItem::Form::fill;
    fill.span = line.span;
    std::size_t runs = 1;
    for (std::size_t i = 1; i < cells.size(); ++i) runs += cells[i] != cells[i - 1];
    fill.items.reserve(runs);
    for (std::size_t i = 0; i < cells.size();) {
      std::size_t end = i;
      while (end < cells.size() && cells[end] == cells[i]) ++end;
      const auto key = std::find(keys_.begin(), keys_.end(), cells[i]);
      if (key == keys_.end()) {
        diagnostics_
            .add(Kind::unknown_strand, line.span,
                 fmt::format("the picture's key has no `{}`", text_of(cells[i])))
            .label(picture_.keys.front().span, "the key");
        return {};
      }
      const tree::Name& strand = picture_.keys[static_cast<std::size_t>(key - keys_.begin())].strand;
      add_stitches(strand, static_cast<long long>(end - i), right, line.span, fill.items);
      i = end;
    }
    tree::Row out;
    out.label.numbers.push_back({number, number, line.span});
    out.label.span = out.span = line.span;
    if (picture_.pairs) {
      out.label.strand = near(right);
      out.label.back_strand = near(!right);
    }
    if (repeats_)
      out.items.push_back(std::move(fill));
    else
      out.items = std::move(fill.items);
    return out;
  }

 private:
  bool fits(const tree::Width& width) {
    const long long across = picture_.pairs ? 2 * columns_ : columns_;
    const Linear on_needle(width.per_n, width.base);
    const bool good =
        width.per_n > 0 ? width.base % across == 0 && width.per_n % across == 0 : width.base == across;
    if (good) return true;
    Diagnostic& added = diagnostics_.add(
        Kind::fill_does_not_divide, picture_.rows.front().span,
        fmt::format("the picture is {} wide, and the fabric is {} st",
                    picture_.pairs ? fmt::format("{} pairs", columns_) : fmt::format("{}", columns_),
                    to_string(on_needle)));
    if (width.per_n > 0) {
      long long n = std::max(0LL, smallest_n(on_needle, 1));
      while (on_needle.at(n) % across == 0) ++n;
      added.note(fmt::format("for n = {}: {}, and the picture takes {} at a time", n,
                             count_of(on_needle.at(n), "stitch", "stitches"), across));
    }
    added.try_this(fmt::format("{}n st", across));
    return false;
  }

  bool two_strands() {
    if (picture_.keys.size() == 2 && picture_.keys[0].strand.text != picture_.keys[1].strand.text)
      return true;
    diagnostics_
        .add(Kind::unknown_strand, picture_.keys.back().span,
             "a picture of pairs has two strands, one for each side of the fabric")
        .try_this("draw pairs . A, x B");
    return false;
  }

  /// The strand that the layer turned to the worker is in where nothing is exchanged.
  const tree::Name& near(bool right) const { return picture_.keys[right ? 0 : 1].strand; }

  void add_stitches(const tree::Name& strand, long long count, bool right, Span span,
                    std::vector<tree::RowItem>& out) const {
    tree::RowItem* stitch = &out.emplace_back();
    // From the wrong side the layer that faces is the other one.
    const bool swapped = picture_.pairs && strand.text != picture_.keys[0].strand.text;
    if (!picture_.pairs || swapped) {
      stitch->form = tree::RowItem::Form::strand;
      stitch->word = (picture_.pairs ? near(!right) : strand).text;
      stitch->word_span = strand.span;
      stitch->span = span;
      stitch = &stitch->items.emplace_back();
    }
    stitch->span = stitch->word_span = span;
    stitch->word = picture_.pairs ? "dk" : right ? "k" : "p";
    stitch->count = count;
  }

  const tree::Picture& picture_;
  std::vector<Character> keys_;  ///< of the picture's keys, in their order
  Diagnostics& diagnostics_;
  long long columns_ = 0;
  bool repeats_ = false;
};

}  // namespace

std::optional<std::vector<tree::Row>> drawn_rows(const std::vector<tree::Picture>& pictures, Form form,
                                                 Side first, std::optional<tree::Width> width,
                                                 Diagnostics& diagnostics) {
  std::vector<tree::Row> out;
  long long number = 0;
  for (const tree::Picture& picture : pictures) {
    Drawer drawer(picture, diagnostics);
    if (!drawer.good(width)) return {};
    for (auto line = picture.rows.rbegin(); line != picture.rows.rend(); ++line) {
      ++number;
      const bool right = form == Form::round || (number % 2 == 1) == (first == Side::right);
      auto row = drawer.row(*line, number, right);
      if (!row) return {};
      out.push_back(std::move(*row));
    }
  }
  return out;
}

}  // namespace wale
