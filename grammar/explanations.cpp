#include "grammar/explanations.hpp"

#include <fmt/format.h>

namespace wale {

namespace {

/// The next line without its end; `text` goes on behind it.
std::string_view take_line(std::string_view& text) {
  const std::size_t end = text.find('\n');
  const std::string_view line = text.substr(0, end);
  text.remove_prefix(end == std::string_view::npos ? text.size() : end + 1);
  return line;
}

/// The lines up to the closing fence; false where it is missing.
bool take_block(std::string_view& text, std::string& out) {
  while (!text.empty()) {
    const std::string_view line = take_line(text);
    if (line == "```") return !out.empty();
    out += line;
    out += '\n';
  }
  return false;
}

}  // namespace

std::optional<Explanation> read_explanation(std::string_view text, std::string_view slug) {
  Explanation out;
  if (take_line(text) != fmt::format("# {}", slug)) return {};
  std::string paragraph, heading;
  const auto finish = [&] {
    if (!paragraph.empty()) out.paragraphs.push_back(std::move(paragraph));
    paragraph.clear();
  };
  while (!text.empty()) {
    const std::string_view line = take_line(text);
    if (line == "Shows it:" || line == "Mended:") {
      finish();
      heading = line;
    } else if (line == "```wale") {
      if (heading.empty()) return {};
      std::string& block = heading == "Mended:" ? out.mended : out.shows;
      if (!block.empty() || !take_block(text, block)) return {};
      heading.clear();
    } else if (line.empty()) {
      finish();
    } else {
      // Behind the patterns nothing more is said.
      if (!heading.empty() || !out.shows.empty()) return {};
      if (!paragraph.empty()) paragraph += ' ';
      paragraph += line;
    }
  }
  finish();
  if (out.paragraphs.empty() || out.shows.empty() != out.mended.empty() || !heading.empty()) return {};
  return out;
}

std::optional<Explanation> explanation(Kind kind) {
  const std::string_view slug = facts(kind).slug;
  for (const ExplanationText& each : explanation_texts())
    if (each.slug == slug) return read_explanation(each.text, slug);
  return {};
}

}  // namespace wale
