// Files written and replaced: all of them or none, and never over what somebody else has changed.
#include <doctest/doctest.h>
#include <unistd.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <thread>

#include "compiler/files.hpp"
#include "compiler/scratch_folder.hpp"
#include "scratch.hpp"

using namespace wale;
namespace fs = std::filesystem;

namespace {

void put(const std::string& path, const std::string& text) {
  std::ofstream(path, std::ios::binary) << text;
}
std::string text_in(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  std::ostringstream out;
  out << in.rdbuf();
  return out.str();
}
using Names = std::vector<std::string>;

}  // namespace

TEST_CASE("a file that was changed since it was read is not replaced") {
  const Scratch folder;
  put(folder / "rib.wale", "what she has just saved");
  const auto failure = replace_file(folder / "rib.wale", "what was read", "what was read, laid out");
  REQUIRE(failure);
  CHECK(failure->find("it was changed meanwhile") != std::string::npos);
  CHECK(text_in(folder / "rib.wale") == "what she has just saved");
  CHECK(folder.names() == Names{"rib.wale"});
}

TEST_CASE("a file that has become something else is not replaced") {
  const Scratch folder;
  fs::create_directory(folder / "rib.wale");
  CHECK(replace_file(folder / "rib.wale", "", "laid out"));
  CHECK(replace_file(folder / "gone.wale", "what was read", "laid out"));
  CHECK(folder.names() == Names{"rib.wale"});
}

TEST_CASE("a replaced file keeps its permissions, and a link to it stays a link") {
  const Scratch folder;
  put(folder / "rib.wale", "before");
  fs::permissions(folder / "rib.wale", fs::perms{0640});
  fs::create_symlink("rib.wale", folder / "link.wale");
  CHECK(!replace_file(folder / "link.wale", "before", "after"));
  CHECK(text_in(folder / "rib.wale") == "after");
  CHECK(fs::is_symlink(folder / "link.wale"));
  CHECK(fs::status(folder / "rib.wale").permissions() == fs::perms{0640});
  CHECK(folder.names() == Names{"link.wale", "rib.wale"});
}

TEST_CASE("where one of several files cannot be put in its place, all are as they were") {
  const Scratch folder;
  put(folder / "a.txt", "old a");
  fs::create_directory(folder / "c.txt");
  const auto failure =
      write_files(folder.path.string(),
                  {{"a.txt", "new a"}, {"b.txt", "new b"}, {"c.txt", "new c"}, {"d.txt", "new d"}})
          .failure;
  REQUIRE(failure);
  CHECK(failure->find("c.txt: cannot be written: Is a directory") != std::string::npos);
  CHECK(text_in(folder / "a.txt") == "old a");
  CHECK(folder.names() == Names{"a.txt", "c.txt"});
  CHECK(!write_files(folder.path.string(), {{"a.txt", "new a"}, {"b.txt", "new b"}}).failure);
  CHECK(text_in(folder / "a.txt") == "new a");
  CHECK(folder.names() == Names{"a.txt", "b.txt", "c.txt"});
}

TEST_CASE("what a killed program left is removed by the next, and what another works in is not") {
  const Scratch folder;
  fs::create_directory(folder / ".wale-0");
  put(folder / ".wale-0/0", "half of it");
  fs::create_directory(folder / ".wale-7");
  {
    const ScratchFolder scratch(folder.path.string());
    CHECK(scratch.path() == folder / ".wale-0");
    CHECK(fs::is_empty(scratch.path()));
    const ScratchFolder other(folder.path.string());
    CHECK(other.path() == folder / ".wale-1");
    CHECK(folder.names() == Names{".wale-0", ".wale-1"});
  }
  CHECK(folder.names().empty());
}

TEST_CASE("many at a time write whole files into one folder") {
  const Scratch folder;
  std::vector<std::thread> writers;
  std::vector<int> failures(8, 0);
  for (std::size_t writer = 0; writer < failures.size(); ++writer)
    writers.emplace_back([&, writer] {
      for (int i = 0; i < 25; ++i)
        failures[writer] +=
            write_files(folder.path.string(), {{"a", std::string(5000, static_cast<char>('a' + writer))},
                                               {"b", std::string(100, 'b')}})
                .failure.has_value();
    });
  for (std::thread& each : writers) each.join();
  for (const int each : failures) CHECK(each == 0);
  const std::string text = text_in(folder / "a");
  CHECK(text == std::string(5000, text.empty() ? ' ' : text[0]));
  CHECK(folder.names() == Names{"a", "b"});
}
