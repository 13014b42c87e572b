#include "compiler/gauge_reading.hpp"

namespace wale {

std::optional<Gauge> read_gauge(const tree::Gauge& source, Span span, const Scope& scope,
                                Diagnostics& diagnostics) {
  const auto stitches = evaluate(source.stitches, scope, diagnostics);
  const auto rows = evaluate(source.rows, scope, diagnostics);
  const auto over =
      evaluate_length(source.over, scope, "the width that the gauge is measured over", diagnostics);
  if (!stitches || !rows || !over) return {};
  Gauge out;
  out.span = span;
  for (const auto& [value, where] :
       {std::pair{*stitches, source.stitches.span}, std::pair{*rows, source.rows.span}}) {
    const double per_cm = value.value / *over;
    if (value.dimension == Dimension::count && per_cm > 0.1 && per_cm < 50) continue;
    diagnostics.add(Kind::bad_measure, where, "this is no gauge that anyone could knit")
        .note("hand knitting has from 2 to 60 stitches or rows to 10 cm")
        .try_this("gauge 20 st x 28 rows = 10 cm");
    return {};
  }
  out.layers = source.pairs ? 2 : 1;
  out.stitches_per_cm = stitches->value * out.layers / *over;
  out.rows_per_cm = rows->value / *over;
  if (source.needle) {
    const auto needle = evaluate_length(*source.needle, scope, "a needle's size", diagnostics);
    if (!needle) return {};
    if (*needle > 10) {
      diagnostics.add(Kind::bad_measure, source.needle->span, "a needle is at most 100 mm thick")
          .try_this("needle 4.5 mm");
      return {};
    }
    out.needle_mm = *needle * 10;
  }
  if (source.fabric) out.fabric = source.fabric->text;
  return out;
}

std::vector<Gauge> in_proportion(Gauge own, std::vector<Gauge> written) {
  if (own.fabric.empty()) own.fabric = written.front().fabric;
  const double stitches = own.stitches_per_cm / written.front().stitches_per_cm,
               rows = own.rows_per_cm / written.front().rows_per_cm;
  for (Gauge& each : written) {
    each.stitches_per_cm *= stitches;
    each.rows_per_cm *= rows;
    each.needle_mm.reset();
  }
  written.front() = std::move(own);
  return written;
}

}  // namespace wale
