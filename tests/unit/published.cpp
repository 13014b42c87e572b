#include "tests/unit/published.hpp"

#include <doctest/doctest.h>

#include <regex>
#include <sstream>

namespace wale::published {
namespace {

/// `4n + 2`, `4n`, `n`, `12`; "multiple of 4 + 2" leaves the n out.
std::optional<Linear> read_count(const std::string& text, bool multiple) {
  static const std::regex linear(R"((\d*)n(?: \+ (\d+))?)"), plain(R"(\d+)"), of(R"((\d+)(?: \+ (\d+))?)");
  std::smatch found;
  if (!multiple && std::regex_match(text, plain)) return Linear(std::stoll(text));
  if (!std::regex_match(text, found, multiple ? of : linear)) return {};
  const auto number = [&](std::size_t i, long long otherwise) {
    return found[i].length() > 0 ? std::stoll(found[i].str()) : otherwise;
  };
  return Linear(number(1, 1), number(2, 0));
}

std::optional<Figure> read_figure(std::string text, std::size_t line) {
  Figure out{line, Figure::Of::stitches, {}, text};
  const auto ends = [&](const std::string& end, Figure::Of of) {
    if (!text.ends_with(end)) return;
    out.of = of;
    text.resize(text.size() - end.size());
  };
  if (text.starts_with("multiple of ")) {
    out.of = Figure::Of::multiple;
    text = text.substr(12);
  }
  ends(" rows", Figure::Of::rows);
  ends(" worked", Figure::Of::worked);
  const auto count = read_count(text, out.of == Figure::Of::multiple);
  if (!count) return {};
  out.count = *count;
  return out;
}

std::vector<std::string> parts_of(const std::string& text, char between) {
  std::vector<std::string> out;
  std::istringstream in(text);
  for (std::string part; std::getline(in, part, between);) out.push_back(trimmed(part));
  return out;
}

}  // namespace

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> out;
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) out.push_back(line);
  return out;
}

const std::vector<PatternFile>& files() {
  static const std::vector<PatternFile> files = pattern_files("published");
  return files;
}

bool is_printed(const PatternFile& file) {
  return file.name.find("-printed") != std::string::npos;
}

std::string pattern_name(const PatternFile& file) {
  return file.name.substr(0, std::min(file.name.find("-printed"), file.name.find(".wale")));
}

std::optional<Head> head_of(const PatternFile& file) {
  static const std::regex citation(
      R"(-- (Beeton 1870, no\. \d+|Dillmont 1886, fig\. \d+|Handbook 1918, ".+"): (\S.*)\.)");
  static const std::regex shown(R"(-- Shows: (.+)\.)"), finding(R"(-- (Misprint|Unsaid): ([^:]+): (.+))");
  const std::vector<std::string> lines = lines_of(file.text);
  std::smatch found;
  if (lines.size() < 3 || !std::regex_match(lines[0], found, citation)) return {};
  Head out{found[1].str(), found[2].str(), {}, {}};
  if (!std::regex_match(lines[1], found, shown)) return {};
  out.shows = parts_of(found[1].str(), ',');
  for (std::size_t i = 2; i < lines.size() && std::regex_match(lines[i], found, finding); ++i)
    out.findings.push_back({found[1].str() == "Misprint", found[2].str(), found[3].str()});
  return out;
}

std::vector<Figure> figures_in(const PatternFile& file) {
  std::vector<Figure> out;
  const std::vector<std::string> lines = lines_of(file.text);
  for (std::size_t i = 0; i < lines.size(); ++i) {
    const std::size_t at = lines[i].find("--= ");
    if (at == std::string::npos) continue;
    for (const std::string& part : parts_of(lines[i].substr(at + 4), ',')) {
      const auto figure = read_figure(part, i + 1);
      CHECK_MESSAGE(figure.has_value(), file.name, ":", i + 1, " is no figure: ", part);
      if (figure) out.push_back(*figure);
    }
  }
  return out;
}

std::optional<long long> worked_out(const std::string& sum) {
  std::istringstream in(sum);
  long long total = 0, product = 0, sign = 1, number = 0;
  if (!(in >> product)) return {};
  for (std::string between; in >> between;) {
    if (!(in >> number)) return {};
    if (between == "×") {
      product *= number;
    } else if (between == "+" || between == "-") {
      total += sign * product;
      sign = between == "+" ? 1 : -1;
      product = number;
    } else {
      return {};
    }
  }
  return total + sign * product;
}

}  // namespace wale::published
