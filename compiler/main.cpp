// The program: reads the command line and runs the command that it asks for.
#include <fmt/format.h>

#include <charconv>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <sstream>

#include "compiler/commands.hpp"
#include "compiler/standard_streams.hpp"
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
  fmt::print(stderr, "{}\n", visible_lines(line));
}

namespace {

/// Help, or what cannot be understood.
int exit_status(const CLI::App& app, const CLI::ParseError& error) {
  std::ostringstream out, wrong;
  const bool understood = app.exit(error, out, wrong) == 0;
  std::fputs(out.str().c_str(), stdout);
  std::fputs(visible_lines(wrong.str()).c_str(), stderr);
  return understood ? fine : wrong_use;
}

}  // namespace

}  // namespace wale

int main(int count, char** words) {
  wale::prepare_standard_streams();
  CLI::App app{
      "Wale compiles hand-knitting patterns: plain text in; checked stitch counts, charts, written\n"
      "instructions and yarn amounts out.\n\n"
      "  wale new winter-hat              a first pattern to change\n"
      "  wale check scarf.wale            does every row work out?\n"
      "  wale check --fix scarf.wale      and mend in the file what is certain\n"
      "  wale build patterns --to out     charts (SVG), document (PDF), words (text), yarn (JSON)\n"
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
  wale::add_match(app, chosen);
  wale::add_format(app, chosen);
  wale::add_swatch(app, chosen);
  wale::add_new(app, chosen);
  wale::add_explain(app, chosen);
  int status = wale::file_trouble;
  try {
    app.parse(count, words);
    status = chosen();
  } catch (const CLI::ParseError& error) {
    status = wale::exit_status(app, error);
  } catch (const std::exception& error) {
    wale::say_at_the_end(error);
  }
  return wale::finish_standard_output() ? status : wale::file_trouble;
}
