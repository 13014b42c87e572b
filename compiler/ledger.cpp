#include "compiler/ledger.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <optional>

namespace wale {

namespace {

constexpr std::string_view head = "\n= ";

// --- names on a line of their own

/// A line break would end the line, and names of files may hold one.
std::string escaped(std::string_view text) {
  std::string out;
  out.reserve(text.size());
  for (const char c : text) {
    if (c == '\\')
      out += "\\\\";
    else if (c == '\n')
      out += "\\n";
    else
      out += c;
  }
  return out;
}

std::string unescaped(std::string_view text) {
  std::string out;
  out.reserve(text.size());
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text[i] != '\\' || i + 1 == text.size())
      out += text[i];
    else
      out += text[++i] == 'n' ? '\n' : text[i];
  }
  return out;
}

// --- reading

std::string_view take_until(std::string_view& rest, char end) {
  const std::size_t at = rest.find(end);
  const std::string_view out = rest.substr(0, at);
  rest.remove_prefix(at == std::string_view::npos ? rest.size() : at + 1);
  return out;
}

bool read_number(std::size_t& out, std::string_view text) {
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), out);
  return error == std::errc() && end == text.data() + text.size();
}

bool read_into(Fingerprint& out, std::string_view text) {
  const auto read = read_hex(text);
  if (read) out = *read;
  return read.has_value();
}

bool read_file_line(std::string_view rest, std::vector<LedgerFile>& out) {
  LedgerFile file;
  if (!read_into(file.stamp, take_until(rest, ' ')) || !read_into(file.bytes, take_until(rest, ' ')))
    return false;
  file.name = unescaped(rest);
  out.push_back(std::move(file));
  return true;
}

/// What is removed goes by the ledger, and somebody else may have written it: nothing in it may lead out of
/// the output folder.
bool stays_below(std::string_view key) {
  if (key.starts_with('/')) return false;
  while (!key.empty())
    if (take_until(key, '/') == "..") return false;
  return true;
}

bool stays_inside(const LedgerEntry& entry) {
  return stays_below(entry.key) &&
         std::all_of(entry.made.begin(), entry.made.end(), [](const LedgerFile& file) {
           return file.name.find('/') == std::string::npos && file.name != "..";
         });
}

/// Nothing where a line is one that no entry has, or leads where none does.
std::optional<LedgerEntry> read_entry(std::string_view lines) {
  LedgerEntry out;
  while (!lines.empty()) {
    std::string_view rest = take_until(lines, '\n');
    const std::string_view word = take_until(rest, ' ');
    bool good = true;
    if (word == "for")
      out.key = unescaped(rest);
    else if (word == "of")
      out.source = unescaped(rest);
    else if (word == "as")
      good = read_into(out.as, rest);
    else if (word == "read")
      good = read_file_line(rest, out.read);
    else if (word == "made")
      good = read_file_line(rest, out.made);
    else if (word == "said")
      out.said = unescaped(rest);
    else if (word == "said-as")
      good = read_into(out.said_as, rest);
    else if (word == "kind")
      out.kinds.emplace_back(rest);
    else if (word == "warnings")
      good = read_number(out.warnings, rest);
    else if (word == "certain")
      good = read_number(out.certain, rest);
    else
      good = false;
    if (!good) return {};
  }
  if (!stays_inside(out)) return {};
  return out;
}

}  // namespace

std::string write_entry(const LedgerEntry& entry) {
  std::string lines;
  const auto line = [&](std::string_view word, std::string_view rest) {
    lines += word;
    lines += ' ';
    lines += rest;
    lines += '\n';
  };
  const auto file = [&](std::string_view word, const LedgerFile& each) {
    line(word, fmt::format("{} {} {}", hex(each.stamp), hex(each.bytes), escaped(each.name)));
  };
  line("for", escaped(entry.key));
  line("of", escaped(entry.source));
  line("as", hex(entry.as));
  for (const LedgerFile& each : entry.read) file("read", each);
  for (const LedgerFile& each : entry.made) file("made", each);
  if (!entry.said.empty()) {
    line("said", escaped(entry.said));
    line("said-as", hex(entry.said_as));
    line("warnings", std::to_string(entry.warnings));
    line("certain", std::to_string(entry.certain));
    for (const std::string& kind : entry.kinds) line("kind", kind);
  }
  // It begins with a line break, so that it is found behind another one of which the end is missing.
  return fmt::format("{}{} {}\n{}", head, lines.size(), hex(fingerprint(lines)), lines);
}

Ledger read_ledger(std::string_view bytes) {
  Ledger out;
  for (std::size_t at = bytes.find(head); at != std::string_view::npos;) {
    std::string_view rest = bytes.substr(at + head.size());
    std::string_view line = take_until(rest, '\n');
    std::size_t length = 0;
    Fingerprint wanted;
    std::optional<LedgerEntry> entry;
    if (read_number(length, take_until(line, ' ')) && read_into(wanted, line) && length > 0 &&
        length <= rest.size() && fingerprint(rest.substr(0, length)) == wanted)
      entry = read_entry(rest.substr(0, length));
    if (!entry) {
      ++out.superseded;
      at = bytes.find(head, at + 1);
      continue;
    }
    const auto known = out.entries.find(entry->key);
    if (known != out.entries.end()) ++out.superseded;
    if (entry->read.empty()) {
      ++out.superseded;
      if (known != out.entries.end()) out.entries.erase(known);
    } else if (known != out.entries.end()) {
      known->second = std::move(*entry);
    } else {
      std::string key = entry->key;
      out.entries.emplace(std::move(key), std::move(*entry));
    }
    // Its own last line break may be the one that begins the next, where that of a killed build is missing.
    at = bytes.find(head, static_cast<std::size_t>(rest.data() - bytes.data()) + length - 1);
  }
  return out;
}

}  // namespace wale
