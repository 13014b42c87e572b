// `wale explain`: what stands behind a message.
#include <fmt/format.h>

#include <algorithm>
#include <memory>

#include "compiler/command_line.hpp"
#include "compiler/command_terminal.hpp"
#include "compiler/commands.hpp"
#include "compiler/explain.hpp"

namespace wale {

namespace {

/// Without a name, the list of them all.
int explain(const std::string& slug) {
  const auto columns = [](int most) {
    const int there = static_cast<int>(look_of_output().columns);
    return there > 0 ? std::min(there, most) : most;
  };
  if (slug.empty()) {
    fmt::print("{}", list_kinds(columns(list_columns)));
    return fine;
  }
  if (const auto kind = find_kind(slug)) {
    fmt::print("{}", explain(*kind, columns(explanation_columns)));
    return fine;
  }
  std::vector<std::string> slugs;
  for (const Kind kind : all_kinds()) slugs.emplace_back(facts(kind).slug);
  const auto near = nearest_name(slug, slugs);
  say(fmt::format("wale: nothing is called `{}` that could be explained", slug));
  say(fmt::format("       try   wale explain{}", near ? fmt::format(" {}", *near) : ""));
  return wrong_use;
}

}  // namespace

void add_explain(CLI::App& app, Command& chosen) {
  const auto slug = std::make_shared<std::string>();
  CLI::App* command =
      app.add_subcommand("explain", "Say at length what a mistake means; without a name, list them all");
  command->add_option("MISTAKE", *slug, "The word in brackets behind a message, such as unknown-stitch")
      ->type_name("");
  show_examples(*command,
                {{"wale explain wrong-loop", "why it is a mistake, an example, and the example mended"},
                 {"wale explain", "all the mistakes that it knows, each in a line"}});
  command->callback([&chosen, slug] { chosen = [slug] { return explain(*slug); }; });
}

}  // namespace wale
