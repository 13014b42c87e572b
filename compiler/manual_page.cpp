#include "compiler/manual_page.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <charconv>

#include "render/text.hpp"

namespace wale {

namespace {

/// Signs that mdoc would take for its own. A hyphen is meant as the sign that is typed, not as one to break
/// at.
std::string escaped(std::string_view text) {
  std::string out;
  for (const char c : text) {
    if (c == '\\')
      out += "\\e";
    else if (c == '-')
      out += "\\-";
    else
      out += c;
  }
  return out;
}

/// A line of text as a line of the page: one that begins like a request does not.
std::string text_line(std::string_view text) {
  const std::string out = escaped(text);
  return (out.starts_with('.') || out.starts_with('\'') ? "\\&" : "") + out + "\n";
}

/// A sentence or more as text, each on lines of its own, source between backticks in quotation marks.
std::string sentences(std::string text) {
  std::string out;
  if (!text.empty() && !text.ends_with('.')) text += '.';
  while (!text.empty()) {
    std::size_t end = text.find(". ");
    while (end != std::string::npos && std::isupper(static_cast<unsigned char>(text[end + 2])) == 0)
      end = text.find(". ", end + 1);
    const std::string sentence = text.substr(0, end == std::string::npos ? end : end + 1);
    text.erase(0, end == std::string::npos ? end : end + 2);
    for (const std::string& line : render::wrap_columns(sentence, 72, 72)) out += text_line(line);
  }
  bool open = false;
  for (std::size_t at = out.find('`'); at != std::string::npos; at = out.find('`', at)) {
    const std::string_view mark = open ? "\\(rq" : "\\(lq";
    out.replace(at, 1, mark);
    at += mark.size();
    open = !open;
  }
  return out;
}

/// A word on a line of macros, where a word that is called like one would be taken for it.
std::string word(std::string_view text) {
  return "\\&" + escaped(text);
}

/// "Fl Fl to Ar DIR": the names and the value as macros.
std::string macros(const OptionFacts& option) {
  std::string out;
  for (const std::string& name : option.names) {
    if (!out.empty()) out += " , ";
    out += name.starts_with("--") ? "Fl Fl " + escaped(name.substr(2)) : "Fl " + escaped(name.substr(1));
  }
  if (option.takes == Takes::choices) {
    out += " Cm";
    for (const std::string& each : option.choices()) {
      if (!out.ends_with("Cm"))
        out += " | ";
      else
        out += ' ';
      out += word(each);
    }
  } else if (!option.value.empty()) {
    out += (out.empty() ? "Ar " : " Ar ") + word(option.value);
  }
  if (option.names.empty() && option.repeated) out += " ...";
  return out;
}

std::string list(const std::vector<OptionFacts>& options) {
  std::string out;
  for (const OptionFacts& each : options)
    out += fmt::format(".It {}\n{}", macros(each), sentences(each.does));
  return out.empty() ? out : ".Bl -tag -width Ds\n" + out + ".El\n";
}

std::string examples(const CommandFacts& command) {
  std::string out;
  for (const Example& each : command.examples)
    out += ".It\n" + sentences(each.does) + ".Bd -literal -compact\n" + text_line(each.line) + ".Ed\n";
  return out;
}

std::string synopsis(const CommandFacts& command) {
  std::string out = fmt::format(".Nm\n.Cm {}\n", word(command.name));
  if (!command.options.empty()) out += ".Op Ar options\n";
  for (const OptionFacts& each : command.arguments)
    out += fmt::format(".{}{}\n", each.required ? "" : "Op ", macros(each));
  return out;
}

std::string commands(const ProgramFacts& program) {
  std::string out = ".Sh COMMANDS\n";
  for (const CommandFacts& each : program.commands) {
    out += fmt::format(".Ss wale {}\n{}", escaped(each.name), sentences(each.does));
    out += list(each.arguments);
    const auto help = [](const OptionFacts& option) { return option.names.back() == "--help"; };
    for (const std::string& group : each.groups()) {
      std::vector<OptionFacts> options;
      std::copy_if(each.options.begin(), each.options.end(), std::back_inserter(options),
                   [&](const OptionFacts& option) { return option.group == group && !help(option); });
      if (options.empty()) continue;
      out += fmt::format(".Pp\n{}:\n{}", escaped(group), list(options));
    }
  }
  return out;
}

/// "2026-11-27" as "November 27, 2026", which is how mdoc writes it.
std::string date_words(const std::string& date) {
  static constexpr std::array months{"January", "February", "March",     "April",   "May",      "June",
                                     "July",    "August",   "September", "October", "November", "December"};
  unsigned month = 0, day = 0;
  if (date.size() == 10) {
    std::from_chars(date.data() + 5, date.data() + 7, month);
    std::from_chars(date.data() + 8, date.data() + 10, day);
  }
  if (month < 1 || month > months.size()) return date;
  return fmt::format("{} {}, {}", months[month - 1], day, date.substr(0, 4));
}

/// What the command line does not know of itself.
constexpr std::string_view surroundings = R"(.Sh ENVIRONMENT
.Bl -tag -width SOURCE_DATE_EPOCH
.It Ev NO_COLOR
Set to anything, mistakes are told without colours.
They are coloured only on a terminal that is not
.Dq dumb .
.It Ev COLUMNS
The width of the terminal, where it is another than the terminal says.
.It Ev SOURCE_DATE_EPOCH
Seconds since 1970: the date that PDF files carry.
Without it they carry none.
.El
.Sh FILES
.Bl -tag -width Ds
.It Pa *.wale
A pattern, a season, or declarations that patterns share.
.It Pa out/
The folder into which is written, unless another is named.
.El
)";

}  // namespace

std::string manual_page(const ProgramFacts& program, const Release& release) {
  std::string out = ".\\\" Made from the program's command line. Do not edit.\n";
  out += fmt::format(".Dd {}\n.Dt WALE 1\n.Os\n", date_words(release.date));
  out += ".Sh NAME\n.Nm wale\n.Nd compile hand-knitting patterns\n.Sh SYNOPSIS\n";
  for (const CommandFacts& each : program.commands) out += synopsis(each);
  for (const OptionFacts& each : program.itself.options) out += fmt::format(".Nm\n.{}\n", macros(each));
  out += ".Sh DESCRIPTION\n" + sentences(program.itself.does);
  out +=
      ".Pp\nMistakes go to standard error, each as a line\n.Dq file:line:column: error: ...\nand the place "
      "in the "
      "pattern; a summary goes to standard output.\n";
  out += fmt::format(".Pp\nThis page tells of version {}.\n", release.version);
  out += list(program.itself.options) + commands(program);
  out += surroundings;
  out += ".Sh EXIT STATUS\n.Bl -tag -width Ds\n";
  for (const ExitStatus& each : exit_statuses())
    out += fmt::format(".It {}\n{}", each.status, sentences(each.means));
  out += ".El\n.Sh EXAMPLES\n.Bl -item\n" + examples(program.itself);
  for (const CommandFacts& each : program.commands) out += examples(each);
  return out + ".El\n";
}

}  // namespace wale
