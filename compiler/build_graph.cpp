#include "compiler/build_graph.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <string_view>

namespace wale {

namespace {

/// A Ninja file takes `|` for what parts the files that a command is given from those that it only reads.
bool is_unnameable(const std::string& path) {
  return path.find_first_of("\n|") != std::string::npos;
}

/// What readers of Make's rules agree on how to read. Of the marks that are missing here some have no way to
/// be written, and some are read in several ways.
bool rule_can_name(const std::string& path) {
  return std::all_of(path.begin(), path.end(), [](const char c) {
    const auto byte = static_cast<unsigned char>(c);
    return byte >= 0x80 || std::isalnum(byte) != 0 ||
           std::string_view(" #$+-_./,=@%~:()[]{}!&").find(c) != std::string_view::npos;
  });
}

/// As the readers of Make's rules take it.
std::string rule_path(const std::string& path) {
  std::string out;
  for (const char c : path) {
    if (c == ' ' || c == '#') out += '\\';
    out += c == '$' ? "$$" : std::string(1, c);
  }
  return out;
}

/// A path in a Ninja file.
std::string ninja_path(const std::string& path) {
  std::string out;
  for (const char c : path) {
    if (c == '$' || c == ' ' || c == ':') out += '$';
    out += c;
  }
  return out;
}

/// The value of a variable.
std::string ninja_value(const std::string& text) {
  std::string out = text.starts_with(' ') ? "$" : "";
  for (const char c : text) out += c == '$' ? "$$" : std::string(1, c);
  return out;
}

std::string joined(const std::string& folder, const std::string& name) {
  return folder.empty() ? name : folder.ends_with('/') ? folder + name : folder + "/" + name;
}

/// Words as a command takes them.
std::string words_value(const std::vector<std::string>& words) {
  std::string out;
  for (const std::string& word : words) out += (out.empty() ? "" : " ") + shell_quoted(word);
  return ninja_value(out);
}

std::string head(const BuildGraph& graph) {
  // An equal file is left as it is (restat), and whatever is made from it is not made again. What keeps to a
  // depfile, if only /dev/null, leaves the ledger of the output folder alone.
  return fmt::format(R"(# Written by `wale graph`. Run it from the folder in which that was run.
ninja_required_version = 1.5

wale = {}
options = {}
check-options = {}

rule pattern
  command = $wale build $options --to $to --depfile $rule-file -- $in
  description = build $in
  depfile = $depfile
  deps = gcc
  restat = 1

rule oddly-named
  command = $wale build $options --to $to --depfile /dev/null -- $in
  description = build $in
  restat = 1

rule lender
  command = $wale check $check-options -- $in && touch $out
  description = check $in

)",
                     words_value({graph.program}), words_value(graph.options),
                     words_value(graph.check_options));
}

/// The statement by which the file renews itself.
std::string renewal(const BuildGraph& graph) {
  if (graph.file.empty() || is_unnameable(graph.file)) return {};
  // Those that the depfile cannot name stand here. They may be gone when the file is read: that makes them
  // changed, and would be an error if nothing said that they need not be there.
  std::string others, gone;
  for (const std::string& source : graph.sources) {
    if (rule_can_name(source) || is_unnameable(source)) continue;
    others += " " + ninja_path(source);
    gone += fmt::format("build {}: phony\n", ninja_path(source));
  }
  return fmt::format(R"(rule graph
  command = $wale graph {}
  description = look through the patterns
  depfile = {}.d
  generator = 1
  restat = 1

build {}: graph | {}{}
{}
)",
                     words_value(graph.renew), ninja_value(graph.file), ninja_path(graph.file),
                     ninja_path(graph.program), others, gone);
}

/// The statement that builds one pattern. What one with errors will make is not known, but for its document;
/// one that makes nothing leaves a file of no bytes, to say that it was checked.
std::string statement(const GraphEdge& edge, const std::string& program) {
  const bool lends = edge.good && edge.names.empty();
  std::vector<std::string> names = edge.names;
  if (lends) names = {"." + edge.stem + ".checked"};
  if (!edge.good) names = {edge.stem + ".pdf"};
  const std::string rule = joined(edge.folder, "." + edge.stem + ".d");
  const bool by_rule = rule_can_name(rule) && rule_can_name(edge.source) &&
                       std::all_of(edge.used.begin(), edge.used.end(), rule_can_name);
  std::string out = "build";
  for (const std::string& name : names) out += " " + ninja_path(joined(edge.folder, name));
  out += fmt::format(": {} {} |",
                     lends     ? "lender"
                     : by_rule ? "pattern"
                               : "oddly-named",
                     ninja_path(edge.source));
  for (const std::string& used : edge.used) out += " " + ninja_path(used);
  out += " " + ninja_path(program) + "\n";
  if (!lends) out += fmt::format("  to = {}\n", words_value({edge.folder.empty() ? "." : edge.folder}));
  if (!lends && by_rule)
    out += fmt::format("  depfile = {}\n  rule-file = {}\n", ninja_value(rule), words_value({rule}));
  return out + "\n";
}

}  // namespace

std::string ninja_file(const BuildGraph& graph, std::vector<std::string>& unnamed) {
  std::string out = head(graph) + renewal(graph);
  for (const GraphEdge& edge : graph.edges) {
    if (is_unnameable(edge.source) || is_unnameable(edge.folder) ||
        std::any_of(edge.used.begin(), edge.used.end(), is_unnameable))
      unnamed.push_back(edge.source);
    else
      out += statement(edge, graph.program);
  }
  return out;
}

std::string dependency_rule(const std::string& target, const std::vector<std::string>& sources) {
  if (!rule_can_name(target)) return {};
  std::string out = rule_path(target) + ":";
  for (const std::string& source : sources)
    if (rule_can_name(source)) out += " \\\n  " + rule_path(source);
  return out + "\n";
}

std::string shell_quoted(const std::string& word) {
  constexpr std::string_view plain =
      "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_./=,+@%";
  if (!word.empty() && word.find_first_not_of(plain) == std::string::npos) return word;
  std::string out = "'";
  for (const char c : word) out += c == '\'' ? "'\\''" : std::string(1, c);
  return out + "'";
}

}  // namespace wale
