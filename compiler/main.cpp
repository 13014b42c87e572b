// The program: reads the command line and runs the command that it asks for.
#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <sstream>

#include "compiler/command_line.hpp"
#include "compiler/command_terminal.hpp"
#include "compiler/commands.hpp"
#include "compiler/standard_streams.hpp"
#include "grammar/fitted.hpp"
#include "grammar/visible.hpp"

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
  fmt::print(stderr, "{}", fitted(visible_lines(line) + "\n", look_of_errors()));
}

namespace {

/// Help, or what cannot be understood.
int exit_status(const CLI::App& app, const CLI::ParseError& error, const std::vector<std::string>& words) {
  if (error.get_exit_code() != 0) {
    std::fputs(visible_lines(mistake_in(app, words, error)).c_str(), stderr);
    return wrong_use;
  }
  std::ostringstream out;
  app.exit(error, out, out);
  std::fputs(out.str().c_str(), stdout);
  return fine;
}

}  // namespace

}  // namespace wale

int main(int count, char** words) {
  wale::prepare_standard_streams();
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
  int status = wale::file_trouble;
  try {
    app.parse(count, words);
    status = chosen();
  } catch (const CLI::ParseError& error) {
    status = wale::exit_status(app, error, {words + std::min(count, 1), words + count});
  } catch (const std::exception& error) {
    wale::say_at_the_end(error);
  }
  return wale::finish_standard_output() ? status : wale::file_trouble;
}
