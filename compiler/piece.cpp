#include "compiler/piece.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "compiler/piece_worker.hpp"

namespace wale {

namespace {

/// Casts-on this far away from the author's are tried.
constexpr long long cast_on_reach = 72;
/// Work that may go into one of them.
constexpr long long most_for_one_try = 200'000;

bool about_width(Kind kind) {
  return kind == Kind::row_leaves_stitches || kind == Kind::row_needs_stitches ||
         kind == Kind::fill_does_not_divide || kind == Kind::layout_does_not_fit;
}

/// The nearest casts-on below and above with which the whole piece works.
std::vector<long long> casts_on_that_work(const tree::Piece& piece, const Shelf& shelf, long long cast_on,
                                          const std::vector<Fabric>& fabrics) {
  std::vector<long long> out;
  for (const long long direction : {-1LL, 1LL})
    for (long long step = 1; step <= cast_on_reach; ++step) {
      const long long other = cast_on + direction * step;
      if (other < 1 || shelf.help.too_much()) break;
      Diagnostics quiet;
      Effort effort{std::min(most_for_one_try, shelf.help.most - shelf.help.work())};
      const Shelf aside{shelf.pattern, shelf.scope, shelf.stitches, shelf.strands, shelf.declares_strands,
                        effort,        shelf.help,  shelf.doubtful, shelf.wanted,  shelf.instead};
      PieceWorker worker(piece, aside, quiet);
      worker.cast_on_instead = other;
      worker.converted_before = &fabrics;
      const bool good = worker.run().good;
      shelf.help.stitches += effort.work() + 1000;  // and for reading the piece again
      if (good && !quiet.has_errors()) {
        out.push_back(other);
        break;
      }
    }
  return out;
}

}  // namespace

Piece try_piece(const tree::Piece& piece, const Shelf& shelf, const std::vector<Fabric>* converted,
                Diagnostics& diagnostics) {
  PieceWorker worker(piece, shelf, diagnostics);
  worker.converted_before = converted;
  return worker.run();
}

Piece work_piece(const tree::Piece& piece, const Shelf& shelf, Diagnostics& diagnostics) {
  Diagnostics found;
  PieceWorker worker(piece, shelf, found);
  Piece out = worker.run();
  Diagnostics told;
  for (const Diagnostic& each : found.all()) {
    if (each.kind == Kind::left_on_needle && (shelf.doubtful || diagnostics.has_errors())) continue;
    Diagnostic& added = told.add(each.kind, each.span, each.message);
    added = each;
    if (!about_width(each.kind) || !worker.cast_on) continue;
    const std::vector<long long> near = casts_on_that_work(piece, shelf, *worker.cast_on, out.fabrics);
    if (!near.empty()) {
      added.help.clear();
      added.try_this(fmt::format("the nearest {} that work{}: {}", near.size() == 1 ? "cast-on" : "casts-on",
                                 near.size() == 1 ? "s" : "", fmt::join(near, " and ")));
      added.label(worker.cast_on_span, fmt::format("{} st cast on here", *worker.cast_on));
    }
  }
  diagnostics.append(told);
  return out;
}

}  // namespace wale
