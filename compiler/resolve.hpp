/// Words become stitches: a row of the tree made ready to be worked.
///
/// Here names are looked up and counts are split from their stitches; labels, ranges, defaults and `as` are
/// spread over the rows of a cycle. Whether the rows work out is not asked yet.
///
///     every: <k>   3: as 1        rows 1, 2, 3 of the cycle, each with its own side and passes
#pragma once

#include <optional>
#include <vector>

#include "compiler/pattern.hpp"
#include "compiler/pictures.hpp"
#include "grammar/tree.hpp"

namespace wale {

/// More rows in one fabric than this are refused.
inline constexpr long long tallest_fabric = 10'000;

class Resolver {
 public:
  /// `declares_strands`: the file has `strand` lines, so every strand must be one of them; without any, a
  /// strand's name introduces it.
  Resolver(Stitches& stitches, std::vector<Strand>& strands, bool declares_strands, Diagnostics& diagnostics)
      : stitches_(stitches),
        strands_(strands),
        declares_strands_(declares_strands),
        diagnostics_(diagnostics) {}

  /// All rows of one cycle; in flat work two of them where the height is odd.
  std::optional<std::vector<Row>> fabric_rows(const tree::Fabric& fabric, long long& height);
  /// Rows of a piece, numbered from 1; `side` is the side of the first one.
  std::optional<std::vector<Row>> piece_rows(const tree::WorkRows& rows, Form form, Side side, Span span);

  std::optional<short> strand(const tree::Name& name);

  /// Rows and ops written out so far.
  long long written() const { return ops_made_; }
  /// Adds what somebody else has written out for the same fabric; whether it is not too much.
  bool has_written(long long more);

 private:
  /// A row of a fabric or of a piece, as it was written or drawn.
  struct Given {
    const tree::Row* row = nullptr;
    const DrawnRow* drawn = nullptr;  ///< the same, where a picture has it
    const tree::Row* operator->() const { return row; }
  };
  struct Pass {
    Given row;
    const tree::Name* strand = nullptr;  ///< its label's, if it names one
  };
  struct Book {
    const std::vector<tree::Row>* rows = nullptr;
    const std::vector<DrawnRow>* drawn = nullptr;
    Form form = Form::flat;
    std::string what;  ///< "rib", "these rows"
    Span span;
    std::vector<std::vector<Given>> by_number;  ///< rows labelled with each number, 0 unused
    std::vector<Given> defaults;                ///< one for each side and strand

    template <typename Visit>
    void each_row(const Visit& visit) const {
      for (const tree::Row& row : *rows) visit(Given{&row});
      for (const DrawnRow& row : *drawn) visit(Given{&row, &row});
    }
  };

  std::optional<long long> highest(const Book& book, Span* where) const;
  bool sort_rows(Book& book, long long height);
  void passes(const Book& book, long long number, Side side, bool first_time, std::vector<Pass>& out);
  std::optional<std::vector<Row>> spread(Book& book, long long height, long long rows, Side first);
  std::optional<Given> worked_row(const Book& book, const Pass& pass, long long number, Side side);
  bool row_ops(const Given& given, std::vector<Op>& out);
  bool drawn_ops(const DrawnRow& row, std::vector<Op>& out);
  bool ops(const std::vector<tree::RowItem>& items, int depth, bool fill_allowed, int& fills,
           std::vector<Op>& out);
  bool op(const std::vector<tree::RowItem>& items, std::size_t at, int depth, bool fill_allowed, int& fills,
          Op& out);
  bool stitch(const std::vector<tree::RowItem>& items, std::size_t at, Op& out);

  Stitches& stitches_;
  std::vector<Strand>& strands_;
  bool declares_strands_;
  Diagnostics& diagnostics_;
  long long ops_made_ = 0, most_ops_ = 0;
  std::string last_word_;  ///< looked up: most words stand beside others like them
  std::optional<Word> last_found_;
};

}  // namespace wale
