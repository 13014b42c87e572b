/// What the fuzz targets share: any bytes as text, the work that may be done, and how a target fails.
///
///     extern "C" int LLVMFuzzerTestOneInput(data, size)    one input; it returns 0, or does not return
///     must(again == text, "it is laid out otherwise the second time")
///
/// Each target is one such function in a file of its own. libFuzzer drives it (`run`), and so does
/// `fixed_run.cpp`, in every build of the tests.
#pragma once

#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <string>
#include <string_view>
#include <vector>

#include "compiler/effort.hpp"
#include "grammar/tokens.hpp"

namespace wale::fuzz {

/// A fortieth of what the program as shipped allows: the sanitizer makes it slower (see README.md).
inline constexpr Effort effort{Effort{}.most / 40};

inline std::string text_of(const std::uint8_t* data, std::size_t size) {
  return {reinterpret_cast<const char*>(data), size};
}

inline void must(bool holds, const char* otherwise) {
  if (holds) return;
  std::fprintf(stderr, "%s\n", otherwise);
  std::abort();
}

/// All stand in a source that there is, and inside it.
inline void must_lie_inside(const Diagnostics& diagnostics, const Sources& sources) {
  for (const Diagnostic& each : diagnostics.all()) {
    must(!each.message.empty(), "a message is empty");
    must(each.span.begin <= each.span.end, "a span runs backwards");
    must(each.span.source < sources.size(), "a span lies in no source");
    must(each.span.end <= sources[each.span.source].text().size(), "a span lies outside its source");
  }
}

/// Lines, without their ends.
inline std::vector<std::string> lines_of(std::string_view text) {
  std::vector<std::string> out;
  while (!text.empty()) {
    const std::size_t end = text.find('\n');
    out.emplace_back(text.substr(0, end));
    if (end == text.npos) break;
    text.remove_prefix(end + 1);
  }
  return out;
}

/// The comments, one for each line that has one, without any blanks: those may be moved.
inline std::vector<std::string> comments_of(const Source& source) {
  std::vector<std::string> out;
  Diagnostics none;
  std::size_t from = 0;
  for (const Token& token : read_tokens(source, none)) {
    const std::string_view gap = std::string_view(source.text()).substr(from, token.begin - from);
    from = token.end;
    for (const std::string& line : lines_of(gap)) {
      const std::size_t begin = line.find("--");
      if (begin == std::string::npos) continue;
      std::string comment = line.substr(begin);
      std::erase_if(comment, [](char c) { return c == ' ' || c == '\t' || c == '\r'; });
      out.push_back(std::move(comment));
    }
  }
  return out;
}

}  // namespace wale::fuzz
