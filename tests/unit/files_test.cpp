// Patterns found on the disk, and files that several patterns use.
#include "compiler/files.hpp"

#include <doctest/doctest.h>
#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <filesystem>
#include <fstream>

#include "scratch.hpp"

using namespace wale;
namespace fs = std::filesystem;

namespace {

std::vector<std::string> words_of(const std::vector<Found>& found, const fs::path& base) {
  std::vector<std::string> out;
  for (const Found& each : found)
    out.push_back(fs::path(each.path).lexically_relative(base).string() + " in [" + each.folder + "]");
  return out;
}

}  // namespace

TEST_CASE("patterns are found below a folder, in order, and no link leads round in circles") {
  const Scratch scratch;
  scratch.write("b/c/rib.wale", "");
  scratch.write("b/moss.wale", "");
  scratch.write("a.wale", "");
  scratch.write("b/notes.txt", "");
  fs::create_directory_symlink("..", scratch.path / "b/up");
  fs::create_symlink("a.wale", scratch.path / "linked.wale");
  fs::create_directory(scratch.path / "folder.wale");
  std::vector<Problem> problems;
  const auto found = find_patterns({scratch.path.string()}, problems);
  CHECK(words_of(found, scratch.path) == std::vector<std::string>{"a.wale in []", "b/c/rib.wale in [b/c]",
                                                                  "b/moss.wale in [b]", "linked.wale in []"});
  CHECK(problems.empty());
}

TEST_CASE("patterns stand in the order of their paths, whatever their folders are called") {
  const Scratch scratch;
  for (const char* name : {"a/x.wale", "a-b/x.wale", "a.wale", "a.wale.d/x.wale", "a0/x.wale", "a/b/x.wale",
                           "a/b-c.wale", "a/b.wale", "A/x.wale", "b/z.wale", "b/a/a/a.wale", "b/a.wale"})
    scratch.write(name, "");
  std::vector<Problem> problems;
  const auto found = find_patterns({scratch.path.string() + "/"}, problems);
  CHECK(found.size() == 12);
  CHECK(std::is_sorted(found.begin(), found.end(),
                       [](const Found& a, const Found& b) { return a.path < b.path; }));
  for (const Found& each : found)
    CHECK(fs::path(each.path).parent_path() == (scratch.path / each.folder / "").parent_path());
}

TEST_CASE("a folder that cannot be looked through is told, and the rest is found") {
  const Scratch scratch;
  scratch.write("a.wale", "");
  scratch.write("z/b.wale", "");
  // Folders in folders until their path is longer than the system takes: the superuser, too, is refused
  // there.
  const std::string name(250, 'x');
  std::vector<int> folders{::open(scratch.path.c_str(), O_RDONLY | O_DIRECTORY)};
  for (int i = 0; i < 17; ++i) {
    REQUIRE(::mkdirat(folders.back(), name.c_str(), 0755) == 0);
    folders.push_back(::openat(folders.back(), name.c_str(), O_RDONLY | O_DIRECTORY));
    REQUIRE(folders.back() >= 0);
  }
  std::vector<Problem> problems;
  const auto found = find_patterns({scratch.path.string()}, problems);
  CHECK(words_of(found, scratch.path) == std::vector<std::string>{"a.wale in []", "z/b.wale in [z]"});
  REQUIRE(problems.size() == 1);
  CHECK(problems[0].words().find("cannot be looked through: File name too long") != std::string::npos);
  while (folders.size() > 1) {
    ::close(folders.back());
    folders.pop_back();
    ::unlinkat(folders.back(), name.c_str(), AT_REMOVEDIR);
  }
  ::close(folders.back());
}

TEST_CASE("what patterns of one run use is read once, and anew when it has been written anew") {
  const Scratch scratch;
  const std::string locker = scratch.write("locker.wale", "yarn kelp \"Kelp\" 100 g = 200 m\n");
  const std::string text = "use \"locker.wale\"\nstrand A = kelp\n";
  const auto settled = [&] {  // what was written a moment ago may be written again, and is not kept
    fs::last_write_time(locker, fs::file_time_type::clock::now() - std::chrono::hours(1));
  };
  const auto used = [&](const FileAccess& access, const char* pattern) {
    const Loaded loaded = load(Source((scratch.path / pattern).string(), text, 1), access);
    REQUIRE(loaded.files.size() == 2);
    return loaded.files[1].parsed;
  };
  const FileAccess access = files_on_disk();
  CHECK(used(access, "a.wale") != used(access, "b.wale"));
  settled();
  const auto first = used(access, "a.wale");
  CHECK(first == used(access, "b.wale"));
  CHECK(first != used(files_on_disk(), "b.wale"));
  scratch.write("locker.wale", "yarn lamp \"Lamp\" 100 g = 420 m\n");
  const auto second = used(access, "b.wale");
  CHECK(second->source.text().find("lamp") != std::string::npos);
  settled();
  scratch.write("new.wale", "yarn reef \"Reef\" 50 g = 120 m\n");
  fs::rename(scratch.path / "new.wale", locker);
  CHECK(used(access, "b.wale")->source.text().find("reef") != std::string::npos);
}

TEST_CASE("the files that are kept for other patterns are bounded") {
  SharedFiles files;
  const auto file = [](std::size_t bytes) {
    return std::make_shared<const ParsedFile>(
        ParsedFile{Source("p.wale", std::string(bytes, ' '), 2), {}, {}, {}});
  };
  files.keep("large", file(most_bytes_shared + 1));
  CHECK(files.find("large") == nullptr);
  files.keep("half", file(most_bytes_shared / 2));
  CHECK(files.find("half") != nullptr);
  files.keep("more", file(most_bytes_shared / 2 + 1));
  CHECK(files.find("half") == nullptr);
  CHECK(files.find("more") != nullptr);
}
