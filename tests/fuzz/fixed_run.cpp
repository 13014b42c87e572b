// The fuzz targets without a fuzzer: the same inputs in every run, on every machine.
//
//     fuzz_fixed mend            the tree's patterns, and as many again that are made of them
//     fuzz_fixed mend --show 7   the seventh of these inputs, on standard output
//     fuzz_fixed mend --mutants 100000
//
// First come the seeds, then mutants: of each some bytes are flipped, a stretch of another seed is put in or
// put in place of one of its own, a word of the language is put in, a stretch is taken out or doubled. What
// steers libFuzzer, the branches that an input reaches, is not known here; so this finds what has come back,
// and `run` finds what is new. Where an input fails, its number is told.
#include <unistd.h>

#include <algorithm>
#include <charconv>
#include <csignal>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <random>
#include <set>
#include <sstream>

#include "tests/fuzz/target.hpp"

using Target = int (*)(const std::uint8_t*, std::size_t);
extern "C" int fuzz_tokens(const std::uint8_t*, std::size_t);
extern "C" int fuzz_parser(const std::uint8_t*, std::size_t);
extern "C" int fuzz_formatter(const std::uint8_t*, std::size_t);
extern "C" int fuzz_compile(const std::uint8_t*, std::size_t);
extern "C" int fuzz_settings(const std::uint8_t*, std::size_t);
extern "C" int fuzz_files(const std::uint8_t*, std::size_t);
extern "C" int fuzz_mend(const std::uint8_t*, std::size_t);
extern "C" int fuzz_reports(const std::uint8_t*, std::size_t);
extern "C" int fuzz_ledger(const std::uint8_t*, std::size_t);
/// Of the address sanitizer, where it is built in.
extern "C" __attribute__((weak)) void __sanitizer_set_death_callback(void (*)());

namespace {

namespace fs = std::filesystem;

/// A target, and how much of it there is time for: seeds up to so many bytes, and so many mutants.
struct Work {
  const char* name;
  Target target;
  std::size_t largest_seed;
  int mutants;
};

constexpr Work all_work[] = {
    {"tokens", fuzz_tokens, 8192, 4000},
    {"parser", fuzz_parser, 8192, 4000},
    {"formatter", fuzz_formatter, 8192, 2000},
    {"compile", fuzz_compile, 300, 60},
    {"settings", fuzz_settings, 2048, 400},
    {"files", fuzz_files, 2048, 400},
    {"mend", fuzz_mend, 2048, 300},
    {"reports", fuzz_reports, 2048, 400},
    {"ledger", fuzz_ledger, 8192, 4000},
};

constexpr std::size_t longest_input = 8192;  ///< as `run` has it

std::string file_text(const fs::path& path) {
  std::ifstream in(path, std::ios::binary);
  std::ostringstream out;
  out << in.rdbuf();
  return out.str();
}

/// The patterns of the tree, by their paths.
std::vector<std::string> seeds(std::size_t largest) {
  std::set<fs::path> paths;
  for (const char* folder : {"examples", "grammar", "tests"})
    for (const auto& entry : fs::recursive_directory_iterator(fs::path(WALE_SOURCE_DIR) / folder))
      if (entry.path().extension() == ".wale" && entry.is_regular_file()) paths.insert(entry.path());
  std::vector<std::string> out;
  for (const fs::path& path : paths)
    if (fs::file_size(path) <= largest) out.push_back(file_text(path));
  return out;
}

/// Whatever stands in quotes in the grammar, and every stitch of the vocabulary.
std::vector<std::string> words() {
  std::set<std::string> out;
  bool grammar = false;
  for (const std::string& line :
       wale::fuzz::lines_of(file_text(fs::path(WALE_SOURCE_DIR) / "grammar" / "README.md"))) {
    if (line.starts_with("```")) grammar = line == "```ebnf";
    for (std::size_t at = 0; grammar && (at = line.find('"', at)) != std::string::npos;) {
      const std::size_t end = line.find('"', at + 1);
      if (end == std::string::npos) break;
      if (end > at + 1) out.insert(line.substr(at + 1, end - at - 1));
      at = end + 1;
    }
  }
  for (const std::string& line :
       wale::fuzz::lines_of(file_text(fs::path(WALE_SOURCE_DIR) / "grammar" / "vocabulary.wale")))
    if (line.starts_with("stitch ")) out.insert(line.substr(7, line.find(' ', 7) - 7));
  return {out.begin(), out.end()};
}

class Mutants {
 public:
  Mutants(std::vector<std::string> seeds, std::vector<std::string> words)
      : seeds_(std::move(seeds)), words_(std::move(words)) {}

  std::string next() {
    std::string out = seeds_[below(seeds_.size())];
    for (std::size_t times = 1 + below(4); times > 0; --times) change(out);
    out.resize(std::min(out.size(), longest_input));
    return out;
  }

 private:
  /// The same on every machine, which the library's own distributions are not.
  std::size_t below(std::size_t most) { return most == 0 ? 0 : engine_() % most; }

  std::string stretch(const std::string& text) {
    const std::size_t from = below(text.size() + 1);
    return text.substr(from, 1 + below(64));
  }

  void change(std::string& text) {
    const std::size_t at = below(text.size() + 1), length = 1 + below(32);
    switch (below(6)) {
      case 0:
        for (std::size_t bytes = 1 + below(4); bytes > 0 && !text.empty(); --bytes) {
          char& byte = text[below(text.size())];
          byte = static_cast<char>(byte ^ (1 << below(8)));
        }
        break;
      case 1:
        text.insert(at, stretch(seeds_[below(seeds_.size())]));
        break;
      case 2:
        text.replace(at, std::min(length, text.size() - at), stretch(seeds_[below(seeds_.size())]));
        break;
      case 3:
        text.insert(at, " " + words_[below(words_.size())] + " ");
        break;
      case 4:
        text.erase(at, length);
        break;
      default:
        text.insert(at, text.substr(at, length));
    }
  }

  std::vector<std::string> seeds_, words_;
  std::mt19937_64 engine_{310'000};
};

const char* at_work = "";
int input_number = 0;

/// Called where the program is about to end: no more than a write.
void tell_input() {
  char said[120];
  const int length = std::snprintf(said, sizeof said, "\nat input %d: fuzz_fixed %s --show %d\n",
                                   input_number, at_work, input_number);
  if (::write(STDERR_FILENO, said, static_cast<std::size_t>(length)) < 0) return;
}

void aborted(int) {
  tell_input();
  std::_Exit(1);
}

/// All inputs, or the one to show.
int run(const Work& work, int mutants_wanted, int shown) {
  at_work = work.name;
  std::vector<std::string> inputs = seeds(work.largest_seed);
  const std::size_t seeded = inputs.size();
  const std::vector<std::string> dictionary = words();
  if (seeded < 20 || dictionary.size() < 100) {
    std::cerr << "there are no seeds, or no words\n";
    return 1;
  }
  Mutants mutants(inputs, dictionary);
  for (int i = 0; i < std::max(mutants_wanted, shown); ++i) inputs.push_back(mutants.next());
  for (const std::string& input : inputs) {
    ++input_number;
    if (shown > 0 && input_number != shown) continue;
    if (shown > 0) {
      std::cout << input;
      return 0;
    }
    work.target(reinterpret_cast<const std::uint8_t*>(input.data()), input.size());
  }
  std::cout << work.name << ": " << seeded << " seeds, " << mutants_wanted
            << " mutants\n1 passed, 0 failed\n";
  return 0;
}

}  // namespace

int main(int count, char** words) {
  const std::string_view asked = count > 1 ? words[1] : "";
  const std::string_view option = count == 4 ? words[2] : "", value = count == 4 ? words[3] : "";
  int number = 0;
  std::from_chars(value.data(), value.data() + value.size(), number);
  std::signal(SIGABRT, aborted);
  if (__sanitizer_set_death_callback) __sanitizer_set_death_callback(tell_input);
  for (const Work& work : all_work)
    if (asked == work.name)
      return run(work, option == "--mutants" ? number : work.mutants, option == "--show" ? number : 0);
  std::cerr << "fuzz_fixed TARGET [--show NUMBER | --mutants NUMBER]\n";
  return 2;
}
