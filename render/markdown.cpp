#include "render/markdown.hpp"

#include "render/measure.hpp"

namespace wale::render {

// CommonMark 0.30, 2.4: a backslash may stand before any ASCII punctuation.
std::string markdown_text(std::string_view text) {
  const std::string clean = clean_text(text);
  std::string out;
  for (std::size_t i = 0; i < clean.size(); ++i) {
    const char c = clean[i];
    const bool always = std::string_view("\\`*_[]<>|&~").find(c) != std::string_view::npos;
    // At its end it would close a heading.
    const bool closing = c == '#' && clean.find_first_not_of('#', i) == std::string::npos;
    // A list or a heading only where a paragraph begins.
    const bool first = i == 0 && std::string_view("#+-=").find(c) != std::string_view::npos;
    const bool numbered = (c == '.' || c == ')') && i > 0 && i <= 9 &&
                          clean.find_first_not_of("0123456789") == i &&
                          (i + 1 == clean.size() || clean[i + 1] == ' ');
    if (always || first || numbered || closing) out += '\\';
    out += c;
  }
  return out;
}

namespace {

class MarkdownSetter {
 public:
  void title(const Document& document) {
    line("# " + markdown_text(document.title));
    if (!document.author.empty()) (*this)(Paragraph{"", document.author});
  }

  void operator()(const Heading& block) {
    line(std::string(static_cast<std::size_t>(block.level < 2 ? 2 : block.level), '#') + ' ' +
         markdown_text(block.text));
  }

  void operator()(const Paragraph& block) {
    std::string words;
    if (!block.lead.empty()) words = "**" + markdown_text(block.lead) + "**";
    if (!block.text.empty()) words += (words.empty() ? "" : " ") + markdown_text(block.text);
    if (!words.empty()) line((block.caution ? "> " : "") + words);
  }

  void operator()(const Table& block) {
    if (block.rows.empty() && block.header.empty()) return;
    const std::size_t columns = block.header.empty() ? block.rows.front().size() : block.header.size();
    std::string out = row(block.header.empty() ? std::vector<std::string>(columns) : block.header);
    out += "\n|";
    for (std::size_t i = 0; i < columns; ++i)
      out += i < block.numeric.size() && block.numeric[i] ? " ---: |" : " --- |";
    for (const std::vector<std::string>& each : block.rows) out += '\n' + row(each);
    line(out);
  }

  void operator()(const ChartBlock& block) {
    line(markdown_text("Chart: " + block.chart.title));
    for (const std::string& note : block.chart.notes) line(markdown_text(note));
  }

  void operator()(const PictureBlock& block) {
    for (const PictureBlock::Each& each : block.pictures)
      line(markdown_text(each.picture.title + ": " + each.picture.description + ' ' + each.caption));
  }

  void operator()(const CalendarBlock& block) {
    for (const CalendarBand& band : block.calendar.bands) (*this)(Paragraph{band.tag, band.words});
    for (const CalendarRest& rest : block.calendar.rests) (*this)(Paragraph{"", calendar_words(rest)});
  }

  /// The measures, which are what the shapes are in words.
  void operator()(const SchematicBlock& block) { (*this)(block.schematic.table); }

  std::string finish() { return std::move(text_); }

 private:
  static std::string row(const std::vector<std::string>& cells) {
    std::string out = "|";
    for (const std::string& cell : cells) {
      const std::string words = markdown_text(cell);
      out += words.empty() ? " |" : ' ' + words + " |";
    }
    return out;
  }

  void line(const std::string& words) {
    if (!text_.empty()) text_ += '\n';
    text_ += words;
    text_ += '\n';
  }

  std::string text_;
};

}  // namespace

std::string write_markdown(const Document& document) {
  MarkdownSetter setter;
  setter.title(document);
  for (const Block& block : document.blocks) std::visit(setter, block);
  return setter.finish();
}

}  // namespace wale::render
