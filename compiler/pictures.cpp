#include "compiler/pictures.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace wale {

namespace {

/// A character in one number, as its bytes stand in the text, of which it has four at most.
using Character = std::uint32_t;

void read_characters(std::string_view text, std::vector<Character>& out) {
  out.clear();
  out.reserve(text.size());
  for (const char c : text) {
    const auto byte = static_cast<unsigned char>(c);
    if ((byte & 0xC0) == 0x80 && !out.empty())
      out.back() = out.back() << 8 | byte;
    else
      out.push_back(byte);
  }
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
    keys_.reserve(picture.keys.size());
    for (const tree::Picture::Key& key : picture.keys) {
      read_characters(key.character, cells_);
      keys_.push_back(cells_.size() == 1 ? cells_.front() : 0);
    }
  }

  bool good(std::optional<tree::Width> width) {
    if (picture_.rows.empty()) {
      diagnostics_.add(Kind::row_missing, picture_.span, "this picture has no rows");
      return false;
    }
    read_characters(picture_.rows.front().text, cells_);
    columns_ = static_cast<long long>(cells_.size());
    repeats_ = !width || width->per_n > 0;
    return (!width || fits(*width)) && (!picture_.pairs || two_strands());
  }

  /// Whether the row could be read.
  bool row(const tree::Text& line, long long number, bool right, DrawnRow& out) {
    read_characters(line.text, cells_);
    if (static_cast<long long>(cells_.size()) != columns_) {
      diagnostics_.add(
          Kind::row_leaves_stitches, line.span,
          fmt::format("this row of the picture is {} wide, the first one {}", cells_.size(), columns_));
      return false;
    }
    if (right) std::reverse(cells_.begin(), cells_.end());
    std::size_t runs = 1;
    for (std::size_t i = 1; i < cells_.size(); ++i) runs += cells_[i] != cells_[i - 1];
    out.runs.reserve(runs);
    for (std::size_t i = 0; i < cells_.size();) {
      std::size_t end = i;
      while (end < cells_.size() && cells_[end] == cells_[i]) ++end;
      const auto key = std::find(keys_.begin(), keys_.end(), cells_[i]);
      if (key == keys_.end()) {
        diagnostics_
            .add(Kind::unknown_strand, line.span,
                 fmt::format("the picture's key has no `{}`", text_of(cells_[i])))
            .label(picture_.keys.front().span, "the key");
        return false;
      }
      out.runs.push_back(run(picture_.keys[static_cast<std::size_t>(key - keys_.begin())].strand,
                             static_cast<long long>(end - i), right));
      i = end;
    }
    out.label.numbers.push_back({number, number, line.span});
    out.label.span = out.span = line.span;
    out.repeats = repeats_;
    out.stitch = picture_.pairs ? "dk" : right ? "k" : "p";
    if (picture_.pairs) {
      out.label.strand = near(right);
      out.label.back_strand = near(!right);
    }
    return true;
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

  DrawnRow::Run run(const tree::Name& strand, long long count, bool right) const {
    if (!picture_.pairs) return {&strand.text, strand.span, count};
    // From the wrong side the layer that faces is the other one.
    const bool swapped = strand.text != picture_.keys[0].strand.text;
    return {swapped ? &near(!right).text : nullptr, strand.span, count};
  }

  const tree::Picture& picture_;
  std::vector<Character> keys_;   ///< of the picture's keys, in their order
  std::vector<Character> cells_;  ///< of one row; kept so that each need not make its own
  Diagnostics& diagnostics_;
  long long columns_ = 0;
  bool repeats_ = false;
};

}  // namespace

std::optional<std::vector<DrawnRow>> drawn_rows(const std::vector<tree::Picture>& pictures, Form form,
                                                Side first, std::optional<tree::Width> width,
                                                Diagnostics& diagnostics) {
  std::vector<DrawnRow> out;
  std::size_t rows = 0;
  for (const tree::Picture& picture : pictures) rows += picture.rows.size();
  out.reserve(rows);
  long long number = 0;
  for (const tree::Picture& picture : pictures) {
    Drawer drawer(picture, diagnostics);
    if (!drawer.good(width)) return {};
    for (auto line = picture.rows.rbegin(); line != picture.rows.rend(); ++line) {
      ++number;
      const bool right = form == Form::round || (number % 2 == 1) == (first == Side::right);
      if (!drawer.row(*line, number, right, out.emplace_back())) return {};
    }
  }
  return out;
}

}  // namespace wale
