#include "compiler/files.hpp"

#include <dirent.h>
#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <tbb/parallel_for_each.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <ctime>
#include <filesystem>
#include <functional>
#include <memory>

#include "compiler/scratch_folder.hpp"
#include "grammar/spelling.hpp"

namespace wale {

namespace fs = std::filesystem;

namespace {

constexpr std::string_view suffix = ".wale";

/// A folder, and what is in it.
struct Folder {
  struct Entry {
    std::string path;                          ///< of a folder with a `/` behind it
    std::unique_ptr<Folder> folder = nullptr;  ///< null for a pattern
  };
  std::string path;
  std::string below;                        ///< its place below the folder that was named
  std::vector<Entry> entries = {};          ///< sorted, so that all that is in one stands where its path does
  std::optional<std::string> refused = {};  ///< why not all of them could be seen
};

/// What is in it. What a link leads to is taken if it is a file; a link to a folder is not followed, so that
/// no walk goes round in circles.
void look_through(Folder& folder) {
  const std::unique_ptr<DIR, int (*)(DIR*)> walk(::opendir(folder.path.c_str()), ::closedir);
  const auto refused = [&] { folder.refused = std::strerror(errno); };
  if (!walk) return refused();
  const std::string within = folder.path.ends_with('/') ? folder.path : folder.path + "/";
  const auto leads_to = [](const std::string& path, mode_t kind, auto look) {
    struct stat facts {};
    return look(path.c_str(), &facts) == 0 && (facts.st_mode & S_IFMT) == kind;
  };
  const dirent* entry = nullptr;
  while (errno = 0, entry = ::readdir(walk.get())) {
    // Most file systems say at once what it is; nothing else that is no pattern need be asked.
    const std::string_view name = entry->d_name;
    const unsigned char kind = entry->d_type;
    const bool named = name.size() > suffix.size() && name.ends_with(suffix);
    if (name == "." || name == ".." || (!named && kind != DT_DIR && kind != DT_UNKNOWN)) continue;
    std::string path = within;
    path += name;
    if (named && (kind == DT_REG || (kind != DT_DIR && leads_to(path, S_IFREG, ::stat)))) {
      folder.entries.push_back({std::move(path)});
    } else if (kind == DT_DIR || (kind == DT_UNKNOWN && leads_to(path, S_IFDIR, ::lstat))) {
      std::string below = folder.below.empty() ? "" : folder.below + "/";
      auto inner = std::make_unique<Folder>(Folder{path, below.append(name)});
      folder.entries.push_back({path += '/', std::move(inner)});
    }
  }
  if (errno != 0) refused();
  std::sort(folder.entries.begin(), folder.entries.end(), [&](const auto& a, const auto& b) {
    return a.path.compare(within.size(), std::string::npos, b.path, within.size()) < 0;
  });
}

/// All that lies below it, and what cannot be looked through.
void gather(Folder& folder, std::vector<Found>& found, std::vector<Problem>& problems) {
  if (folder.refused) problems.push_back({folder.path, "cannot be looked through: " + *folder.refused});
  for (Folder::Entry& each : folder.entries)
    if (each.folder)
      gather(*each.folder, found, problems);
    else
      found.push_back({std::move(each.path), folder.below});
}

/// The patterns that stand where the path leads to, and with `folders` also these, by name; not all of very
/// many.
std::vector<std::string> names_beside(const fs::path& path, bool folders) {
  constexpr std::size_t most = 1000;
  const fs::path folder = path.parent_path();
  std::vector<std::string> out;
  std::error_code error;
  fs::directory_iterator walk(folder.empty() ? fs::path(".") : folder, error), end;
  for (; !error && walk != end && out.size() < most; walk.increment(error))
    if (std::error_code ignored;
        walk->path().extension() == suffix || (folders && walk->is_directory(ignored)))
      out.push_back(walk->path().filename().string());
  std::sort(out.begin(), out.end());
  return out;
}

/// With what stands beside the path and is called nearly so.
std::string no_such_file(const std::string& path) {
  const fs::path wanted(path.substr(0, path.find_last_not_of('/') + 1));
  const auto near = nearest_name(wanted.filename().string(), names_beside(wanted, true));
  return "there is no such file or folder" +
         (near ? "; there is " + (wanted.parent_path() / *near).string() : "");
}

}  // namespace

std::vector<Found> find_patterns(const std::vector<std::string>& paths, std::vector<Problem>& problems) {
  std::vector<Found> out;
  for (const std::string& path : paths) {
    std::error_code error;
    const fs::file_status status = fs::status(path, error);
    if (!fs::exists(status)) {
      problems.push_back({path, no_such_file(path)});
      continue;
    }
    if (!fs::is_directory(status)) {
      out.push_back({path, ""});
      continue;
    }
    const std::size_t before = out.size(), told = problems.size();
    Folder top{path, ""};
    std::vector<Folder*> level{&top};
    while (!level.empty()) {
      tbb::parallel_for_each(level, [](Folder* each) { look_through(*each); });
      std::vector<Folder*> next;
      for (const Folder* each : level)
        for (const Folder::Entry& entry : each->entries)
          if (entry.folder) next.push_back(entry.folder.get());
      level = std::move(next);
    }
    gather(top, out, problems);
    std::sort(problems.begin() + static_cast<std::ptrdiff_t>(told), problems.end(),
              [](const Problem& a, const Problem& b) { return a.path < b.path; });
    if (out.size() == before && problems.size() == told)
      problems.push_back({path, "there is no .wale file in it"});
  }
  return out;
}

namespace {

/// Hands over the bytes of an ordinary file in parts, until `take` wants no more. Returns why it cannot.
std::optional<std::string> read_parts(const std::string& path,
                                      const std::function<bool(std::string_view)>& take) {
  // A pipe or a device could hold the program up for ever.
  const int file = ::open(path.c_str(), O_RDONLY | O_NONBLOCK | O_CLOEXEC);
  if (file < 0) return std::strerror(errno);
  std::optional<std::string> failure;
  struct stat facts {};
  if (::fstat(file, &facts) != 0 || !S_ISREG(facts.st_mode)) failure = "it is not an ordinary file";
  char buffer[1 << 16];
  off_t read = 0;
  while (!failure) {
    const ssize_t got = ::read(file, buffer, sizeof buffer);
    if (got < 0 && errno == EINTR) continue;
    if (got < 0) failure = std::strerror(errno);
    if (got <= 0 || !take({buffer, static_cast<std::size_t>(got)})) break;
    // Less than was asked for, and all that there is: to ask again would only hear that it ends here.
    read += got;
    if (static_cast<std::size_t>(got) < sizeof buffer && read == facts.st_size) break;
  }
  ::close(file);
  return failure;
}

}  // namespace

std::optional<std::string> read_file(const std::string& path, std::string& reason) {
  std::string out;
  if (const auto failure = read_parts(path, [&](std::string_view part) {
        out += part;
        return out.size() <= largest_source;
      })) {
    reason = *failure;
    return {};
  }
  return out;
}

std::optional<Fingerprint> fingerprint_of(const std::string& path) {
  Fingerprinter out;
  if (read_parts(path, [&](std::string_view part) {
        out.add(part);
        return true;
      }))
    return {};
  return out.result();
}

namespace {

std::int64_t nanoseconds(const timespec& time) {
  return static_cast<std::int64_t>(time.tv_sec) * 1'000'000'000 + time.tv_nsec;
}

FileFacts facts_from(const struct stat& facts) {
  const std::int64_t words[] = {static_cast<std::int64_t>(facts.st_size), nanoseconds(facts.st_mtim),
                                nanoseconds(facts.st_ctim), static_cast<std::int64_t>(facts.st_ino)};
  return {fingerprint({reinterpret_cast<const char*>(words), sizeof words}), nanoseconds(facts.st_ctim)};
}

}  // namespace

std::optional<FileFacts> facts_of(const std::string& path) {
  struct stat facts {};
  if (::stat(path.c_str(), &facts) != 0 || !S_ISREG(facts.st_mode)) return {};
  return facts_from(facts);
}

std::int64_t file_time() {
  timespec now{};
  ::clock_gettime(CLOCK_REALTIME, &now);
  return nanoseconds(now);
}

FileAccess files_on_disk() {
  FileAccess out;
  // A file that is replaced is another one; one that is written in its place has another time. Clocks tick
  // slowly: what was written within the last second may be written again and bear the same time.
  out.look = [](const std::string& path) -> FileLook {
    struct stat facts {};
    timespec now{};
    if (::stat(path.c_str(), &facts) != 0) return {fs::path(path).lexically_normal().string()};
    const std::int64_t words[] = {
        static_cast<std::int64_t>(facts.st_dev), static_cast<std::int64_t>(facts.st_ino),
        static_cast<std::int64_t>(facts.st_size), nanoseconds(facts.st_mtim), nanoseconds(facts.st_ctim)};
    FileLook out{std::string(reinterpret_cast<const char*>(words), 2 * sizeof words[0])};
    if (::clock_gettime(CLOCK_REALTIME, &now) == 0 && facts.st_mtim.tv_sec + 1 < now.tv_sec)
      out.version.assign(reinterpret_cast<const char*>(words), sizeof words);
    return out;
  };
  out.read = [](const std::string& path) -> std::variant<std::string, Unreadable> {
    Unreadable why;
    if (auto text = read_file(path, why.reason)) return std::move(*text);
    why.beside = names_beside(path, false);
    return why;
  };
  return out;
}

std::optional<Loaded> load_file(const std::string& path, std::string& reason) {
  auto text = read_file(path, reason);
  if (!text) return {};
  return load(Source(path, std::move(*text), 1), files_on_disk());
}

namespace {

bool write_all(int file, const std::string& bytes) {
  for (std::size_t done = 0; done < bytes.size();) {
    const ssize_t put = ::write(file, bytes.data() + done, bytes.size() - done);
    if (put < 0 && errno == EINTR) continue;
    if (put < 0) return false;
    done += static_cast<std::size_t>(put);
  }
  return true;
}

/// The bytes, owner and permissions of the new file, safe on the disk.
bool fill(int file, const std::string& bytes, const struct stat& facts) {
  struct stat own {};
  if (!write_all(file, bytes) || ::fstat(file, &own) != 0) return false;
  const bool other_owner = own.st_uid != facts.st_uid || own.st_gid != facts.st_gid;
  if (other_owner && ::fchown(file, facts.st_uid, facts.st_gid) != 0) return false;
  return ::fchmod(file, facts.st_mode & 07777) == 0 && ::fsync(file) == 0;
}

/// Nobody may write it, or we may not. The superuser, who may write anything, is bound by the first.
bool is_read_only(const std::string& path, const struct stat& facts) {
  return (facts.st_mode & 0222) == 0 || ::faccessat(AT_FDCWD, path.c_str(), W_OK, AT_EACCESS) != 0;
}

}  // namespace

std::optional<std::string> replace_file(const std::string& path, const std::string& before,
                                        const std::string& after) {
  const auto fail = [&](std::string_view reason) {
    return fmt::format("{}: cannot be written: {}", path, reason);
  };
  std::error_code error;
  const fs::path real = fs::canonical(path, error);
  if (error) return fail(error.message());
  struct stat facts {};
  if (::stat(real.c_str(), &facts) != 0) return fail(std::strerror(errno));
  if (is_read_only(real.string(), facts)) return fail("it is read-only");
  const ScratchFolder scratch(real.parent_path().string());
  const int file = scratch.path().empty() ? -1 : scratch.make(0);
  if (file < 0) return fail(std::strerror(errno));
  bool good = fill(file, after, facts);
  int problem = errno;
  if (::close(file) != 0 && good) {
    good = false;
    problem = errno;
  }
  if (!good) return fail(std::strerror(problem));
  std::string reason;
  const auto now = read_file(real.string(), reason);
  if (!now) return fail(reason);
  if (*now != before) return fail("it was changed meanwhile");
  if (scratch.move_all({real.string()})) return fail(std::strerror(errno));
  return {};
}

namespace {

/// Whether the file at the place has these bytes; leaves its facts as they were before it was read.
bool holds(const std::string& path, const std::string& bytes, FileFacts& facts) {
  struct stat now {};
  if (::lstat(path.c_str(), &now) != 0 || !S_ISREG(now.st_mode) ||
      static_cast<std::size_t>(now.st_size) != bytes.size())
    return false;
  facts = facts_from(now);
  return fingerprint_of(path) == fingerprint(bytes);
}

/// Completes a file of the scratch folder; leaves its number in the file system. errno says why it cannot.
bool complete(const ScratchFolder& scratch, std::size_t which, const std::string& bytes, ino_t& number) {
  const int file = scratch.make(which);
  if (file < 0) return false;
  struct stat facts {};
  const bool good = write_all(file, bytes) && ::fchmod(file, 0644) == 0 && ::fstat(file, &facts) == 0;
  const int problem = errno;
  number = facts.st_ino;
  if (::close(file) != 0 && good) return false;  // some file systems say only here that they are full
  errno = problem;
  return good;
}

/// Of the file with this number; nothing if somebody has put another one in its place meanwhile.
Fingerprint stamp_there(const std::string& path, ino_t number) {
  struct stat facts {};
  if (::lstat(path.c_str(), &facts) != 0 || facts.st_ino != number) return {};
  return facts_from(facts).stamp;
}

}  // namespace

Written write_files(const std::string& folder, const std::vector<OutputFile>& files) {
  Written out;
  const auto fail = [&](const std::string& path, int problem) {
    out.failure = fmt::format("{}: cannot be written: {}", path, std::strerror(problem));
    return out;
  };
  std::error_code error;
  fs::create_directories(folder, error);
  if (error) {
    out.failure = fmt::format("{}: cannot be made: {}", folder, error.message());
    return out;
  }
  std::vector<std::size_t> new_ones;
  for (std::size_t i = 0; i < files.size(); ++i) {
    FileFacts facts;
    out.files.push_back({{}, fingerprint(files[i].bytes), files[i].name});
    if (holds((fs::path(folder) / files[i].name).string(), files[i].bytes, facts))
      out.files.back().stamp = facts.stamp;
    else
      new_ones.push_back(i);
  }
  if (new_ones.empty()) {
    remove_abandoned(folder);
    return out;
  }
  const ScratchFolder scratch(folder);
  if (scratch.path().empty()) return fail(folder, errno);
  std::vector<std::string> places;
  std::vector<ino_t> numbers(new_ones.size());
  for (const std::size_t i : new_ones) {
    places.push_back((fs::path(folder) / files[i].name).string());
    const std::size_t which = places.size() - 1;
    if (!complete(scratch, which, files[i].bytes, numbers[which])) return fail(places.back(), errno);
  }
  if (const auto failed = scratch.move_all(places)) return fail(places[*failed], errno);
  for (std::size_t which = 0; which < places.size(); ++which) {
    out.files[new_ones[which]].stamp = stamp_there(places[which], numbers[which]);
    out.changed.push_back(files[new_ones[which]].name);
  }
  return out;
}

}  // namespace wale
