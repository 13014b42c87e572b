// One symbol, one definition. A chart of a thousand purl stitches holds the purl sign once:
//
//     <defs><g id="rib-p">...</g></defs>  ...  <use xlink:href="#rib-p" x="20" y="36"/>
#include <fmt/format.h>

#include <map>
#include <pugixml.hpp>
#include <set>
#include <sstream>

#include "tests/pages/page_tool.hpp"

namespace wale::pages {

namespace {

/// A group by what is in it, a path that is its own definition by itself, but for its name.
std::string shape_of(const pugi::xml_node& definition) {
  std::ostringstream shape;
  for (const pugi::xml_node& child : definition.children()) child.print(shape, "", pugi::format_raw);
  shape << definition.attribute("d").value();
  return shape.str();
}

}  // namespace

std::vector<std::string> svg_faults(const std::string& svg) {
  std::vector<std::string> faults;
  pugi::xml_document file;
  if (const auto result = file.load_buffer(svg.data(), svg.size()); !result) return {result.description()};
  std::set<std::string> ids;
  std::map<std::string, std::string> by_shape, shapes;
  for (const pugi::xpath_node& found : file.select_nodes("//*[@id]")) {
    const std::string id = found.node().attribute("id").value();
    if (!ids.insert(id).second) faults.push_back(fmt::format("two things are called {}", id));
  }
  for (const pugi::xpath_node& found : file.select_nodes("//defs/*")) {
    const std::string id = found.node().attribute("id").value(), shape = shape_of(found.node());
    const auto [other, first] = by_shape.emplace(shape, id);
    if (!first) faults.push_back(fmt::format("{} and {} are the same symbol", other->second, id));
    shapes[id] = shape;
  }
  std::set<std::string> used;
  for (const pugi::xpath_node& found : file.select_nodes("//use")) {
    const std::string target = found.node().attribute("xlink:href").value();
    if (target.size() < 2 || target[0] != '#' || !shapes.contains(target.substr(1)))
      faults.push_back(fmt::format("\"{}\" is used and not defined", target));
    else
      used.insert(target.substr(1));
  }
  for (const auto& [id, shape] : shapes)
    if (!used.contains(id)) faults.push_back(fmt::format("{} is defined and not used", id));
  // A sign drawn out in place of being used would be the same path a second time.
  for (const pugi::xpath_node& found : file.select_nodes("//path[not(ancestor::defs)]")) {
    std::ostringstream shape;
    found.node().print(shape, "", pugi::format_raw);
    if (by_shape.contains(shape.str())) faults.push_back("a symbol is drawn out in place of being used");
  }
  return faults;
}

}  // namespace wale::pages
