#include "tried.hpp"

using namespace wale;

Tried try_file(const std::string& name, const Files& files) {
  Tried out;
  out.loaded = load(Source(name, files.at(name), 1), files_in_memory(files));
  out.checked = check(out.loaded);
  out.shown = show(out.checked.diagnostics, sources_of(out.loaded));
  return out;
}

bool says(const Tried& tried, const std::string& words) {
  return tried.shown.find(words) != std::string::npos;
}
