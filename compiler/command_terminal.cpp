#include "compiler/command_terminal.hpp"

#include <sys/ioctl.h>
#include <unistd.h>

#include <algorithm>
#include <charconv>
#include <cstdlib>
#include <cstring>
#include <optional>
#include <string_view>

namespace wale {

namespace {

/// Of the terminal behind the stream: as COLUMNS says (POSIX.1-2017, Base Definitions 8.3), or else the
/// terminal. Nothing where there is no terminal, or where it does not know.
std::optional<int> columns_of(int stream) {
  if (isatty(stream) != 1) return {};
  int columns = 0;
  if (const char* said = std::getenv("COLUMNS")) {
    const char* end = said + std::strlen(said);
    const auto [rest, error] = std::from_chars(said, end, columns);
    if (error == std::errc() && rest == end && columns > 0) return columns;
  }
  winsize size{};
  if (ioctl(stream, TIOCGWINSZ, &size) == 0 && size.ws_col > 0) return size.ws_col;
  return {};
}

}  // namespace

Look look_of_errors() {
  if (isatty(STDERR_FILENO) != 1) return {};
  const auto variable = [](const char* name) {
    const char* value = std::getenv(name);
    return std::string_view(value ? value : "");
  };
  const std::string_view kind = variable("TERM");
  const bool colour = variable("NO_COLOR").empty() && !kind.empty() && kind != "dumb";
  return {colour, static_cast<std::size_t>(std::max(columns_of(STDERR_FILENO).value_or(0), 0))};
}

Look look_of_output() {
  return {false, static_cast<std::size_t>(std::max(columns_of(STDOUT_FILENO).value_or(0), 0))};
}

int help_columns() {
  // Lines longer than a hundred are hard to follow.
  return std::clamp(columns_of(STDOUT_FILENO).value_or(80), 40, 100);
}

}  // namespace wale
