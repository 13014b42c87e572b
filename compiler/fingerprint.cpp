#include "compiler/fingerprint.hpp"

#define XXH_STATIC_LINKING_ONLY  // the size of the state
#include <xxhash.h>

#include <charconv>

namespace wale {

Fingerprint fingerprint(std::string_view bytes) {
  const XXH128_hash_t hash = XXH3_128bits(bytes.data(), bytes.size());
  return {hash.high64, hash.low64};
}

struct Fingerprinter::State {
  XXH3_state_t hash;
};

Fingerprinter::Fingerprinter() : state_(std::make_unique<State>()) {
  XXH3_128bits_reset(&state_->hash);
}
Fingerprinter::~Fingerprinter() = default;

void Fingerprinter::add(std::string_view bytes) {
  XXH3_128bits_update(&state_->hash, bytes.data(), bytes.size());
}

Fingerprint Fingerprinter::result() const {
  const XXH128_hash_t hash = XXH3_128bits_digest(&state_->hash);
  return {hash.high64, hash.low64};
}

std::string hex(const Fingerprint& fingerprint) {
  std::string out(32, '0');
  for (std::size_t i = 0; i < 16; ++i) {
    constexpr std::string_view digits = "0123456789abcdef";
    out[15 - i] = digits[fingerprint.high >> (4 * i) & 15];
    out[31 - i] = digits[fingerprint.low >> (4 * i) & 15];
  }
  return out;
}

std::optional<Fingerprint> read_hex(std::string_view text) {
  if (text.size() != 32) return {};
  Fingerprint out;
  const char* middle = text.data() + 16;
  const char* end = text.data() + 32;
  const auto [high_end, high_error] = std::from_chars(text.data(), middle, out.high, 16);
  const auto [low_end, low_error] = std::from_chars(middle, end, out.low, 16);
  if (high_error != std::errc() || low_error != std::errc() || high_end != middle || low_end != end)
    return {};
  return out;
}

}  // namespace wale
