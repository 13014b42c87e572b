// What checking a collection costs, by ratio in one run.
//
//     wale_checking_cost [WALE] [TRIES]       the tables; exit 1 where a bound is broken
//     wale_checking_cost write FOLDER COUNT [FIRST]   a collection from that number on, for a profiler
//
// Ten thousand patterns are checked by `wale check`, and the same bytes are read by xmllint, each pattern as
// the text of one XML element. One process reads all of them, and does nothing with what it read. Programs
// are run by turns, and the least of their times counts. A fabric that several patterns have in the same
// words is proved once; what checking costs where no two of them are alike is told beside that. Three
// collections show whether time goes with the bytes and memory stays. One small file shows what starting
// takes, against a program that loads the same libraries and does nothing.
#include <fcntl.h>
#include <fmt/format.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <filesystem>
#include <fstream>

#include "tests/bench/collection.hpp"

namespace fs = std::filesystem;
using namespace wale::bench;

namespace {

constexpr double most_beyond_xmllint = 3, most_beyond_nothing = 1.5, most_megabytes = 64, most_growth = 1.3;

struct Cost {
  bool good = false;
  double wall = 1e9, processor = 1e9;  ///< in milliseconds
  double megabytes = 0;                ///< the most that it held
};

/// Runs a program quietly. What it says goes to `/dev/null`, or into `log`.
Cost run(const std::vector<std::string>& words, const std::string& log = "/dev/null") {
  std::fflush(stdout);
  timespec begin{}, end{};
  clock_gettime(CLOCK_MONOTONIC, &begin);
  const pid_t child = fork();
  if (child == 0) {
    std::vector<char*> arguments;
    for (const std::string& word : words) arguments.push_back(const_cast<char*>(word.c_str()));
    arguments.push_back(nullptr);
    const int out = ::open(log.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0644);
    if (out < 0 || ::dup2(out, STDOUT_FILENO) < 0 || ::dup2(out, STDERR_FILENO) < 0) _exit(127);
    execvp(arguments[0], arguments.data());
    _exit(127);
  }
  int status = 0;
  rusage used{};
  if (child < 0 || wait4(child, &status, 0, &used) != child) return {};
  clock_gettime(CLOCK_MONOTONIC, &end);
  const auto milliseconds = [](const timeval& time) {
    return 1e3 * static_cast<double>(time.tv_sec) + 1e-3 * static_cast<double>(time.tv_usec);
  };
  Cost out;
  out.good = WIFEXITED(status) && WEXITSTATUS(status) == 0;
  out.wall = 1e3 * static_cast<double>(end.tv_sec - begin.tv_sec) +
             1e-6 * static_cast<double>(end.tv_nsec - begin.tv_nsec);
  out.processor = milliseconds(used.ru_utime) + milliseconds(used.ru_stime);
  out.megabytes = static_cast<double>(used.ru_maxrss) / 1024;
  return out;
}

/// The least times of those that went well, and the most memory.
void keep_best(Cost& best, const Cost& next) {
  if (!next.good) return;
  best.good = true;
  best.wall = std::min(best.wall, next.wall);
  best.processor = std::min(best.processor, next.processor);
  best.megabytes = std::max(best.megabytes, next.megabytes);
}

/// Programs by turns, so that other work on the machine meets all of them.
std::vector<Cost> by_turns(const std::vector<std::vector<std::string>>& programs, int tries) {
  std::vector<Cost> out(programs.size());
  for (int i = 0; i < tries; ++i)
    for (std::size_t each = 0; each < programs.size(); ++each) keep_best(out[each], run(programs[each]));
  return out;
}

bool said(bool held) {
  fmt::print("{}\n", held ? "" : "   BROKEN");
  return held;
}

/// The files below a folder that end so, behind the words.
std::vector<std::string> with_files(std::vector<std::string> words, const std::string& folder) {
  for (const fs::directory_entry& each : fs::recursive_directory_iterator(folder))
    if (each.is_regular_file()) words.push_back(each.path().string());
  std::sort(words.begin() + 2, words.end());
  return words;
}

bool against_xmllint(const std::string& wale, const std::string& folder, int tries) {
  constexpr std::size_t count = 10'000;
  const double megabytes =
      static_cast<double>(write_collection(folder + "/patterns", count, Written::pattern)) / 1e6;
  write_collection(folder + "/distinct", count, Written::distinct);
  write_collection(folder + "/escaped", count, Written::escaped);
  write_collection(folder + "/cdata", count, Written::cdata);
  const std::vector<std::string> xmllint{"xmllint", "--noout"};
  const auto costs = by_turns({{wale, "check", folder + "/patterns"},
                               {wale, "check", "--jobs", "1", folder + "/patterns"},
                               with_files(xmllint, folder + "/escaped"),
                               with_files(xmllint, folder + "/cdata"),
                               {wale, "check", folder + "/distinct"}},
                              tries);
  fmt::print("{:34} {:>9} {:>11} {:>9} {:>8}\n", fmt::format("{} patterns, {:.1f} MB", count, megabytes),
             "wall", "processor", "memory", "ratio");
  const bool compared = costs[2].good && costs[3].good;
  const double theirs = std::min(costs[2].wall, costs[3].wall);
  const char* names[] = {"wale check", "wale check --jobs 1", "xmllint, escaped", "xmllint, CDATA",
                         "wale check, no fabric twice"};
  for (std::size_t i = 0; i < costs.size(); ++i)
    if (costs[i].good)
      fmt::print("{:34} {:6.0f} ms {:8.0f} ms {:6.1f} MB {:8}\n", names[i], costs[i].wall, costs[i].processor,
                 costs[i].megabytes, compared ? fmt::format("{:.2f}", costs[i].wall / theirs) : "");
  if (!compared) fmt::print("xmllint is not here (Debian: libxml2-utils), so it is not compared.\n");
  fmt::print("at most {:g} times xmllint, wall time:", most_beyond_xmllint);
  const bool quick = said(!compared || (costs[0].good && costs[0].wall <= most_beyond_xmllint * theirs));
  fmt::print("at most {:g} MB:", most_megabytes);
  return said(costs[0].good && costs[0].megabytes <= most_megabytes) && quick;
}

bool by_size(const std::string& wale, const std::string& folder, int tries) {
  fmt::print("\n{:>10} {:>9} {:>11} {:>16} {:>9}\n", "patterns", "bytes", "processor", "a MB", "memory");
  double first = 0, last = 0, most = 0;
  bool good = true;
  for (const std::size_t count : {10'000UL, 30'000UL, 100'000UL}) {
    const std::string patterns = folder + fmt::format("/patterns-{}", count);
    const double megabytes = static_cast<double>(write_collection(patterns, count, Written::pattern)) / 1e6;
    const Cost cost = by_turns({{wale, "check", patterns}}, count > 50'000 ? 1 : tries).front();
    good = good && cost.good;
    last = cost.processor / megabytes;
    if (first == 0) first = last;
    most = std::max(most, cost.megabytes);
    fmt::print("{:>10} {:6.1f} MB {:8.0f} ms {:10.1f} ms/MB {:6.1f} MB\n", count, megabytes, cost.processor,
               last, cost.megabytes);
    fs::remove_all(patterns);
  }
  fmt::print("a megabyte of the most takes at most {:g} times one of the fewest:", most_growth);
  const bool even = said(good && last <= most_growth * first);
  fmt::print("at most {:g} MB:", most_megabytes);
  return said(most <= most_megabytes) && even;
}

/// Lines of a trace that name what has to do with fonts.
std::size_t fonts_opened(const std::string& trace) {
  std::size_t out = 0;
  std::ifstream file(trace);
  for (std::string line; std::getline(file, line);)
    out += line.find("libfont") == std::string::npos && line.find("font") != std::string::npos;
  return out;
}

bool starting(const std::string& wale, const std::string& nothing, const std::string& folder, int tries) {
  const std::string file = folder + "/small.wale", trace = folder + "/trace";
  std::ofstream(file) << "fabric rib flat 4n + 2 st {\n  1: <k2 p2> k2\n  2: <p2 k2> p2\n}\n";
  const auto costs = by_turns({{wale, "check", file}, {nothing}}, 8 * tries);
  const bool good = costs[0].good && costs[1].good;
  fmt::print("\n{:34} {:>10} {:>10} {:>8}\n", "one small file", "wale", "nothing", "ratio");
  fmt::print("{:34} {:7.2f} ms {:7.2f} ms {:8.2f}\n", "wall", costs[0].wall, costs[1].wall,
             costs[0].wall / costs[1].wall);
  fmt::print("{:34} {:7.2f} ms {:7.2f} ms {:8.2f}\n", "processor", costs[0].processor, costs[1].processor,
             costs[0].processor / costs[1].processor);
  fmt::print("at most {:g} times as long:", most_beyond_nothing);
  const bool quick = said(good && costs[0].wall <= most_beyond_nothing * costs[1].wall);
  const Cost traced = run({"strace", "-f", "-o", trace, "-e", "trace=open,openat", wale, "check", file});
  if (!traced.good) {
    fmt::print("strace is not here, so nobody looked whether fonts are opened.\n");
    return quick;
  }
  fmt::print("opens no fonts and nothing of fontconfig's: {} opened", fonts_opened(trace));
  return said(fonts_opened(trace) == 0) && quick;
}

}  // namespace

int main(int count, char** words) {
  if (count > 3 && std::string_view(words[1]) == "write") {
    const auto number = [&](int word) { return static_cast<std::size_t>(std::atoll(words[word])); };
    write_collection(words[2], number(3), Written::pattern, count > 4 ? number(4) : 0);
    return 0;
  }
  const fs::path self = fs::read_symlink("/proc/self/exe");
  const std::string wale = count > 1
                               ? fs::absolute(words[1]).string()
                               : (self.parent_path() / "../../compiler/wale").lexically_normal().string();
  const int tries = count > 2 ? std::max(1, std::atoi(words[2])) : 5;
  std::string folder = fs::temp_directory_path() / ("wale-checking-" + std::string(6, 'X'));
  if (!mkdtemp(folder.data())) return 1;
  const bool quick = against_xmllint(wale, folder, tries), even = by_size(wale, folder, tries),
             starts = starting(wale, self.parent_path() / "wale_nothing", folder, tries);
  fs::remove_all(folder);
  return quick && even && starts ? 0 : 1;
}
