#include "compiler/files.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <filesystem>

#include "compiler/scratch_folder.hpp"

namespace wale {

namespace fs = std::filesystem;

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
    std::vector<Found> below;
    // Folders below that may not be read are passed over; the one that is named is not.
    if (const fs::directory_iterator readable(path, error); error) {
      problems.push_back({path, "cannot be looked through: " + error.message()});
      continue;
    }
    fs::recursive_directory_iterator walk(path, fs::directory_options::skip_permission_denied, error), end;
    for (; !error && walk != end; walk.increment(error)) {
      std::error_code ignored;
      if (walk->path().extension() == ".wale" && walk->is_regular_file(ignored))
        below.push_back(
            {walk->path().string(), fs::relative(walk->path().parent_path(), path, ignored).string()});
    }
    if (error) problems.push_back({path, "cannot be looked through: " + error.message()});
    if (below.empty() && !error) problems.push_back({path, "there is no .wale file in it"});
    std::sort(below.begin(), below.end(), [](const Found& a, const Found& b) { return a.path < b.path; });
    out.insert(out.end(), below.begin(), below.end());
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
    std::error_code error;
    const fs::path real = fs::weakly_canonical(path, error);
    return error ? fs::path(path).lexically_normal().string() : real.string();
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

std::optional<std::string> write_files(const std::string& folder, const std::vector<OutputFile>& files) {
  const auto fail = [](const fs::path& path, int problem) {
    return fmt::format("{}: cannot be written: {}", path.string(), std::strerror(problem));
  };
  std::error_code error;
  fs::create_directories(folder, error);
  if (error) return fmt::format("{}: cannot be made: {}", folder, error.message());
  const ScratchFolder scratch(folder);
  if (scratch.path().empty()) return fail(folder, errno);
  std::vector<std::string> places;
  for (const OutputFile& each : files) {
    places.push_back((fs::path(folder) / each.name).string());
    const int file = scratch.make(places.size() - 1);
    if (file < 0) return fail(places.back(), errno);
    bool good = write_all(file, each.bytes) && ::fchmod(file, 0644) == 0;
    int problem = errno;
    if (::close(file) != 0 && good) {
      good = false;
      problem = errno;
    }
    if (!good) return fail(places.back(), problem);
  }
  if (const auto failed = scratch.move_all(places)) return fail(places[*failed], errno);
  return {};
}

}  // namespace wale
