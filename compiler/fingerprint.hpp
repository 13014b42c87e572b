/// A short name for any bytes: two texts with one fingerprint are taken for the same text.
///
///     fingerprint("1: k2")  ->  128 bits, 32 hexadecimal digits as text
///
/// XXH3 (xxhash.com), which is quick and spreads well, and keeps nobody out: it tells whether a file has
/// changed, not whether somebody means ill.
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

namespace wale {

struct Fingerprint {
  std::uint64_t high = 0, low = 0;
  bool operator==(const Fingerprint&) const = default;
};

Fingerprint fingerprint(std::string_view bytes);

/// The same of bytes that come in parts.
class Fingerprinter {
 public:
  Fingerprinter();
  ~Fingerprinter();
  Fingerprinter(const Fingerprinter&) = delete;
  Fingerprinter& operator=(const Fingerprinter&) = delete;

  void add(std::string_view bytes);
  Fingerprint result() const;

 private:
  struct State;
  std::unique_ptr<State> state_;
};

/// 32 digits, in lower case.
std::string hex(const Fingerprint& fingerprint);
/// The reverse; nothing where the text is anything else.
std::optional<Fingerprint> read_hex(std::string_view text);

}  // namespace wale
