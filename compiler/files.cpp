#include "compiler/files.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <filesystem>

namespace wale {

namespace fs = std::filesystem;

namespace {

/// A folder still to be looked through, and its place below the one that was named.
struct Folder {
  std::string path, below;
};

/// The patterns of one folder, and the folders in it. What a link leads to is taken if it is a file; a link
/// to a folder is not followed, so that no walk goes round in circles.
void look_through(const Folder& folder, std::vector<Found>& found, std::vector<Folder>& more,
                  std::vector<Problem>& problems) {
  std::error_code error, ignored;
  fs::directory_iterator walk(folder.path, error), end;
  for (; !error && walk != end; walk.increment(error)) {
    const fs::path& path = walk->path();
    if (path.extension() == ".wale" && walk->is_regular_file(ignored)) {
      found.push_back({path.string(), folder.below});
    } else if (!walk->is_symlink(ignored) && walk->is_directory(ignored)) {
      const std::string name = path.filename().string();
      more.push_back({path.string(), folder.below.empty() ? name : folder.below + "/" + name});
    }
  }
  if (error) problems.push_back({folder.path, "cannot be looked through: " + error.message()});
}

}  // namespace

std::vector<Found> find_patterns(const std::vector<std::string>& paths, std::vector<Problem>& problems) {
  std::vector<Found> out;
  for (const std::string& path : paths) {
    std::error_code error;
    const fs::file_status status = fs::status(path, error);
    if (!fs::exists(status)) {
      problems.push_back({path, "there is no such file or folder"});
      continue;
    }
    if (!fs::is_directory(status)) {
      out.push_back({path, ""});
      continue;
    }
    const std::size_t before = out.size(), told = problems.size();
    std::vector<Folder> folders{{path, ""}};
    while (!folders.empty()) {
      const Folder folder = std::move(folders.back());
      folders.pop_back();
      look_through(folder, out, folders, problems);
    }
    if (out.size() == before && problems.size() == told)
      problems.push_back({path, "there is no .wale file in it"});
    const auto by_path = [](const auto& a, const auto& b) { return a.path < b.path; };
    std::sort(out.begin() + static_cast<std::ptrdiff_t>(before), out.end(), by_path);
    std::sort(problems.begin() + static_cast<std::ptrdiff_t>(told), problems.end(), by_path);
  }
  return out;
}

std::optional<std::string> read_file(const std::string& path, std::string& reason) {
  const auto fail = [&] {
    reason = std::strerror(errno);
    return std::nullopt;
  };
  // A pipe or a device could hold the program up for ever.
  const int file = ::open(path.c_str(), O_RDONLY | O_NONBLOCK | O_CLOEXEC);
  if (file < 0) return fail();
  struct stat facts {};
  if (::fstat(file, &facts) != 0 || !S_ISREG(facts.st_mode)) {
    ::close(file);
    reason = "it is not an ordinary file";
    return std::nullopt;
  }
  std::string out;
  char buffer[1 << 16];
  while (out.size() <= largest_source) {
    const ssize_t got = ::read(file, buffer, sizeof buffer);
    if (got < 0 && errno == EINTR) continue;
    if (got < 0) {
      fail();
      ::close(file);
      return std::nullopt;
    }
    if (got == 0) break;
    out.append(buffer, static_cast<std::size_t>(got));
  }
  ::close(file);
  return out;
}

FileAccess files_on_disk() {
  FileAccess out;
  out.identity = [](const std::string& path) {
    struct stat facts {};
    if (::stat(path.c_str(), &facts) != 0) return fs::path(path).lexically_normal().string();
    return fmt::format("{}:{}", facts.st_dev, facts.st_ino);
  };
  // A file that is replaced is another one; one that is written in its place has another time. Clocks tick
  // slowly: what was written within the last second may be written again and bear the same time.
  out.version = [](const std::string& path) -> std::string {
    struct stat facts {};
    timespec now{};
    if (::stat(path.c_str(), &facts) != 0 || ::clock_gettime(CLOCK_REALTIME, &now) != 0) return "";
    if (facts.st_mtim.tv_sec + 1 >= now.tv_sec) return "";
    return fmt::format("{}:{}:{}:{}.{}:{}.{}", facts.st_dev, facts.st_ino, facts.st_size,
                       facts.st_mtim.tv_sec, facts.st_mtim.tv_nsec, facts.st_ctim.tv_sec,
                       facts.st_ctim.tv_nsec);
  };
  out.read = [](const std::string& path) -> std::variant<std::string, Unreadable> {
    Unreadable why;
    if (auto text = read_file(path, why.reason)) return std::move(*text);
    constexpr std::size_t most_beside = 1000;
    const fs::path folder = fs::path(path).parent_path();
    std::error_code error;
    fs::directory_iterator walk(folder.empty() ? fs::path(".") : folder, error), end;
    for (; !error && walk != end && why.beside.size() < most_beside; walk.increment(error))
      if (walk->path().extension() == ".wale") why.beside.push_back(walk->path().filename().string());
    std::sort(why.beside.begin(), why.beside.end());
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

/// A new file beside `path`, readable by nobody else yet; its name is left in `beside`.
int make_beside(const fs::path& path, std::string& beside) {
  // mkostemp puts letters of its own in place of the last six.
  beside =
      (path.parent_path() / fmt::format(".{}.{}", path.filename().string(), std::string(6, 'X'))).string();
  return ::mkostemp(beside.data(), O_CLOEXEC);
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
  std::string beside;
  const int file = make_beside(real, beside);
  if (file < 0) return fail(std::strerror(errno));
  bool good = fill(file, after, facts);
  int problem = errno;
  if (::close(file) != 0 && good) {
    good = false;
    problem = errno;
  }
  std::string reason;
  const auto now = good ? read_file(real.string(), reason) : std::nullopt;
  const bool same = now && *now == before;
  if (same && ::rename(beside.c_str(), real.c_str()) == 0) return {};
  if (same) problem = errno;
  ::unlink(beside.c_str());
  if (good && !same) return fail(now ? "it was changed meanwhile" : reason);
  return fail(std::strerror(problem));
}

std::optional<std::string> write_files(const std::string& folder, const std::vector<OutputFile>& files) {
  std::error_code error;
  fs::create_directories(folder, error);
  if (error) return fmt::format("{}: cannot be made: {}", folder, error.message());
  std::vector<std::string> waiting;
  std::optional<std::string> failure;
  for (const OutputFile& each : files) {
    std::string path;
    const int file = make_beside(fs::path(folder) / each.name, path);
    if (file < 0) {
      failure = fmt::format("{}: cannot be written: {}", (fs::path(folder) / each.name).string(),
                            std::strerror(errno));
      break;
    }
    waiting.push_back(path);
    bool good = write_all(file, each.bytes) && ::fchmod(file, 0644) == 0;
    const int problem = errno;
    good = ::close(file) == 0 && good;
    if (good) continue;
    failure = fmt::format("{}: cannot be written: {}", (fs::path(folder) / each.name).string(),
                          std::strerror(problem));
    break;
  }
  for (std::size_t i = 0; i < waiting.size() && !failure; ++i) {
    const std::string to = (fs::path(folder) / files[i].name).string();
    if (::rename(waiting[i].c_str(), to.c_str()) != 0)
      failure = fmt::format("{}: cannot be written: {}", to, std::strerror(errno));
    else
      waiting[i].clear();
  }
  for (const std::string& path : waiting)
    if (!path.empty()) ::unlink(path.c_str());
  return failure;
}

}  // namespace wale
