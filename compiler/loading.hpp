/// The files that one pattern is made of, collected before anything is checked.
///
/// A pattern may `use` other files, these again others, and a season names the files that are to be knitted.
/// The loader reads each of them once, follows its `use` lines and puts what it found into one value, so that
/// everything behind it works on values alone. It touches no file itself: how a path becomes a text is told
/// to it by `FileAccess`, which `files.cpp` has for the disk, and tests have for texts in memory.
///
///     bollard-hat.wale: use "locker.wale"      files[0] bollard-hat.wale, uses {1}
///     locker.wale                              files[1] locker.wale, uses {}
///
/// Nothing that files say can lead far: absolute paths and files that are no `*.wale` are not read, a file
/// that uses itself, directly or through others, is an error, and number, depth and size of the files are
/// bounded.
#pragma once

#include <functional>
#include <map>
#include <memory>
#include <mutex>
#include <string>
#include <unordered_map>
#include <variant>
#include <vector>

#include "grammar/diagnostics.hpp"
#include "grammar/tokens.hpp"
#include "grammar/tree.hpp"

namespace wale {

/// The files of one pattern, itself among them.
inline constexpr std::size_t most_files = 50;
/// How long a chain of files may be of which each uses the next.
inline constexpr std::size_t deepest_use = 16;
/// The bytes of all files of one pattern, or of a season with all its projects, together.
inline constexpr std::size_t most_bytes_loaded = largest_source;
/// Projects of a season.
inline constexpr std::size_t most_projects = 50;

/// Why a file cannot be read, and the `*.wale` files that its folder has.
struct Unreadable {
  std::string reason;
  std::vector<std::string> beside = {};
};

/// A file read and put together.
struct ParsedFile {
  Source source;
  std::vector<Token> tokens;  ///< nothing where it is no text
  tree::Pattern tree;
  Diagnostics found;  ///< when it was read and put together
};

/// Files that patterns use, kept so that the next pattern need not read them again. Several threads may ask
/// at once. What is kept is bounded: when it is full, it begins anew.
class SharedFiles {
 public:
  std::shared_ptr<const ParsedFile> find(const std::string& key);
  void keep(const std::string& key, std::shared_ptr<const ParsedFile> file);

 private:
  std::mutex mutex_;
  std::unordered_map<std::string, std::shared_ptr<const ParsedFile>> files_;
  std::size_t bytes_ = 0;
};
/// The bytes of source that are kept; their trees take some thirty times as much.
inline constexpr std::size_t most_bytes_shared = 1 << 18;

/// A file as it is told from others. Bytes, not words.
struct FileLook {
  std::string identity;  ///< the same for all paths that lead to the file
  /// Another one when the file has been written anew; empty where that cannot be told. Where there is none,
  /// nothing is shared.
  std::string version = {};
};

/// How the loader comes to the text of a file.
struct FileAccess {
  std::function<FileLook(const std::string& path)> look;
  /// The file's bytes, at most just over `largest_source`.
  std::function<std::variant<std::string, Unreadable>(const std::string& path)> read;
  std::shared_ptr<SharedFiles> shared = std::make_shared<SharedFiles>();
};

/// Texts by their paths.
FileAccess files_in_memory(std::map<std::string, std::string> files);

struct LoadedFile {
  explicit LoadedFile(std::shared_ptr<const ParsedFile> file)
      : parsed(std::move(file)), source(parsed->source), tree(parsed->tree), found(parsed->found) {}

  std::shared_ptr<const ParsedFile> parsed;  ///< maybe with other patterns
  const Source& source;
  const tree::Pattern& tree;
  const Diagnostics& found;
  std::vector<std::size_t> uses = {};  ///< indices of the files that it uses, in the order of its lines
};

struct Loaded {
  std::vector<LoadedFile> files;  ///< the pattern first; the source of files[i] has the number i + 1
  /// What the pattern's seasons `knit`, in order, each with what it uses; one value for lines that knit one
  /// file. Nothing where the file could not be loaded, which has been said.
  std::vector<std::shared_ptr<const Loaded>> projects;
  std::vector<std::string> missing;  ///< paths that lines name and that cannot be read
  bool is_project = false;           ///< loaded to be knitted in a season; a season of its own is left alone
  Diagnostics found;                 ///< on files that cannot be used
};

/// The pattern and everything that it needs. `access` knows its name as a path.
Loaded load(Source pattern, const FileAccess& access = files_in_memory({}));

/// All that diagnostics may point into, by number: the vocabulary, the pattern's files, and then `more`.
Sources sources_of(const Loaded& loaded, std::vector<Source> more = {});

}  // namespace wale
