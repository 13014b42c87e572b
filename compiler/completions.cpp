#include "compiler/completions.hpp"

#include <fmt/format.h>

namespace wale {

namespace {

std::vector<std::string> names_of(const std::vector<CommandFacts>& commands) {
  std::vector<std::string> out;
  for (const CommandFacts& each : commands) out.push_back(each.name);
  return out;
}

/// In single quotes, for bash and zsh (POSIX.1-2017, Shell Command Language 2.2.2).
std::string quoted(std::string_view text) {
  std::string out = "'";
  for (const char c : text) out += c == '\'' ? std::string("'\\''") : std::string(1, c);
  return out + "'";
}

/// In single quotes, for fish, where a backslash is one's own within them ("Quotes" in its documentation).
std::string fish_quoted(std::string_view text) {
  std::string out = "'";
  for (const char c : text) out += c == '\'' || c == '\\' ? std::string("\\") + c : std::string(1, c);
  return out + "'";
}

/// What can stand in a place: "choices A4 Letter", "patterns", "folder"; empty where nothing is known of it.
std::string place(const OptionFacts& option, const std::vector<std::string>& mistakes,
                  const std::vector<std::string>& commands) {
  switch (option.takes) {
    case Takes::choices:
      return fmt::format("words {}", fmt::join(option.choices(), " "));
    case Takes::mistake:
      return fmt::format("words {}", fmt::join(mistakes, " "));
    case Takes::command:
      return fmt::format("words {}", fmt::join(commands, " "));
    case Takes::patterns:
      return "patterns";
    case Takes::folder:
      return "folder";
    case Takes::words:
    case Takes::nothing:
      break;
  }
  return "";
}

/// The part of the script that is the same whatever there is to complete.
constexpr const char* bash_frame =
    R"BASH(# Completion of wale in bash. Made from the program's command line; do not edit.

# Sets `options`, `place`: what there is to choose from behind the command $1 and the word before, or as its argument number $3.
_wale_known() {{
  options='' place='' valued=''
  case $1 in
{0}  esac
  valued=yes
  case "$1 $2" in
{1}    *) valued='' ;;
  esac
  [[ -n $valued ]] && return
  case "$1 $3" in
{2}  esac
}}

_wale() {{
  local current=${{COMP_WORDS[COMP_CWORD]}} before=${{COMP_WORDS[COMP_CWORD-1]}}
  local command='' options place valued word previous='' number=1 i
  COMPREPLY=()
  # bash parts `--paper=A4` into three words.
  [[ $current == = ]] && current=''
  [[ $before == = ]] && before=${{COMP_WORDS[COMP_CWORD-2]}}
  for ((i = 1; i < COMP_CWORD; ++i)); do
    word=${{COMP_WORDS[i]}}
    if [[ -z $command ]]; then
      [[ $word == -* ]] || command=$word
    else
      _wale_known "$command" "$previous" ''
      [[ $word == -* || $word == = || $previous == = || -n $valued ]] || number=$((number + 1))
    fi
    previous=$word
  done
  if [[ -z $command && $current != -* ]]; then
    mapfile -t COMPREPLY < <(compgen -W '{3}' -- "$current")
    return
  fi
  _wale_known "$command" "$before" "$number"
  if [[ -z $valued && $current == -* ]]; then
    mapfile -t COMPREPLY < <(compgen -W "$options" -- "$current")
    return
  fi
  case $place in
    words*) mapfile -t COMPREPLY < <(compgen -W "${{place#words }}" -- "$current") ;;
    folder) compopt -o filenames 2>/dev/null; mapfile -t COMPREPLY < <(compgen -d -- "$current") ;;
    patterns)
      compopt -o filenames 2>/dev/null
      mapfile -t COMPREPLY < <(compgen -d -- "$current"; compgen -f -X '!*.wale' -- "$current" | sort -u)
      ;;
  esac
}}
complete -F _wale wale
)BASH";

}  // namespace

std::string bash_completion(const ProgramFacts& program, const std::vector<std::string>& mistakes) {
  const std::vector<std::string> commands = names_of(program.commands);
  // Keys: "build" its options, "build --paper" what stands behind one, "build 1" its first argument.
  std::string values, options, arguments;
  const auto add = [&](const std::string& command, const CommandFacts& facts) {
    std::string names;
    for (const OptionFacts& each : facts.options)
      for (const std::string& name : each.names) {
        names += (names.empty() ? "" : " ") + name;
        if (!each.value.empty())
          values += fmt::format("    {}) place={} ;;\n", quoted(command + " " + name),
                                quoted(place(each, mistakes, commands)));
      }
    options += fmt::format("    {}) options={} ;;\n", quoted(command), quoted(names));
    for (std::size_t i = 0; i < facts.arguments.size(); ++i)
      arguments += fmt::format("    {}{}) place={} ;;\n", quoted(fmt::format("{} {}", command, i + 1)),
                               facts.arguments[i].repeated ? fmt::format("|{}*", quoted(command + " ")) : "",
                               quoted(place(facts.arguments[i], mistakes, commands)));
  };
  add("", program.itself);
  for (const CommandFacts& each : program.commands) add(each.name, each);
  return fmt::format(bash_frame, options, values, arguments, fmt::join(commands, " "));
}

namespace {

/// A description within zsh's specifications, where brackets and colons part one thing from another.
std::string zsh_words(std::string_view text) {
  std::string out;
  for (const char c : text) {
    if (c == '[' || c == ']' || c == ':' || c == '\\') out += '\\';
    out += c;
  }
  return out;
}

std::string zsh_place(const OptionFacts& option) {
  switch (option.takes) {
    case Takes::choices:
      return fmt::format("({})", fmt::join(option.choices(), " "));
    case Takes::mistake:
      return "_wale_mistakes";
    case Takes::command:
      return "_wale_commands";
    case Takes::patterns:
      return "_wale_patterns";
    case Takes::folder:
      return "_files -/";
    case Takes::words:
    case Takes::nothing:
      break;
  }
  return " ";
}

/// A command's options and arguments as arguments of zsh's own `_arguments`.
std::string zsh_arguments(const CommandFacts& command, const std::string& indent) {
  std::string out;
  for (const OptionFacts& each : command.options)
    for (const std::string& name : each.names) {
      std::string spec = fmt::format("{}{}[{}]", each.repeated ? "*" : "", name, zsh_words(each.does));
      if (!each.value.empty()) spec += fmt::format(":{}:{}", zsh_words(each.value), zsh_place(each));
      out += fmt::format(" \\\n{}{}", indent, quoted(spec));
    }
  for (const OptionFacts& each : command.arguments)
    out += fmt::format(" \\\n{}{}", indent,
                       quoted(fmt::format("{}:{}:{}",
                                          each.repeated   ? "*"
                                          : each.required ? ""
                                                          : ":",
                                          zsh_words(each.value), zsh_place(each))));
  return out;
}

/// The part of the script that is the same whatever there is to complete.
constexpr const char* zsh_frame = R"ZSH(#compdef wale
# Completion of wale in zsh. Made from the program's command line; do not edit.

_wale_commands() {{
  local -a known=(
{0}  )
  _describe command known
}}

_wale_mistakes() {{
  local -a known=({1})
  _describe mistake known
}}

_wale_patterns() {{
  _files -g '*.wale(-.)'
}}

_wale() {{
  local context state state_descr line
  typeset -A opt_args
  _arguments -C{2} \
    '1:command:_wale_commands' \
    '*::word:->command'
  case $state in
    command)
      case $words[1] in
{3}      esac
      ;;
  esac
}}

if [[ $funcstack[1] == _wale ]]; then
  _wale "$@"
else
  compdef _wale wale
fi
)ZSH";

}  // namespace

std::string zsh_completion(const ProgramFacts& program, const std::vector<std::string>& mistakes) {
  std::string commands, cases;
  for (const CommandFacts& each : program.commands) {
    commands += fmt::format("    {}\n", quoted(fmt::format("{}:{}", each.name, zsh_words(each.does))));
    cases += fmt::format("        {}) _arguments -s -S{} ;;\n", each.name, zsh_arguments(each, "          "));
  }
  return fmt::format(zsh_frame, commands, fmt::join(mistakes, " "), zsh_arguments(program.itself, "    "),
                     cases);
}

std::string fish_completion(const ProgramFacts& program, const std::vector<std::string>& mistakes) {
  const std::vector<std::string> commands = names_of(program.commands);
  std::string out =
      fmt::format(R"FISH(# Completion of wale in fish. Made from the program's command line; do not edit.

set -g __wale_commands {0}

function __wale_patterns
    __fish_complete_path (commandline -ct) | string match -r '^[^\t]*(?:/|\.wale)(?:\t.*)?$'
end

complete -c wale -f
)FISH",
                  fmt::join(commands, " "));
  const auto add = [&](const std::string& when, const OptionFacts& option) {
    std::string line = fmt::format("complete -c wale -n {}", fish_quoted(when));
    for (const std::string& name : option.names)
      line += name.starts_with("--") ? " -l " + name.substr(2) : " -s " + name.substr(1);
    const std::string known = place(option, mistakes, commands);
    if (known.starts_with("words "))
      line += (option.names.empty() ? " -a " : " -x -a ") + fish_quoted(known.substr(6));
    else if (known == "patterns")
      line += " -k -a '(__wale_patterns)'";
    else if (known == "folder")
      line += " -x -a '(__fish_complete_directories)'";
    else if (option.names.empty())
      return;
    else if (!option.value.empty())
      line += " -x";
    if (!option.names.empty()) line += fmt::format(" -d {}", fish_quoted(option.does));
    out += line + "\n";
  };
  const std::string none = "not __fish_seen_subcommand_from $__wale_commands";
  for (const OptionFacts& each : program.itself.options) add(none, each);
  for (const CommandFacts& each : program.commands) {
    out += fmt::format("complete -c wale -n {} -a {} -d {}\n", fish_quoted(none), each.name,
                       fish_quoted(each.does));
    for (const OptionFacts& option : each.options) add("__fish_seen_subcommand_from " + each.name, option);
    for (const OptionFacts& argument : each.arguments)
      add("__fish_seen_subcommand_from " + each.name, argument);
  }
  return out;
}

}  // namespace wale
