#include "compiler/loading.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <filesystem>

#include "compiler/check.hpp"
#include "grammar/parser.hpp"

namespace wale {

namespace fs = std::filesystem;

namespace {

/// Such as `C:\` or `C:/`.
bool has_drive(std::string_view path) {
  return path.size() > 2 && std::isalpha(static_cast<unsigned char>(path[0])) != 0 && path[1] == ':' &&
         (path[2] == '\\' || path[2] == '/');
}

/// What stands between the quotes.
Span inside(const tree::Text& text) {
  const auto length = static_cast<std::uint32_t>(text.text.size());
  const std::uint32_t quotes = text.span.end - text.span.begin - length;
  const std::uint32_t first = quotes <= 2 ? 1 : 3;  // straight ones have a byte, others three
  return {text.span.begin + first, text.span.begin + first + length, text.span.source};
}

/// Whether a path written in a file is one that may be followed from there.
class Writing {
 public:
  Writing(const tree::Text& text, const std::string& user, Diagnostics& diagnostics)
      : text_(text), folder_(fs::path(user).parent_path()), diagnostics_(diagnostics) {}

  /// Where it leads, or nothing, which is said.
  std::optional<std::string> path() {
    const std::string& written = text_.text;
    if (written.empty()) return wrong("between the quotes stands a file's name", "\"yarns.wale\"");
    if (written.find('\\') != std::string::npos && !has_drive(written)) {
      std::string mended = written;
      std::replace(mended.begin(), mended.end(), '\\', '/');
      wrong("folders and files are parted by `/` here, on every system", fmt::format("\"{}\"", mended));
      diagnostics_.last().mend(inside(text_), mended);
      return {};
    }
    if (written.front() == '/' || has_drive(written)) return absolute();
    if (fs::path(written).extension() != ".wale") {
      const bool bare = fs::path(written).extension().empty() && fs::path(written).has_filename();
      return wrong("only files of this language can be used, and their names end in `.wale`",
                   bare ? fmt::format("\"{}.wale\"", written) : "\"yarns.wale\"");
    }
    return (folder_ / written).lexically_normal().string();
  }

 private:
  std::nullopt_t wrong(std::string what, std::string instead) {
    diagnostics_.add(Kind::cannot_use, text_.span, std::move(what)).try_this(std::move(instead));
    return std::nullopt;
  }

  std::nullopt_t absolute() {
    std::string instead = text_.text.substr(text_.text.find_last_of("/\\") + 1);
    if (folder_.is_absolute() && text_.text.front() == '/')
      if (const fs::path relative = fs::path(text_.text).lexically_relative(folder_); !relative.empty())
        instead = relative.string();
    if (!instead.ends_with(".wale")) instead = "yarns.wale";
    wrong("a file is named by the way to it from the folder of this one, not from the root",
          fmt::format("\"{}\"", instead));
    diagnostics_.last().note("so that a folder of patterns can be moved, or given to somebody");
    return std::nullopt;
  }

  const tree::Text& text_;
  fs::path folder_;
  Diagnostics& diagnostics_;
};

void say_unreadable(const tree::Text& text, const std::string& path, const Unreadable& why,
                    Diagnostics& diagnostics) {
  Diagnostic& added = diagnostics.add(Kind::cannot_use, text.span,
                                      fmt::format("`{}` cannot be read: {}", text.text, why.reason));
  added.note(fmt::format("looked for as {}", path));
  if (diagnostics.full()) return;
  // A near name may stand for it; its folder, if it has one, stays.
  const std::size_t name = text.text.find_last_of('/') + 1;
  const Span where = inside(text);
  const Span last{where.begin + static_cast<std::uint32_t>(name), where.end, where.source};
  if (added.try_nearest(last, text.text.substr(name), why.beside) || why.beside.empty()) return;
  constexpr std::size_t most_named = 6;
  std::vector<std::string> named(
      why.beside.begin(),
      why.beside.begin() + static_cast<std::ptrdiff_t>(std::min(most_named, why.beside.size())));
  if (named.size() < why.beside.size()) named.emplace_back("...");
  added.try_this(fmt::format("that folder has {}", fmt::join(named, ", ")));
}

std::shared_ptr<const ParsedFile> put_together(Source source) {
  const auto out = std::make_shared<ParsedFile>(ParsedFile{std::move(source), {}, {}, {}});
  if (is_text(out->source, out->found)) {
    out->tokens = read_tokens(out->source, out->found);
    out->tree = parse(out->source, out->tokens, out->found);
  } else {
    out->tree.whole = false;
  }
  return out;
}

class Loader {
 public:
  Loader(const FileAccess& access, std::size_t& bytes) : access_(access), bytes_(bytes) {}

  Loaded run(Source pattern, bool with_projects) {
    bytes_ += pattern.text().size();
    add(put_together(std::move(pattern)), 0);
    if (with_projects) projects();
    out_.is_project = !with_projects;
    return std::move(out_);
  }

 private:
  /// The file, and then those that it uses; returns its index.
  std::size_t add(const std::shared_ptr<const ParsedFile>& file, std::size_t depth) {
    const std::size_t index = out_.files.size();
    out_.files.emplace_back(file);
    for (const tree::Declaration& each : file->tree.declarations) {
      const auto* use = std::get_if<tree::Use>(&each.what);
      if (!use) continue;
      chain_.push_back({index, use->file.span});
      if (const auto used = follow(use->file, index, depth)) {
        auto& list = out_.files[index].uses;
        if (std::find(list.begin(), list.end(), *used) == list.end()) list.push_back(*used);
      }
      chain_.pop_back();
    }
    return index;
  }

  std::optional<std::size_t> follow(const tree::Text& use, std::size_t user, std::size_t depth) {
    const auto path = Writing(use, out_.files[user].source.name(), out_.found).path();
    if (!path) return {};
    // Who uses nothing need not be told apart from anything.
    if (numbers_.empty()) numbers_[access_.look(out_.files.front().source.name()).identity] = 0;
    const FileLook look = access_.look(*path);
    const std::string& identity = look.identity;
    if (const auto known = numbers_.find(identity); known != numbers_.end()) {
      if (in_chain(known->second)) return cycle(use, known->second);
      return known->second;
    }
    if (const auto tried = unreadable_.find(identity); tried != unreadable_.end()) {
      say_unreadable(use, *path, tried->second, out_.found);
      return {};
    }
    if (depth + 1 >= deepest_use)
      return too_much(
          use, fmt::format("at most {} files stand in a chain of which each uses the next", deepest_use));
    if (out_.files.size() >= most_files)
      return too_much(use, fmt::format("a pattern has at most {} files", most_files));
    auto read = read_used(*path, look.version);
    if (auto* why = std::get_if<Unreadable>(&read)) {
      say_unreadable(use, *path, *why, out_.found);
      out_.missing.push_back(*path);
      unreadable_[identity] = std::move(*why);
      return {};
    }
    const auto& file = std::get<std::shared_ptr<const ParsedFile>>(read);
    if (!file) return too_much(use, together_too_large);
    numbers_[identity] = out_.files.size();
    return add(file, depth + 1);
  }

  /// A file that is used, maybe one that another pattern has used; nothing where it is too much.
  std::variant<std::shared_ptr<const ParsedFile>, Unreadable> read_used(const std::string& path,
                                                                        const std::string& version) {
    const auto number = static_cast<std::uint32_t>(out_.files.size() + 1);
    std::string key;
    if (!version.empty()) {
      key.reserve(version.size() + path.size() + 1);
      static_assert(most_files < 128, "a byte holds its number");
      (key += version) += static_cast<char>(number);
      key += path;
    }
    std::shared_ptr<const ParsedFile> file;
    if (!key.empty()) file = access_.shared->find(key);
    if (file) {
      bytes_ += file->source.text().size();
      if (bytes_ > most_bytes_loaded) file = nullptr;
      return file;
    }
    auto read = access_.read(path);
    if (auto* why = std::get_if<Unreadable>(&read)) return std::move(*why);
    bytes_ += std::get<std::string>(read).size();
    if (bytes_ > most_bytes_loaded) return file;
    file = put_together(Source(path, std::move(std::get<std::string>(read)), number));
    if (!key.empty()) access_.shared->keep(key, file);
    return file;
  }

  bool in_chain(std::size_t file) const {
    return std::any_of(chain_.begin(), chain_.end(), [&](const Link& link) { return link.user == file; });
  }

  std::nullopt_t cycle(const tree::Text& use, std::size_t again) {
    const auto name = [&](std::size_t file) {
      return fs::path(out_.files[file].source.name()).filename().string();
    };
    auto first =
        std::find_if(chain_.begin(), chain_.end(), [&](const Link& link) { return link.user == again; });
    std::string round = name(again);
    std::vector<Link> steps(first, chain_.end());
    for (std::size_t i = 1; i < steps.size(); ++i)
      round += fmt::format(" uses {}, which", name(steps[i].user));
    Diagnostic& added =
        out_.found.add(Kind::use_cycle, use.span,
                       steps.size() == 1 ? fmt::format("{} uses itself", round)
                                         : fmt::format("{} uses {} again", round, name(again)));
    for (std::size_t i = 0; i + 1 < steps.size(); ++i)
      added.label(steps[i].span, fmt::format("here {} is used", name(steps[i + 1].user)));
    added.try_this(steps.size() == 1 ? "take this line out"
                                     : "put what both need into a third file, and use that from both");
    return std::nullopt;
  }

  std::nullopt_t too_much(const tree::Text& use, std::string_view why) {
    out_.found
        .add(Kind::cannot_use, use.span,
             fmt::format("here are more files than anyone could keep in mind: {}", why))
        .try_this("put declarations that belong together into one file");
    return std::nullopt;
  }

  // --- seasons

  void projects() {
    for (const tree::Declaration& each : out_.files.front().tree.declarations)
      if (const auto* season = std::get_if<tree::Season>(&each.what))
        for (const tree::Season::Project& project : season->projects)
          if (out_.projects.size() < most_projects) out_.projects.push_back(load_project(project.file));
  }

  /// A file that is knitted twice is read once.
  std::shared_ptr<const Loaded> load_project(const tree::Text& file) {
    const auto path = Writing(file, out_.files.front().source.name(), out_.found).path();
    if (!path) return nullptr;
    const std::string identity = access_.look(*path).identity;
    if (const auto known = projects_.find(identity); known != projects_.end()) return known->second;
    auto read = access_.read(*path);
    if (const auto* why = std::get_if<Unreadable>(&read)) {
      say_unreadable(file, *path, *why, out_.found);
      out_.missing.push_back(*path);
      return nullptr;
    }
    if (bytes_ + std::get<std::string>(read).size() > most_bytes_loaded) {
      too_much(file, together_too_large);
      return nullptr;
    }
    auto loaded = std::make_shared<const Loaded>(
        Loader(access_, bytes_).run(Source(*path, std::move(std::get<std::string>(read)), 1), false));
    return projects_[identity] = std::move(loaded);
  }

  struct Link {
    std::size_t user;
    Span span;  ///< of the name of what it uses
  };
  static constexpr std::string_view together_too_large = "together they are larger than 1 MiB";

  const FileAccess& access_;
  std::size_t& bytes_;  ///< of all that has been read
  Loaded out_;
  std::map<std::string, std::size_t> numbers_;  ///< of files, by identity
  std::map<std::string, Unreadable> unreadable_;
  std::map<std::string, std::shared_ptr<const Loaded>> projects_;
  std::vector<Link> chain_;  ///< from the pattern to the line that is followed
};

}  // namespace

FileAccess files_in_memory(std::map<std::string, std::string> files) {
  FileAccess out;
  out.look = [](const std::string& path) { return FileLook{fs::path(path).lexically_normal().string()}; };
  out.read = [files = std::move(files)](const std::string& path) -> std::variant<std::string, Unreadable> {
    if (const auto found = files.find(fs::path(path).lexically_normal().string()); found != files.end())
      return found->second;
    Unreadable out{"there is no such file"};
    const fs::path folder = fs::path(path).lexically_normal().parent_path();
    for (const auto& [name, text] : files)
      if (fs::path(name).parent_path() == folder) out.beside.push_back(fs::path(name).filename().string());
    return out;
  };
  return out;
}

std::shared_ptr<const ParsedFile> SharedFiles::find(const std::string& key) {
  const std::lock_guard lock(mutex_);
  const auto found = files_.find(key);
  return found == files_.end() ? nullptr : found->second;
}

void SharedFiles::keep(const std::string& key, std::shared_ptr<const ParsedFile> file) {
  const std::size_t size = file->source.text().size();
  if (size > most_bytes_shared) return;
  const std::lock_guard lock(mutex_);
  if (bytes_ + size > most_bytes_shared) {
    files_.clear();
    bytes_ = 0;
  }
  if (files_.emplace(key, std::move(file)).second) bytes_ += size;
}

Loaded load(Source pattern, const FileAccess& access) {
  std::size_t bytes = 0;
  return Loader(access, bytes).run(std::move(pattern), true);
}

Sources sources_of(const Loaded& loaded, std::vector<Source> more) {
  Sources out{vocabulary_source()};
  for (const LoadedFile& file : loaded.files) out.push_back(file.source);
  for (Source& source : more) out.push_back(std::move(source));
  return out;
}

}  // namespace wale
