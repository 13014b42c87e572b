/// A collection as a build graph: for each pattern the command that builds it, the files that it is made of
/// and the files that it makes, as a Ninja file (ninja-build.org). Ninja, or whatever else carries out such
/// files, on one machine or on many, then does what `wale build` does.
///
///     build out/hat.pdf out/hat.txt ...: pattern patterns/hat.wale | patterns/yarns.wale
///       to = out
#pragma once

#include <string>
#include <vector>

namespace wale {

/// One pattern.
struct GraphEdge {
  std::string source;              ///< its file
  std::vector<std::string> used;   ///< the other files that it is made of
  std::string folder, stem;        ///< where its files go, and what their names begin with
  std::vector<std::string> names;  ///< of the files that it makes, in that folder; none where it only lends
                                   ///< to others
  bool good = true;                ///< without errors: otherwise what it makes is not known yet
};

struct BuildGraph {
  std::string program;                     ///< the path of `wale`
  std::vector<std::string> options;        ///< of `wale build`, but for where files go
  std::vector<std::string> check_options;  ///< those of them that `wale check` has, too
  std::vector<GraphEdge> edges;
  /// The graph's own file, and the words that make it anew when a pattern has changed or come; nothing for a
  /// graph that is not to renew itself.
  std::string file;
  std::vector<std::string> renew;
  std::vector<std::string> sources;  ///< all files and folders that it was made from
};

/// The Ninja file. A pattern that it cannot name (with a line break or `|`) is left out, and added to
/// `unnamed`.
std::string ninja_file(const BuildGraph& graph, std::vector<std::string>& unnamed);

/// A rule in the language of Make, as compilers write it for whoever decides what to build: `target` has to
/// be made again when one of `sources` has changed. Names with marks that this language has no sure way to
/// write (quotes, line breaks, `;`) are left out; the rule is empty where the target's is one of them.
std::string dependency_rule(const std::string& target, const std::vector<std::string>& sources);

/// For a POSIX shell.
std::string shell_quoted(const std::string& word);

}  // namespace wale
