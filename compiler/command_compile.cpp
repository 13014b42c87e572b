#include "compiler/command_compile.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <iterator>
#include <set>

#include "compiler/commands.hpp"
#include "compiler/mend.hpp"
#include "compiler/outputs.hpp"
#include "compiler/season_outputs.hpp"
#include "compiler/true_size.hpp"
#include "grammar/visible.hpp"

namespace wale {

namespace {

/// A file cannot be read, or none written for it.
void fail(Told& told, const std::string& why) {
  told.err += visible(why) + "\n";
  told.findings.unreadable = why;
  ++told.sums.unreadable;
}

struct LookedAt {
  Loaded loaded;
  Checked checked;
};

/// Checks one text; with `fix` its file is mended first, and says what is not certain.
LookedAt look_at(const Found& found, std::string text, const Task& task, const FileAccess& access,
                 KnownFabrics* known, Told& told) {
  Source source(found.path, std::move(text), 1);
  const auto as_it_is = [&]() -> LookedAt {
    Loaded loaded = load(std::move(source), access);
    // Most patterns of a collection are well, and that is seen at less cost than what is wrong with one.
    if (known && !task.to && !task.true_size && finds_nothing(loaded, task.settings, *known))
      return {std::move(loaded), {}};
    Checked checked = check(loaded, task.settings);
    return {std::move(loaded), std::move(checked)};
  };
  if (!task.fix) return as_it_is();
  Mended mended = mend(source, access);
  const auto failure =
      mended.changes.empty() ? std::nullopt : replace_file(found.path, source.text(), mended.source.text());
  if (failure) {
    fail(told, *failure);
    return as_it_is();
  }
  if (!mended.changes.empty()) told.out += show(mended.changes, found.path);
  told.sums.changes += mended.changes.size();
  return {std::move(mended.loaded), std::move(mended.checked)};
}

void add(Outputs& outputs, Outputs more) {
  if (!more.failure.empty()) outputs.failure = std::move(more.failure);
  for (OutputFile& file : more.files) outputs.files.push_back(std::move(file));
}

/// All files that the pattern is made of, its own first, each once.
std::vector<FileRead> files_read(const Loaded& loaded) {
  std::vector<FileRead> out;
  std::set<std::string> known;
  const auto add = [&](const Loaded& each) {
    for (const LoadedFile& file : each.files)
      if (known.insert(file.source.name()).second)
        out.push_back({file.source.name(), fingerprint(file.source.text())});
  };
  add(loaded);
  for (const auto& project : loaded.projects)
    if (project) add(*project);
  return out;
}

/// A file that only lends its declarations to others has none, but for its season's.
bool has_outputs(const Checked& checked) {
  return !checked.pattern.fabrics.empty() || !checked.pattern.pieces.empty();
}

/// All files of a pattern without errors.
Outputs write_up(const LookedAt& looked_at, const std::string& stem, const Task& task, DrawnFiles* drawn) {
  const Checked& checked = looked_at.checked;
  Outputs out;
  if (checked.season) add(out, make_season_outputs(*checked.season, stem, source_date(), task.document));
  if (!out.failure.empty() || !has_outputs(checked)) return out;
  // For those who have a printed copy the document compares itself with the pattern as it is written.
  const auto original = [&](bool as_written) -> std::optional<Checked> {
    Settings settings = task.settings;
    settings.gauge.reset();
    if (as_written) settings.measures.clear();
    std::optional<Checked> unchanged = check(looked_at.loaded, settings);
    if (unchanged->diagnostics.has_errors()) unchanged.reset();
    return unchanged;
  };
  std::optional<Checked> at_written_gauge, as_written;
  if (task.settings.gauge) at_written_gauge = original(false);
  if (task.settings.gauge || !task.settings.measures.empty()) as_written = original(true);
  add(out,
      make_outputs(checked, stem, source_date(), task.document,
                   {at_written_gauge ? &*at_written_gauge : nullptr, as_written ? &*as_written : nullptr},
                   drawn));
  if (task.true_size && out.failure.empty()) add(out, make_true_size(checked, stem, source_date()));
  return out;
}

/// The names of what `write_up` writes.
std::vector<std::string> names_of(const Checked& checked, const std::string& stem, const Task& task) {
  std::vector<std::string> out;
  const auto add = [&](std::vector<std::string> more) {
    std::move(more.begin(), more.end(), std::back_inserter(out));
  };
  if (checked.season) add(season_output_names(stem));
  if (!has_outputs(checked)) return out;
  add(output_names(checked, stem, task.document));
  if (task.true_size) add(true_size_names(checked, stem));
  return out;
}

/// The text of all in parts: one for each, and what is said of those that were not kept.
std::vector<std::string> show_each(const std::string& all, const Diagnostics& found, const Sources& sources,
                                   const Task& task) {
  std::vector<std::string> out;
  std::size_t length = 0;
  for (const Diagnostic& each : found.all()) {
    out.push_back(show(each, sources, task.strict, task.look));
    length += out.back().size();
  }
  if (length < all.size()) out.push_back(all.substr(length));
  return out;
}

/// Says what was found; whether the pattern is free of errors.
bool tell(const LookedAt& looked_at, const Task& task, Told& told) {
  const Checked& checked = looked_at.checked;
  const Loaded& loaded = looked_at.loaded;
  const Diagnostics& found = checked.diagnostics;
  if (!found.all().empty()) {
    const Sources sources = sources_of(loaded, settings_sources(task.settings, loaded.files.size() + 1));
    const std::string text = show(found, sources, task.strict, task.look);
    told.err += text;
    if (task.findings) {
      told.findings.findings = findings_of(found, sources, task.strict);
      told.shown = show_each(text, found, sources, task);
    }
  }
  for (const Diagnostic& each : found.all()) told.sums.tell(each.kind);
  told.sums.warnings += found.warnings();
  // --fix mends the file as it is written, and does not go with values from the command line.
  if (!task.settings.any()) told.sums.certain += found.certain();
  const bool wrong = found.has_errors() || (task.strict && found.warnings() > 0);
  told.sums.failed += wrong;
  return !wrong;
}

}  // namespace

void Sums::tell(Kind kind) {
  if (std::find(told.begin(), told.end(), kind) == told.end()) told.push_back(kind);
}

void Sums::add(const Sums& others) {
  patterns += others.patterns;
  failed += others.failed;
  warnings += others.warnings;
  unreadable += others.unreadable;
  changes += others.changes;
  fresh += others.fresh;
  certain += others.certain;
  for (const Kind kind : others.told) tell(kind);
}

std::string output_folder(const Found& found, const Task& task) {
  return (std::filesystem::path(*task.to) / found.folder).lexically_normal().string();
}

std::string output_stem(const Found& found) {
  return std::filesystem::path(found.path).stem().string();
}

std::string output_key(const Found& found) {
  return (std::filesystem::path(found.folder) / output_stem(found)).lexically_normal().string();
}

Told compile_file(const Found& found, const Task& task, const FileAccess& access, DrawnFiles* drawn,
                  KnownFabrics* known) {
  Told told;
  told.findings.path = found.path;
  std::string reason;
  auto text = read_file(found.path, reason);
  if (!text) {
    fail(told, fmt::format("{}: cannot be read: {}", found.path, reason));
    return told;
  }
  ++told.sums.patterns;
  LookedAt looked_at = look_at(found, std::move(*text), task, access, known, told);
  if (task.to) told.read = files_read(looked_at.loaded);
  if (task.true_size) require_gauge(looked_at.checked);
  if (!tell(looked_at, task, told) || !task.to) return told;
  if (task.only_names) {
    for (std::string& name : names_of(looked_at.checked, output_stem(found), task))
      told.written.files.push_back({{}, {}, std::move(name)});
    return told;
  }
  const auto not_written = [&](const std::string& why) {
    fail(told, why);
    --told.sums.patterns;  // not compiled
  };
  const Outputs outputs = write_up(looked_at, output_stem(found), task, drawn);
  if (!outputs.failure.empty()) {
    not_written(fmt::format("{}: cannot be drawn: {}", found.path, outputs.failure));
  } else if (!outputs.files.empty()) {
    told.written = write_files(output_folder(found, task), outputs.files);
    if (told.written.failure) not_written(*told.written.failure);
  }
  return told;
}

}  // namespace wale
