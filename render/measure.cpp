#include "render/measure.hpp"

#include <glib.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <memory>
#include <mutex>
#include <unordered_map>
#include <unordered_set>

#include "render/pango_text.hpp"

#ifdef __SANITIZE_ADDRESS__
/// fontconfig keeps the parts of its patterns by offset and not by pointer, so the leak checker takes what it
/// still holds at the end of the process for lost. Weak: a program may say otherwise.
extern "C" __attribute__((weak)) const char* __lsan_default_suppressions();
extern "C" __attribute__((weak)) const char* __lsan_default_suppressions() {
  return "leak:libfontconfig";
}
#endif

namespace wale::render {

namespace {

/// Longest text handed to pango at once: its units are 1/1024 point in an int, and a wider line would
/// overflow.
constexpr std::size_t longest_piece = 8000;

constexpr const char* replacement = "\xEF\xBF\xBD";

bool is_white_space(gunichar c) {
  return c == ' ' || (c >= '\t' && c <= '\r') || c == 0x2028 || c == 0x2029;
}

bool is_allowed(gunichar c) {
  if (c < 0x20 || (c >= 0x7F && c < 0xA0)) return false;
  if (c >= 0xD800 && c < 0xE000) return false;
  // Embeddings, overrides and isolates (Unicode Standard Annex 9) turn what stands behind them.
  if ((c >= 0x202A && c <= 0x202E) || (c >= 0x2066 && c <= 0x2069)) return false;
  return (c & 0xFFFE) != 0xFFFE && !(c >= 0xFDD0 && c < 0xFDF0) && c <= 0x10FFFF;
}

/// A context of its own, so that no other user of pango in the process changes what is measured.
PangoContext* shared_context() {
  struct Kept {
    std::unique_ptr<PangoFontMap, Unref> map{pango_cairo_font_map_new()};
    std::unique_ptr<PangoContext, Unref> context;
    Kept() {
      pango_cairo_font_map_set_resolution(PANGO_CAIRO_FONT_MAP(map.get()), 72);
      context.reset(pango_font_map_create_context(map.get()));
      cairo_font_options_t* options = cairo_font_options_create();
      cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
      cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
      cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
      pango_cairo_context_set_font_options(context.get(), options);
      cairo_font_options_destroy(options);
      pango_context_set_round_glyph_positions(context.get(), FALSE);
      pango_context_set_base_dir(context.get(), PANGO_DIRECTION_LTR);
      pango_context_set_language(context.get(), pango_language_from_string("en"));
    }
  };
  thread_local Kept kept;
  return kept.context.get();
}

/// The layout that is used for measuring, again and again.
PangoLayout* measuring_layout() {
  thread_local LayoutHandle layout = new_layout();
  return layout.get();
}

void lay_line(PangoLayout* layout, std::string_view text, double size, bool bold) {
  PangoFontDescription* font = describe_font(size, bold);
  pango_layout_set_font_description(layout, font);
  pango_font_description_free(font);
  pango_layout_set_text(layout, text.data(), static_cast<int>(text.size()));
}

/// Opens the fonts that the text needs, one thread at a time. cairo 1.16 looks for a face that is open
/// already without a lock: two threads that open the same one together both make it, and a PDF then has the
/// font twice inside. What a thread has opened stays open in its font map, so only new sizes and characters
/// wait.
void open_fonts(std::string_view text, double size, bool bold) {
  thread_local std::unordered_set<std::uint64_t> open;
  const std::uint64_t look =
      static_cast<std::uint64_t>(std::lround(size * PANGO_SCALE)) << 32U | (bold ? 1ULL << 31U : 0);
  // Characters of ASCII all come from the font itself; each other one may bring a font of its own.
  std::vector<std::uint64_t> needed{look};
  for (const char& byte : text)
    if ((static_cast<unsigned char>(byte) & 0xC0) == 0xC0) needed.push_back(look | g_utf8_get_char(&byte));
  if (std::all_of(needed.begin(), needed.end(), [&](std::uint64_t each) { return open.count(each) > 0; }))
    return;
  static std::mutex opening;
  const std::lock_guard lock(opening);
  lay_line(measuring_layout(), text, size, bold);
  PangoRectangle logical;
  pango_layout_get_extents(measuring_layout(), nullptr, &logical);
  open.insert(needed.begin(), needed.end());
}

double measure_piece(std::string_view text, double size, bool bold) {
  PangoLayout* layout = measuring_layout();
  set_line(layout, text, size, bold);
  PangoRectangle logical;
  pango_layout_get_extents(layout, nullptr, &logical);
  return static_cast<double>(logical.width) / PANGO_SCALE;
}

std::size_t longest_word(std::string_view text) {
  std::size_t longest = 0;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = std::min(text.find(' ', at), text.size());
    longest = std::max(longest, end - at);
    at = end + 1;
  }
  return longest;
}

/// The end of a piece that starts at `from`: at a space if there is one late enough, never inside a
/// character. Where words are endless the piece is short, since breaking a word costs the square of its
/// length.
std::size_t piece_end(std::string_view text, std::size_t from) {
  constexpr std::size_t short_piece = 1000;
  if (text.size() - from <= short_piece) return text.size();
  const std::size_t most = std::min(longest_piece, text.size() - from);
  if (longest_word(text.substr(from, most)) <= short_piece) {
    return most == text.size() - from ? text.size() : text.rfind(' ', from + most) + 1;
  }
  const std::size_t space = text.rfind(' ', from + short_piece);
  if (space != std::string_view::npos && space > from) return space + 1;
  std::size_t end = from + short_piece;
  while (end > from + 1 && (static_cast<unsigned char>(text[end]) & 0xC0) == 0x80) --end;
  return end;
}

std::string_view trimmed(std::string_view text) {
  while (!text.empty() && text.back() == ' ') text.remove_suffix(1);
  while (!text.empty() && text.front() == ' ') text.remove_prefix(1);
  return text;
}

/// Cuts the text of one line where its weight changes, and measures each part as it will be drawn. Bold text
/// stands before `bold_until`, counted from the line's start.
TextLine place_line(std::string_view line, std::size_t bold_until, double size, double x) {
  TextLine placed;
  bold_until = std::min(bold_until, line.size());
  for (const bool bold : {true, false}) {
    const std::string_view part = bold ? line.substr(0, bold_until) : line.substr(bold_until);
    if (part.empty()) continue;
    const double width = text_width(part, size, bold);
    placed.push_back({x, width, std::string(part), bold});
    x += width;
  }
  return placed;
}

/// Wraps a text that begins bold up to `bold_until`.
void wrap_piece(std::string_view text, std::size_t bold_until, double size, double width, double hanging,
                bool first, std::vector<TextLine>& lines) {
  LayoutHandle layout = new_layout();
  if (bold_until > 0) open_fonts(text, size, true);
  set_line(layout.get(), text, size, false);
  pango_layout_set_width(layout.get(), static_cast<int>(std::floor(width * PANGO_SCALE)));
  pango_layout_set_wrap(layout.get(), PANGO_WRAP_WORD_CHAR);
  pango_layout_set_indent(layout.get(), first ? -static_cast<int>(hanging * PANGO_SCALE) : 0);
  if (!first)
    pango_layout_set_width(layout.get(), static_cast<int>(std::floor((width - hanging) * PANGO_SCALE)));
  PangoAttrList* attributes = pango_attr_list_new();
  pango_attr_list_insert(attributes, pango_attr_insert_hyphens_new(FALSE));
  if (bold_until > 0) {
    PangoAttribute* bold = pango_attr_weight_new(PANGO_WEIGHT_BOLD);
    bold->start_index = 0;
    bold->end_index = static_cast<guint>(std::min(bold_until, text.size()));
    pango_attr_list_insert(attributes, bold);
  }
  pango_layout_set_attributes(layout.get(), attributes);
  pango_attr_list_unref(attributes);
  for (GSList* at = pango_layout_get_lines_readonly(layout.get()); at != nullptr; at = at->next) {
    const auto* line = static_cast<const PangoLayoutLine*>(at->data);
    const auto start = static_cast<std::size_t>(line->start_index);
    const std::string_view whole = text.substr(start, static_cast<std::size_t>(line->length));
    const std::string_view words = trimmed(whole);
    if (words.empty()) continue;
    const std::size_t begin = start + static_cast<std::size_t>(words.data() - whole.data());
    lines.push_back(
        place_line(words, bold_until > begin ? bold_until - begin : 0, size, lines.empty() ? 0 : hanging));
  }
}

}  // namespace

LayoutHandle new_layout() {
  LayoutHandle layout(pango_layout_new(shared_context()));
  pango_layout_set_auto_dir(layout.get(), FALSE);
  pango_layout_set_single_paragraph_mode(layout.get(), TRUE);
  return layout;
}

PangoFontDescription* describe_font(double size, bool bold) {
  PangoFontDescription* font = pango_font_description_new();
  pango_font_description_set_family_static(font, font_family);
  pango_font_description_set_size(font, static_cast<int>(std::lround(size * PANGO_SCALE)));
  pango_font_description_set_weight(font, bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
  return font;
}

void set_line(PangoLayout* layout, std::string_view text, double size, bool bold) {
  open_fonts(text, size, bold);
  lay_line(layout, text, size, bold);
}

std::string clean_text(std::string_view text) {
  std::string clean;
  clean.reserve(text.size());
  bool space = false;
  const auto add = [&](std::string_view bytes) {
    if (space && !clean.empty()) clean += ' ';
    space = false;
    clean += bytes;
  };
  for (std::size_t at = 0; at < text.size();) {
    const gunichar c = g_utf8_get_char_validated(text.data() + at, static_cast<gssize>(text.size() - at));
    // A zero byte reads as an error or as 0, depending on what follows it; either way it is one bad byte.
    if (c == static_cast<gunichar>(-1) || c == static_cast<gunichar>(-2) || c == 0) {
      add(replacement);
      ++at;
      continue;
    }
    const auto length = static_cast<std::size_t>(g_unichar_to_utf8(c, nullptr));
    if (is_white_space(c)) {
      space = true;
    } else {
      add(is_allowed(c) ? text.substr(at, length) : std::string_view(replacement));
    }
    at += length;
  }
  return clean;
}

double text_width(std::string_view text, double size, bool bold) {
  // Labels and measures repeat a few short texts many times, at every scale that a schematic is tried at.
  constexpr std::size_t short_text = 64, most_known = 4096;
  thread_local std::unordered_map<std::string, double> known;
  double width = 0;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = piece_end(text, at);
    const std::string_view piece = text.substr(at, end - at);
    at = end;
    if (piece.size() > short_text) {
      width += measure_piece(piece, size, bold);
      continue;
    }
    std::string key(piece);
    key += (bold ? "\nb" : "\nr") + std::to_string(std::lround(size * PANGO_SCALE));
    const auto found = known.find(key);
    if (found != known.end()) {
      width += found->second;
      continue;
    }
    const double measured = measure_piece(piece, size, bold);
    if (known.size() < most_known) known.emplace(std::move(key), measured);
    width += measured;
  }
  return width;
}

std::vector<TextLine> wrap_runs(const std::vector<Run>& runs, double size, double width, double hanging) {
  std::string text;
  std::size_t bold_until = 0;
  for (const Run& run : runs) {
    const std::string clean = clean_text(run.text);
    if (clean.empty()) continue;
    if (!text.empty()) text += ' ';
    text += clean;
    if (run.bold) bold_until = text.size();
  }
  if (bold_until < text.size() && bold_until > 0) ++bold_until;  // The space after a lead is the lead's.
  width = std::max(width, size);
  hanging = std::clamp(hanging, 0.0, width - size);
  std::vector<TextLine> lines;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = piece_end(text, at);
    wrap_piece(std::string_view(text).substr(at, end - at), bold_until > at ? bold_until - at : 0, size,
               width, hanging, at == 0, lines);
    at = end;
  }
  return lines;
}

std::vector<std::string> wrap_text(std::string_view text, double size, double width, bool bold) {
  std::vector<std::string> lines;
  for (const TextLine& line : wrap_runs({{std::string(text), bold}}, size, width)) {
    lines.emplace_back();
    for (const PlacedRun& run : line) lines.back() += run.text;
  }
  return lines;
}

std::string fit_text(std::string_view text, double size, double width, bool bold) {
  std::string clean = clean_text(text);
  if (text_width(clean, size, bold) <= width) return clean;
  const std::string ellipsis = "\xE2\x80\xA6";
  const double room = width - text_width(ellipsis, size, bold);
  const std::vector<std::string> lines = wrap_text(clean, size, std::max(room, size), bold);
  return lines.empty() ? ellipsis : lines.front() + ellipsis;
}

}  // namespace wale::render
