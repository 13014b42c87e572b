// Any bytes as several files that may use and knit each other: a line `-- file NAME` begins the next one.
// All are loaded once, within bounds, and checked; what is wrong is told where it stands.
//
//     use "yarns.wale"
//     -- file yarns.wale
//     yarn kelp "Skerry Worsted, Kelp" 100 g = 200 m
#include <algorithm>

#include "compiler/check.hpp"
#include "compiler/check_report.hpp"
#include "tests/fuzz/target.hpp"

using namespace wale;

namespace {

constexpr std::string_view begins_file = "-- file ";

std::map<std::string, std::string> parted(const std::string& text) {
  std::map<std::string, std::string> out;
  std::string name = "f.wale";
  for (const std::string& line : fuzz::lines_of(text)) {
    if (line.starts_with(begins_file))
      name = line.substr(begins_file.size());
    else
      out[name] += line + "\n";
  }
  return out;
}

void must_be_bounded(const Loaded& loaded) {
  fuzz::must(loaded.files.size() <= most_files, "there are more files than may be");
  fuzz::must(loaded.projects.size() <= most_projects, "there are more projects than may be");
  std::vector<std::string> names;
  std::size_t bytes = 0;
  for (std::size_t i = 0; i < loaded.files.size(); ++i) {
    const LoadedFile& file = loaded.files[i];
    fuzz::must(file.source.number() == i + 1, "a file's number is not its place");
    for (const std::size_t used : file.uses) fuzz::must(used < loaded.files.size(), "a file uses none");
    names.push_back(file.source.name());
    bytes += file.source.text().size();
  }
  fuzz::must(bytes <= most_bytes_loaded || loaded.files.size() == 1, "more is loaded than may be");
  std::sort(names.begin(), names.end());
  fuzz::must(std::adjacent_find(names.begin(), names.end()) == names.end(), "a file is loaded twice");
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::map<std::string, std::string> files = parted(fuzz::text_of(data, size));
  const auto first = files.find("f.wale");
  const Loaded loaded =
      load(Source("f.wale", first == files.end() ? "" : first->second, 1), files_in_memory(files));
  must_be_bounded(loaded);
  for (const auto& project : loaded.projects)
    if (project) must_be_bounded(*project);
  const Checked checked = check(loaded, {}, fuzz::effort);
  const Sources sources = sources_of(loaded);
  fuzz::must_lie_inside(checked.diagnostics, sources);
  show(checked.diagnostics, sources);
  for (const Finding& finding : findings_of(checked.diagnostics, sources))
    fuzz::must(!finding.where.path.empty(), "a finding has no place");
  return 0;
}
