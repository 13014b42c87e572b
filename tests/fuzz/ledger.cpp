// Any bytes read as a ledger: what is read from it can be written, and is then read alike.
#include "compiler/ledger.hpp"

#include <cstdint>
#include <cstdlib>

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const wale::Ledger ledger = wale::read_ledger({reinterpret_cast<const char*>(data), size});
  std::string again;
  for (const auto& [key, entry] : ledger.entries) again += wale::write_entry(entry);
  if (wale::read_ledger(again).entries != ledger.entries) std::abort();
  // Past the fingerprint, which keeps random bytes out: the lines of an entry.
  wale::LedgerEntry entry;
  entry.source = entry.said = std::string(reinterpret_cast<const char*>(data), size);
  entry.read = {{{}, {}, entry.source}};
  const wale::Ledger one = wale::read_ledger(wale::write_entry(entry));
  if (one.entries.size() != 1 || one.entries.begin()->second != entry) std::abort();
  return 0;
}
