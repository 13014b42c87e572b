// The ledger of an output folder: what is written into it is read again, and nothing that happens to it makes
// it say anything else.
#include "compiler/ledger.hpp"

#include <doctest/doctest.h>

#include <random>

using namespace wale;

namespace {

LedgerEntry shawl() {
  LedgerEntry out;
  out.key = "lace/shawl";
  out.source = "../patterns/lace/shawl.wale";
  out.as = fingerprint("as");
  out.read = {{fingerprint("stamp"), fingerprint("k2"), "shawl.wale"}};
  out.made = {{fingerprint("other"), fingerprint("%PDF"), "shawl.pdf"},
              {{}, fingerprint("<svg"), "odd\nna\\me\t\xff.svg"}};
  out.said = "shawl.wale:1:1: warning: \\n is no line break\n  1 | k2\n";
  out.said_as = fingerprint("shawl.wale");
  out.warnings = 1;
  out.certain = 2;
  out.kinds = {"undeclared-strand"};
  return out;
}

LedgerEntry named(const std::string& key) {
  LedgerEntry out = shawl();
  out.key = key;
  return out;
}

}  // namespace

TEST_CASE("fingerprints are those of the published hash") {
  // By xxhsum -H2 of Debian's xxhash 0.8.1.
  CHECK(hex(fingerprint("")) == "99aa06d3014798d86001c324468d497f");
  CHECK(hex(fingerprint("1: k2")) == "a134421433c76dd214a26ba5c3f09f86");
  Fingerprinter parts;
  for (const std::string_view part : {"1", ": ", "", "k2"}) parts.add(part);
  CHECK(parts.result() == fingerprint("1: k2"));
  CHECK(read_hex(hex(fingerprint("1: k2"))) == fingerprint("1: k2"));
  for (const std::string_view wrong :
       {"", "99aa", "99aa06d3014798d86001c324468d497g", "-9aa06d3014798d86001c324468d497f"})
    CHECK(!read_hex(wrong));
}

TEST_CASE("an entry is read as it was written") {
  const Ledger ledger = read_ledger(write_entry(shawl()));
  REQUIRE(ledger.entries.size() == 1);
  CHECK(ledger.entries.at("lace/shawl") == shawl());
  CHECK(ledger.superseded == 0);
}

TEST_CASE("the latest entry counts, and one that has read nothing ends it") {
  LedgerEntry later = shawl();
  later.made.pop_back();
  LedgerEntry gone;
  gone.key = "hat";
  const Ledger ledger =
      read_ledger(write_entry(shawl()) + write_entry(named("hat")) + write_entry(later) + write_entry(gone));
  REQUIRE(ledger.entries.size() == 1);
  CHECK(ledger.entries.at("lace/shawl") == later);
  CHECK(ledger.superseded == 3);
}

TEST_CASE("of a ledger that was cut off or spoilt the whole entries are left") {
  const std::string one = write_entry(named("one")), two = write_entry(named("two"));
  const std::string three = write_entry(named("three"));
  for (std::size_t length = 0; length < two.size(); ++length) {
    const Ledger ledger = read_ledger(one + two.substr(0, length) + three);
    CAPTURE(length);
    // Without its last line break it is whole: the next entry begins with one.
    const bool whole = length + 1 == two.size();
    CHECK(ledger.entries.size() == (whole ? 3 : 2));
    CHECK(ledger.entries.count("two") == (whole ? 1 : 0));
  }
  std::mt19937 random(7);
  for (int i = 0; i < 2000; ++i) {
    std::string all = one + two + three;
    const std::size_t at = random() % all.size();
    const char was = all[at];
    all[at] = static_cast<char>(random());
    const Ledger ledger = read_ledger(all);
    CAPTURE(at);
    CHECK(ledger.entries.size() == (all[at] == was ? 3 : 2));
    for (const auto& [key, entry] : ledger.entries) CHECK(entry == named(key));
  }
}

TEST_CASE("no entry leads out of the output folder") {
  for (const std::string key : {"../hat", "lace/../../hat", "/hat", ".."})
    CHECK(read_ledger(write_entry(named(key))).entries.empty());
  for (const std::string name : {"../notes.txt", "/notes.txt", "lace/hat.pdf", ".."}) {
    LedgerEntry entry = shawl();
    entry.made.front().name = name;
    CHECK(read_ledger(write_entry(entry)).entries.empty());
  }
  CHECK(read_ledger(write_entry(named("a..b/..hat"))).entries.size() == 1);
}
