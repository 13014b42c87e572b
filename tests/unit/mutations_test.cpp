// Patterns broken in ways in which nobody would break them on purpose: every file of the tree, with tokens
// and lines dropped, doubled and exchanged, numbers made absurd, files grown together, cut off, or sprinkled
// with bytes.
//
// Whatever is made, checking it returns: with at most so many diagnostics, and with no more work than may be
// done. Where nothing is wrong with it, its document and charts are made, too. Work is counted and not timed.
// A failure prints the seed and the whole text.
#include <doctest/doctest.h>

#include <algorithm>

#include "compiler/pattern_document.hpp"
#include "grammar/tokens.hpp"
#include "tests/unit/pattern_files.hpp"
#include "tests/unit/random_fabric.hpp"

using namespace wale;
using naive::Dice;

namespace {

constexpr int mutants_of_a_file = 7;
constexpr int made_into_documents = 400;
/// What a single step may do beyond `Effort::most` before it is noticed.
constexpr long long slack = 2;

/// The pieces of a text that stand between `cuts`; put together they are the text again.
std::vector<std::string> pieces(const std::string& text, const std::vector<std::size_t>& cuts) {
  std::vector<std::string> out;
  std::size_t from = 0;
  for (const std::size_t cut : cuts)
    if (cut > from && cut <= text.size()) {
      out.push_back(text.substr(from, cut - from));
      from = cut;
    }
  if (from < text.size()) out.push_back(text.substr(from));
  return out;
}

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::size_t> cuts;
  for (std::size_t i = 0; i < text.size(); ++i)
    if (text[i] == '\n') cuts.push_back(i + 1);
  return pieces(text, cuts);
}

/// Each token with the blanks before it.
std::vector<std::string> tokens_of(const std::string& text) {
  std::vector<std::size_t> cuts;
  Diagnostics quiet;
  for (const Token& token : read_tokens(Source("m.wale", text, 1), quiet)) cuts.push_back(token.end);
  return pieces(text, cuts);
}

std::string joined(const std::vector<std::string>& parts) {
  std::string out;
  for (const std::string& part : parts) out += part;
  return out;
}

/// One part dropped, doubled, exchanged with another, or put elsewhere.
void disturb(Dice& dice, std::vector<std::string>& parts) {
  if (parts.empty()) return;
  const auto any = [&] {
    return static_cast<std::size_t>(dice.number(0, static_cast<long long>(parts.size()) - 1));
  };
  const std::size_t a = any(), b = any();
  const std::string part = parts[a];
  switch (dice.number(0, 3)) {
    case 0:
      parts.erase(parts.begin() + static_cast<std::ptrdiff_t>(a));
      break;
    case 1:
      parts.insert(parts.begin() + static_cast<std::ptrdiff_t>(a), part);
      break;
    case 2:
      std::swap(parts[a], parts[b]);
      break;
    default:
      parts.insert(parts.begin() + static_cast<std::ptrdiff_t>(b), part);
  }
}

/// Some of the numbers become others.
std::string renumbered(Dice& dice, const std::string& text) {
  static const std::vector<std::string> absurd{
      "0", "1", "-1", "-1000000000", "1000000000", "999999999", "1000000001", "18446744073709551616",
      "2", "7", "40", "4096",        "4097",       "100000",    "0.5",        "00"};
  std::string out;
  for (std::size_t i = 0; i < text.size();) {
    std::size_t end = i;
    while (end < text.size() && text[end] >= '0' && text[end] <= '9') ++end;
    if (end > i)
      out += dice.chance(15) ? dice.one_of(absurd) : text.substr(i, end - i);
    else
      out += text[end++];
    i = end;
  }
  return out;
}

std::string mutant(Dice& dice, const std::string& text, const std::vector<std::string>& others) {
  const auto place = [&](const std::string& in) {
    return static_cast<std::size_t>(dice.number(0, static_cast<long long>(in.size())));
  };
  std::string out = text;
  for (long long times = dice.number(1, 4); times > 0; --times) switch (dice.number(0, 6)) {
      case 0:
      case 1: {
        std::vector<std::string> parts = tokens_of(out);
        disturb(dice, parts);
        out = joined(parts);
        break;
      }
      case 2: {
        std::vector<std::string> parts = lines_of(out);
        disturb(dice, parts);
        out = joined(parts);
        break;
      }
      case 3:
        out = renumbered(dice, out);
        break;
      case 4: {
        const std::string& other = dice.one_of(others);
        out = out.substr(0, place(out)) + other.substr(place(other));
        break;
      }
      case 5:
        out.resize(place(out));
        break;
      default:
        for (long long bytes = dice.number(1, 4); bytes > 0; --bytes)
          out.insert(out.begin() + static_cast<std::ptrdiff_t>(place(out)),
                     static_cast<char>(dice.number(0, 255)));
    }
  return out;
}

/// The files of the tree, but for those that are large by intent.
std::vector<std::string> all_texts() {
  std::vector<std::string> out;
  for (const char* folder : {"patterns", "core", "diagnostics", "published", "../examples"})
    for (PatternFile& file : pattern_files(folder))
      if (!file.text.empty() && file.text.size() < 100'000) out.push_back(std::move(file.text));
  return out;
}

}  // namespace

TEST_CASE("no pattern, however broken, is more than can be checked and told") {
  const std::vector<std::string> texts = all_texts();
  REQUIRE(texts.size() > 100);
  int sound = 0, broken = 0, documents = 0;
  std::uint64_t seed = 310'000;
  for (const std::string& text : texts)
    for (int i = 0; i < mutants_of_a_file; ++i) {
      Dice dice(++seed);
      const Source source("m.wale", mutant(dice, text, texts), 1);
      INFO("seed ", seed, "\n", source.text());
      const Checked checked = check(source);
      CHECK(checked.effort.work() <= slack * checked.effort.most);
      CHECK(checked.diagnostics.all().size() <= Diagnostics::most);
      for (const Diagnostic& each : checked.diagnostics.all()) {
        CHECK(!each.message.empty());
        CHECK(each.span.begin <= each.span.end);
        if (each.span.source == source.number()) CHECK(each.span.end <= source.text().size());
      }
      if (checked.diagnostics.has_errors()) {
        ++broken;
        continue;
      }
      ++sound;
      if (documents >= made_into_documents) continue;
      ++documents;
      const Estimate estimate = estimate_yarn(checked.pattern, *checked.stitches);
      const render::Document document = make_document(checked.pattern, *checked.stitches, estimate, "mutant");
      CHECK(!document.title.empty());
      CHECK(!yarn_report({&checked.pattern}, *checked.stitches, {estimate}, "mutant").empty());
      CHECK(make_charts(checked.pattern, *checked.stitches).size() <= checked.pattern.fabrics.size());
    }
  MESSAGE(sound, " sound, ", broken, " broken, ", documents, " documents");
  CHECK(sound > broken / 20);
  CHECK(broken > sound / 20);
  CHECK(documents > 50);
}

TEST_CASE("tokens lie inside a text that is cut off in the middle of a character") {
  for (const std::string text : {"cast on \xC3", "k \xE2\x80", "\"a\xF0", "draw \xF0\x9F", "\xFC\x06"}) {
    CAPTURE(text);
    Diagnostics diagnostics;
    std::uint32_t reached = 0;
    for (const Token& token : read_tokens(Source("m.wale", text, 1), diagnostics)) {
      CHECK(token.begin >= reached);
      CHECK(token.end >= token.begin);
      CHECK(token.end <= text.size());
      reached = token.end;
    }
    for (const Diagnostic& each : diagnostics.all()) CHECK(each.span.end <= text.size());
  }
}
