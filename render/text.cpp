#include "render/text.hpp"

#include <glib.h>

#include <algorithm>

#include "render/measure.hpp"
#include "render/table_plan.hpp"

namespace wale::render {

namespace {

int cell_columns(gunichar c) {
  return g_unichar_iszerowidth(c) ? 0 : g_unichar_iswide(c) ? 2 : 1;
}

/// Bytes from the front of `text` that take at most `columns` cells, and at least one character.
std::size_t head_of(std::string_view text, int columns) {
  std::size_t at = 0;
  for (int used = 0; at < text.size();) {
    const gunichar c = g_utf8_get_char(text.data() + at);
    used += cell_columns(c);
    if (used > columns && at > 0) break;
    at += static_cast<std::size_t>(g_unichar_to_utf8(c, nullptr));
  }
  return std::min(at, text.size());
}

std::string spaces(int count) {
  return std::string(static_cast<std::size_t>(std::max(count, 0)), ' ');
}

class TextSetter {
 public:
  explicit TextSetter(int columns) : columns_(std::clamp(columns, 20, 1000)) {}

  void title(const Document& document) {
    heading(document.title, '=');
    const std::string author = clean_text(document.author);
    if (!author.empty()) paragraph(author, 0);
  }

  void operator()(const Heading& block) { heading(block.text, block.level <= 2 ? '-' : '\0'); }

  void operator()(const Paragraph& block) {
    const std::string lead = clean_text(block.lead), text = clean_text(block.text);
    if (lead.empty() && text.empty()) return;
    const bool led = !lead.empty();
    // Rows of instructions follow each other closely; a caution stands apart, behind a bar.
    gap(!(led && after_lead_) || block.caution);
    std::string whole = lead;
    if (led && !text.empty()) whole += ' ';
    whole += text;
    const int beside = text_columns(lead) + 1;
    const int hanging = !led ? 0 : beside <= 18 ? beside : 4;
    if (block.caution) {
      for (const std::string& line : wrap_columns(whole, columns_ - 2, columns_ - 2)) {
        add(std::string("| ").append(line));
      }
    } else {
      set_lines(whole, hanging);
    }
    after_lead_ = led && !block.caution;
  }

  void operator()(const Table& table);

  void operator()(const ChartBlock& block) {
    paragraph(std::string("Chart: ").append(clean_text(block.chart.title)), 4);
    for (const std::string& note : block.chart.notes) set_lines(clean_text(note), 0);
  }

  /// A picture in words.
  void operator()(const PictureBlock& block) {
    for (const PictureBlock::Each& each : block.pictures) {
      std::string words = clean_text(each.picture.title);
      words += ": ";
      words += clean_text(each.picture.description);
      if (!each.caption.empty()) words += ' ' + clean_text(each.caption);
      paragraph(words, 4);
    }
  }

  /// A calendar in words: a line for each band, and for each rest.
  void operator()(const CalendarBlock& block) {
    for (const CalendarBand& band : block.calendar.bands) (*this)(Paragraph{band.tag, band.words});
    for (const CalendarRest& rest : block.calendar.rests) (*this)(Paragraph{"", calendar_words(rest)});
  }
  /// The measures, which are what the shapes are in words.
  void operator()(const SchematicBlock& block) { (*this)(block.schematic.table); }

  std::string finish() {
    if (text_.empty()) text_ += '\n';
    return std::move(text_);
  }

 private:
  void add(std::string line) {
    while (!line.empty() && line.back() == ' ') line.pop_back();
    text_ += line;
    text_ += '\n';
  }

  void gap(bool wanted) {
    if (wanted && !text_.empty()) text_ += '\n';
  }

  void set_lines(const std::string& text, int hanging) {
    bool first = true;
    for (const std::string& line : wrap_columns(text, columns_ - hanging, columns_)) {
      add(first ? line : spaces(hanging) + line);
      first = false;
    }
  }

  void paragraph(const std::string& text, int hanging) {
    gap(true);
    set_lines(text, hanging);
    after_lead_ = false;
  }

  void heading(const std::string& words, char underline) {
    const std::string text = clean_text(words);
    if (text.empty()) return;
    gap(true);
    int widest = 0;
    for (const std::string& line : wrap_columns(text, columns_, columns_)) {
      add(line);
      widest = std::max(widest, text_columns(line));
    }
    if (underline != '\0') add(std::string(static_cast<std::size_t>(widest), underline));
    after_lead_ = false;
  }

  void table_row(const Table& table, const TableBand& band, const std::vector<std::string>& row);

  int columns_;
  bool after_lead_ = false;
  std::string text_;
};

std::vector<ColumnNeed> column_needs(const std::vector<std::vector<std::string>>& rows, const Table& table) {
  std::vector<ColumnNeed> needs(rows.front().size(), {2, 2});
  for (std::size_t r = 0; r < rows.size(); ++r) {
    const bool header = r == 0 && !table.header.empty();
    for (std::size_t i = 0; i < rows[r].size(); ++i) {
      const std::string& text = rows[r][i];
      needs[i].natural = std::max(needs[i].natural, static_cast<double>(text_columns(text)));
      const bool whole = !header && i < table.numeric.size() && table.numeric[i];
      for (std::size_t at = 0; at < text.size();) {
        const std::size_t end = whole ? text.size() : std::min(text.find(' ', at), text.size());
        const int columns = text_columns(std::string_view(text).substr(at, end - at));
        needs[i].least = std::max(needs[i].least, static_cast<double>(columns));
        at = end + 1;
      }
    }
  }
  return needs;
}

void TextSetter::operator()(const Table& table) {
  std::size_t columns = table.header.size();
  for (const auto& row : table.rows) columns = std::max(columns, row.size());
  if (columns == 0) return;
  std::vector<std::vector<std::string>> rows;
  const auto take = [&](const std::vector<std::string>& source) {
    rows.emplace_back(columns);
    for (std::size_t i = 0; i < source.size(); ++i) rows.back()[i] = clean_text(source[i]);
  };
  if (!table.header.empty()) take(table.header);
  for (const auto& row : table.rows) take(row);
  for (const TableBand& band : plan_table(column_needs(rows, table), columns_, 2)) {
    gap(true);
    int width = -2;
    for (const double column : band.widths) width += std::max(2, static_cast<int>(column)) + 2;
    for (std::size_t r = 0; r < rows.size(); ++r) {
      table_row(table, band, rows[r]);
      if (r == 0 && !table.header.empty()) add(std::string(static_cast<std::size_t>(width), '-'));
    }
  }
  after_lead_ = false;
}

void TextSetter::table_row(const Table& table, const TableBand& band, const std::vector<std::string>& row) {
  std::vector<std::vector<std::string>> cells;
  std::size_t height = 0;
  for (std::size_t i = 0; i < band.columns.size(); ++i) {
    const int width = std::max(2, static_cast<int>(band.widths[i]));
    cells.push_back(wrap_columns(row[band.columns[i]], width, width));
    height = std::max(height, cells.back().size());
  }
  for (std::size_t line = 0; line < height; ++line) {
    std::string out;
    for (std::size_t i = 0; i < cells.size(); ++i) {
      const std::string words = line < cells[i].size() ? cells[i][line] : std::string();
      const std::string pad = spaces(std::max(2, static_cast<int>(band.widths[i])) - text_columns(words));
      const std::size_t column = band.columns[i];
      const bool right = column < table.numeric.size() && table.numeric[column];
      if (i > 0) out += "  ";
      out += right ? pad : words;
      out += right ? words : pad;
    }
    add(std::move(out));
  }
}

}  // namespace

std::string write_text(const Document& document, const TextOptions& options) {
  TextSetter setter(options.columns);
  setter.title(document);
  for (const Block& block : document.blocks) std::visit(setter, block);
  return setter.finish();
}

int text_columns(std::string_view text) {
  int columns = 0;
  for (std::size_t at = 0; at < text.size();) {
    const gunichar c = g_utf8_get_char_validated(text.data() + at, static_cast<gssize>(text.size() - at));
    const bool broken = c == static_cast<gunichar>(-1) || c == static_cast<gunichar>(-2) || c == 0;
    columns += broken ? 1 : cell_columns(c);
    at += broken ? 1 : static_cast<std::size_t>(g_unichar_to_utf8(c, nullptr));
  }
  return columns;
}

std::vector<std::string> wrap_columns(std::string_view text, int columns, int first_columns) {
  columns = std::max(columns, 2);
  std::vector<std::string> lines;
  std::string line;
  int used = 0;
  const auto limit = [&] { return lines.empty() ? std::max(first_columns, 2) : columns; };
  const auto finish = [&] {
    lines.push_back(std::move(line));
    line.clear();
    used = 0;
  };
  const std::string clean = clean_text(text);
  for (std::string_view rest = clean; !rest.empty();) {
    const std::size_t space = rest.find(' ');
    std::string_view word = rest.substr(0, space);
    rest = space == std::string_view::npos ? std::string_view() : rest.substr(space + 1);
    const int needed = text_columns(word);
    if (used > 0 && used + 1 + needed > limit()) finish();
    if (used > 0) line += ' ', ++used;
    int left = needed;  // Counted down, so that a word of any length is read only twice.
    while (left > limit() - used) {
      const std::size_t head = head_of(word, limit() - used);
      left -= text_columns(word.substr(0, head));
      line += word.substr(0, head);
      word.remove_prefix(head);
      finish();
    }
    line += word;
    used += left;
  }
  if (!line.empty()) finish();
  return lines;
}

}  // namespace wale::render
