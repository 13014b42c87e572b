// The program: reads the command line and runs the command that it asks for.
#include <fmt/format.h>

#include <charconv>
#include <cstdio>
#include <cstdlib>
#include <cstring>

#include "compiler/commands.hpp"

namespace wale {

/// Seconds since 1970 from SOURCE_DATE_EPOCH (reproducible-builds.org), if it is set to a number.
std::optional<std::int64_t> source_date() {
  const char* text = std::getenv("SOURCE_DATE_EPOCH");
  if (!text) return {};
  std::int64_t seconds = 0;
  const char* end = text + std::strlen(text);
  const auto [rest, error] = std::from_chars(text, end, seconds);
  if (error != std::errc() || rest != end || seconds < 0) return {};
  return seconds;
}

void say(const std::string& line) {
  fmt::print(stderr, "{}\n", line);
}

}  // namespace wale

int main(int count, char** words) {
  CLI::App app{
      "Wale compiles hand-knitting patterns: plain text in; checked stitch counts, charts, written\n"
      "instructions and yarn amounts out.\n\n"
      "  wale new winter-hat              a first pattern to change\n"
      "  wale check scarf.wale            does every row work out?\n"
      "  wale check --fix scarf.wale      and mend in the file what is certain\n"
      "  wale build patterns --to out     charts (SVG), document (PDF), words (text), yarn (JSON)\n"
      "  wale watch patterns --to out     the same again whenever one is saved\n"
      "  wale match scarf.wale shelf.wale which of my yarns could knit this?\n"
      "  wale format patterns             lay the files out in the one way\n"
      "  wale swatch scarf.wale           a page to knit and measure a swatch by\n"
      "  wale explain unknown-stitch      why that is a mistake, and an example\n\n"
      "Exit status: 0 fine, 1 a pattern has errors, 2 wrong use, 3 a file cannot be read or written.",
      "wale"};
  app.set_version_flag("--version", std::string("wale ") + WALE_VERSION, "Show the version");
  app.require_subcommand(1);
  wale::Command chosen;
  wale::add_patterns(app, chosen);
  wale::add_graph(app, chosen);
  wale::add_watch(app, chosen);
  wale::add_match(app, chosen);
  wale::add_format(app, chosen);
  wale::add_swatch(app, chosen);
  wale::add_new(app, chosen);
  wale::add_explain(app, chosen);
  try {
    app.parse(count, words);
  } catch (const CLI::ParseError& error) {
    return app.exit(error) == 0 ? wale::fine : wale::wrong_use;
  }
  try {
    return chosen();
  } catch (const std::exception& error) {
    wale::say(fmt::format("wale: {}", error.what()));
    return wale::file_trouble;
  }
}
