#include "render/document_layout.hpp"

#include <algorithm>
#include <cctype>
#include <cmath>

#include "render/calendar_layout.hpp"
#include "render/chart_pages.hpp"
#include "render/measure.hpp"
#include "render/picture_layout.hpp"
#include "render/schematic_layout.hpp"
#include "render/table_layout.hpp"

namespace wale::render {

namespace {

/// Lines of a paragraph that are kept at either end of a page.
void keep_ends_together(std::vector<Fragment>& fragments, std::size_t first) {
  const std::size_t count = fragments.size() - first;
  if (count < 2) return;
  fragments[first].keep_with_next = true;
  fragments[fragments.size() - 2].keep_with_next = true;
}

/// A paragraph in a column is whole up to so many lines.
constexpr std::size_t most_lines_whole = 8;

/// Where `words` begin in a text, not as part of other words.
std::size_t whole_words(const std::string& text, const std::string& words) {
  const auto part_of_word = [](char c) {
    return std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '-' ||
           static_cast<unsigned char>(c) >= 0x80;
  };
  if (words.empty()) return std::string::npos;
  for (std::size_t at = text.find(words); at != std::string::npos; at = text.find(words, at + 1)) {
    const std::size_t end = at + words.size();
    if ((at == 0 || !part_of_word(text[at - 1])) && (end == text.size() || !part_of_word(text[end])))
      return at;
  }
  return std::string::npos;
}

/// Turns blocks into fragments, one kind after the other.
class BlockSetter {
 public:
  explicit BlockSetter(const PageStyle& style) : style_(style), width_(style.content_width()) {}

  void title(const Document& document) {
    lines({{document.title, true}}, style_.text_size + 9.5, 1.25, 0, {});
    lines({{document.author, false}}, style_.text_size + 0.5, 1.38, 3, {.colour = quiet_ink});
    if (fragments_.empty()) return;
    Fragment rule;
    rule.drawing.width = width_;
    rule.drawing.height = 8;
    add_line(rule.drawing, {0, 7}, {width_, 7}, {.width = 0.8});
    fragments_.push_back(std::move(rule));
    for (Fragment& fragment : fragments_) fragment.keep_with_next = true;
    after_lead_ = false;
  }

  void operator()(const Heading& heading) {
    const bool section = heading.level <= 2;
    if (section) across();
    const double size = style_.text_size + (section ? 3.5 : 1);
    const std::size_t first = fragments_.size();
    lines({{heading.text, true}}, size, 1.3, section ? 17 : 11, {});
    for (std::size_t i = first; i < fragments_.size(); ++i) fragments_[i].keep_with_next = true;
    if (first < fragments_.size())
      fragments_[first].drawing.places.push_back({{}, {}, section ? 1 : 2, clean_text(heading.text)});
    if (!heading.chart.empty()) join_to_chart(heading.chart, {heading.chart}, first);
    after_heading_ = true;
    after_lead_ = false;
    if (heading.in_columns) in_columns();
  }

  void operator()(const Paragraph& paragraph) {
    const bool led = !clean_text(paragraph.lead).empty();
    const double space = after_heading_ ? 4 : led && after_lead_ ? 2.5 : 6;
    const std::size_t first = fragments_.size();
    const double hanging = led && !paragraph.caution ? 14 : 0;
    const double inset = paragraph.caution ? 9 : 0;
    lines({{paragraph.lead, true}, {paragraph.text, false}}, style_.text_size, style_.line_height,
          paragraph.caution ? 9 : space, {.hanging = hanging, .inset = inset});
    keep_ends_together(fragments_, first);
    // In a column a row's words stay together, unless they are many.
    if (run_ > 0 && fragments_.size() - first <= most_lines_whole)
      for (std::size_t i = first; i + 1 < fragments_.size(); ++i) fragments_[i].keep_with_next = true;
    if (!paragraph.chart_rows.empty())
      join_to_chart(paragraph.chart_rows.front(), paragraph.chart_rows, first);
    else
      for (const Mention& mention : paragraph.mentions) link_mention(mention, first);
    if (paragraph.caution) frame(first);
    after_heading_ = false;
    after_lead_ = led && !paragraph.caution;
  }

  void operator()(const Table& table) {
    if (run_ == 0) {
      take(lay_out_table(table, style_));
      return;
    }
    PageStyle column = style_;
    column.width = style_.column_width() + 2 * style_.margin;
    for (Fragment& fragment : lay_out_table(table, column)) {
      fragment.run = run_;
      fragments_.push_back(std::move(fragment));
    }
    after_heading_ = after_lead_ = false;
  }
  void operator()(const ChartBlock& block) { take(lay_out_chart(block.chart, style_)); }
  void operator()(const PictureBlock& block) { take(lay_out_pictures(block, style_)); }
  void operator()(const CalendarBlock& block) { take(lay_out_calendar(block.calendar, style_)); }
  void operator()(const SchematicBlock& block) { take(lay_out_schematic(block.schematic, style_)); }

  std::vector<Fragment> finish() {
    if (!fragments_.empty()) fragments_.back().keep_with_next = false;
    return std::move(fragments_);
  }

 private:
  struct LineLook {
    double hanging = 0, inset = 0;
    Colour colour = ink;
  };

  /// From here on, short lines in columns; or across the page again.
  void in_columns() {
    run_ = ++runs_;
    width_ = style_.column_width();
  }
  void across() {
    run_ = 0;
    width_ = style_.content_width();
  }

  void take(std::vector<Fragment> more) {
    across();
    std::move(more.begin(), more.end(), std::back_inserter(fragments_));
    after_heading_ = after_lead_ = false;
  }

  void lines(const std::vector<Run>& runs, double size, double line_height, double space,
             const LineLook& look) {
    const double height = line_height * size;
    bool first = true;
    for (const TextLine& line : wrap_runs(runs, size, width_ - 2 * look.inset, look.hanging)) {
      Fragment fragment;
      fragment.drawing.width = width_;
      fragment.drawing.height = height;
      fragment.space_before = first ? space : 0;
      fragment.run = run_;
      for (const PlacedRun& run : line) {
        add_text(fragment.drawing, {look.inset + run.x, height / 2 + (ascent - descent) * size / 2}, run.text,
                 {.size = size, .bold = run.bold, .colour = look.colour});
      }
      fragments_.push_back(std::move(fragment));
      first = false;
    }
  }

  /// The lines from `first` on lead to that place of a chart, and all of those lead back to them.
  void join_to_chart(const std::string& to, const std::vector<std::string>& from, std::size_t first) {
    for (std::size_t i = first; i < fragments_.size(); ++i) {
      Drawing& line = fragments_[i].drawing;
      line.links.push_back({{0, 0, line.width, line.height}, chart_place(to)});
      if (i > first) continue;
      for (const std::string& each : from) line.places.push_back({words_place(each), {}, 0, {}});
    }
  }

  /// The words lead to the chart where they stand; where a line ends between them, the whole paragraph does.
  void link_mention(const Mention& mention, std::size_t first) {
    const std::string words = clean_text(mention.words);
    for (std::size_t i = first; i < fragments_.size(); ++i) {
      Drawing& line = fragments_[i].drawing;
      for (const Item& item : line.items) {
        const auto* text = std::get_if<TextItem>(&item);
        const std::size_t at = text ? whole_words(text->text, words) : std::string::npos;
        if (at == std::string::npos) continue;
        const double left = text->at.x + text_width(text->text.substr(0, at), text->size, text->bold);
        line.links.push_back(
            {{left, 0, text_width(words, text->size, text->bold), line.height}, chart_place(mention.chart)});
        return;
      }
    }
    for (std::size_t i = first; i < fragments_.size(); ++i) {
      Drawing& line = fragments_[i].drawing;
      // Not where other words of it lead elsewhere.
      if (line.links.empty())
        line.links.push_back({{0, 0, line.width, line.height}, chart_place(mention.chart)});
    }
  }

  /// Draws a frame around the fragments from `first` on. Each line carries its own piece, so that a long
  /// caution may go on over the page; a short one stays together.
  void frame(std::size_t first) {
    const std::size_t count = fragments_.size() - first;
    if (count == 0) return;
    const Stroke pen{1, ink, 0, true};
    constexpr double padding = 6;
    for (std::size_t i = first; i < fragments_.size(); ++i) {
      Drawing& drawing = fragments_[i].drawing;
      const bool begins = i == first, ends = i + 1 == fragments_.size();
      if (begins) {
        Drawing moved;
        append(moved, drawing, {0, padding});
        moved.width = drawing.width;
        moved.height = drawing.height + padding;
        drawing = std::move(moved);
        add_line(drawing, {0.5, 0.5}, {width_ - 0.5, 0.5}, pen);
      }
      if (ends) {
        drawing.height += padding;
        add_line(drawing, {0.5, drawing.height - 0.5}, {width_ - 0.5, drawing.height - 0.5}, pen);
      }
      const double top = begins ? 0.5 : 0, bottom = drawing.height - (ends ? 0.5 : 0);
      add_line(drawing, {0.5, top}, {0.5, bottom}, pen);
      add_line(drawing, {width_ - 0.5, top}, {width_ - 0.5, bottom}, pen);
      if (!ends && count <= 14) fragments_[i].keep_with_next = true;
    }
  }

  const PageStyle& style_;
  double width_;
  bool after_heading_ = false, after_lead_ = false;
  int run_ = 0, runs_ = 0;
  std::vector<Fragment> fragments_;
};

/// A style on which text can be set at all.
PageStyle sound(PageStyle style) {
  const auto held = [](double value, double low, double high, double otherwise) {
    return std::isfinite(value) ? std::clamp(value, low, high) : otherwise;
  };
  style.text_size = held(style.text_size, 5, 24, 9.5);
  style.line_height = held(style.line_height, 1.1, 3, 1.38);
  style.margin = held(style.margin, 36, 200, 56.7);
  style.width = held(style.width, 2 * style.margin + 240, 14400, 595.28);
  style.height = held(style.height, 2 * style.margin + 260, 14400, 841.89);
  return style;
}

}  // namespace

std::vector<Drawing> lay_out(const Document& document, const PageStyle& style) {
  const PageStyle page_style = sound(style);
  BlockSetter setter(page_style);
  setter.title(document);
  for (const Block& block : document.blocks) std::visit(setter, block);
  std::vector<Drawing> pages = fill_pages(setter.finish(), page_style);
  for (Drawing& page : pages) page.title = clean_text(document.title);
  add_running_feet(pages, document.title, page_style);
  return pages;
}

}  // namespace wale::render
