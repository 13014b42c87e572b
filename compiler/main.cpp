// The program: reads the command line and runs the command that it asks for.
#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cstdio>
#include <cstdlib>
#include <cstring>

#include "compiler/command_line.hpp"
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
      "Wale compiles hand-knitting patterns: plain text in; checked stitch counts, charts, written "
      "instructions and yarn amounts out",
      "wale"};
  wale::set_up(app);
  app.set_version_flag("--version", std::string("wale ") + WALE_VERSION, "Show the version");
  app.require_subcommand(1);
  wale::show_examples(app,
                      {{"wale new winter-hat", "a first pattern to change"},
                       {"wale check scarf.wale", "does every row work out?"},
                       {"wale build patterns --to out", "charts (SVG), document (PDF), words, yarn amounts"},
                       {"wale explain wrong-loop", "why that is a mistake, and an example"}});
  wale::Command chosen;
  wale::add_patterns(app, chosen);
  wale::add_graph(app, chosen);
  wale::add_watch(app, chosen);
  wale::add_match(app, chosen);
  wale::add_format(app, chosen);
  wale::add_swatch(app, chosen);
  wale::add_new(app, chosen);
  wale::add_explain(app, chosen);
  wale::add_help(app, chosen);
  wale::add_manual(app, chosen);
  try {
    app.parse(count, words);
  } catch (const CLI::ParseError& error) {
    if (error.get_exit_code() == 0) return app.exit(error), wale::fine;
    fmt::print(stderr, "{}", wale::mistake_in(app, {words + std::min(count, 1), words + count}, error));
    return wale::wrong_use;
  }
  try {
    return chosen();
  } catch (const std::exception& error) {
    wale::say(fmt::format("wale: {}", error.what()));
    return wale::file_trouble;
  }
}
