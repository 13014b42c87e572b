// What `wale watch` decides without the system: when files have come to rest, which patterns to compile
// again, and what is new.
#include <doctest/doctest.h>

#include "compiler/settling.hpp"
#include "compiler/watch_memory.hpp"

using namespace wale;
using std::chrono::milliseconds;

namespace {

Time at(int ms) {
  return Time{} + milliseconds(ms);
}

Stamp holds_text(const std::string& text) {
  return stamp_of(text);
}
Stamp missing() {
  return stamp_of(Unreadable{"No such file or directory"});
}

Finding finding(const std::string& path, std::size_t line, const std::string& message,
                Kind kind = Kind::unknown_stitch, Severity severity = Severity::error) {
  Finding out;
  out.kind = kind;
  out.severity = severity;
  out.message = message;
  out.where = {path, {line, 1}, {line, 2}};
  return out;
}

/// A pattern with these findings, which are shown as their line and their message; without any it makes
/// `makes`, all of it written.
Outcome compiled(const std::string& path, const std::vector<Finding>& findings,
                 const std::set<std::string>& makes = {}) {
  Outcome out;
  out.path = path;
  out.read[path] = holds_text(path);
  out.findings = findings;
  for (const Finding& each : findings)
    out.shown.push_back(std::to_string(each.where.begin.line) + ": " + each.message + "\n");
  out.complete = findings.empty();
  if (out.complete) {
    out.made = makes;
    for (const std::string& each : makes) out.written.push_back(each);
  }
  return out;
}

}  // namespace

TEST_CASE("a file is looked at a little after it was closed, and while it is open later") {
  Settling settling;
  CHECK(!settling.ready());
  settling.begun("scarf.wale", at(0));
  CHECK(settling.ready() == at(0) + Settling::quiet_of_open);
  settling.begun("scarf.wale", at(100));
  CHECK(settling.ready() == at(100) + Settling::quiet_of_open);
  settling.touched("scarf.wale", at(110));
  CHECK(settling.ready() == at(100) + Settling::quiet_of_open);
  settling.done("scarf.wale", at(120));
  CHECK(settling.ready() == at(120) + Settling::quiet);
}

TEST_CASE("many files at once are waited for longer, and nothing for ever") {
  Settling settling;
  for (int i = 0; i < 10; ++i) settling.done("a" + std::to_string(i), at(i));
  CHECK(settling.ready() == at(9) + Settling::quiet_of_many);
  for (int ms = 0; ms < 10'000; ms += 10) settling.begun("log.wale", at(ms));
  CHECK(settling.ready() == at(0) + Settling::longest);
}

TEST_CASE("a file that was there and is not is expected back, for a while") {
  Doubts doubts;
  CHECK(doubts.hold_back("scarf.wale", false, true, at(0)));
  CHECK(doubts.about("scarf.wale"));
  CHECK(doubts.ends() == at(0) + Doubts::grace);
  CHECK(doubts.ended(at(0)).empty());
  CHECK(doubts.hold_back("scarf.wale", false, true, at(100)));
  CHECK(!doubts.hold_back("scarf.wale", true, true, at(200)));
  CHECK(!doubts.about("scarf.wale"));
  CHECK(!doubts.ends());

  CHECK(doubts.hold_back("scarf.wale", false, true, at(300)));
  CHECK(doubts.ended(at(300) + Doubts::grace) == std::set<std::string>{"scarf.wale"});
  CHECK(!doubts.hold_back("scarf.wale", false, true, at(300) + Doubts::grace));
  CHECK(!doubts.ends());
  // What never was there is not waited for.
  CHECK(!doubts.hold_back("locker.wale", false, false, at(0)));
}

TEST_CASE("patterns are outdated by the files that they read, and only by what these hold") {
  WatchMemory memory;
  for (const std::string name : {"hat.wale", "scarf.wale"}) {
    Outcome each = compiled(name, {});
    each.read["locker.wale"] = holds_text("kelp");
    if (name == "hat.wale") each.read["lost.wale"] = missing();
    memory.take(std::move(each), true);
  }
  CHECK(memory.outdated({{"scarf.wale", holds_text("scarf.wale")}}).empty());
  CHECK(memory.outdated({{"scarf.wale", holds_text("longer")}}) == std::set<std::string>{"scarf.wale"});
  CHECK(memory.outdated({{"locker.wale", holds_text("lamp")}}).size() == 2);
  CHECK(memory.outdated({{"lost.wale", missing()}}).empty());
  CHECK(memory.outdated({{"lost.wale", holds_text("")}}) == std::set<std::string>{"hat.wale"});
  CHECK(memory.outdated({{"other.wale", holds_text("")}}).empty());
  CHECK(memory.files() ==
        std::map<std::string, bool>{
            {"hat.wale", true}, {"locker.wale", true}, {"lost.wale", false}, {"scarf.wale", true}});
}

TEST_CASE("only what is new is told, wherever it stands, and what is gone is counted") {
  WatchMemory memory;
  const News first =
      memory.take(compiled("a.wale", {finding("a.wale", 3, "one"), finding("a.wale", 5, "two")}), true);
  CHECK(first.err == "3: one\n5: two\n");
  CHECK(first.out.empty());
  CHECK(first.kinds.size() == 2);

  const News moved =
      memory.take(compiled("a.wale", {finding("a.wale", 4, "one"), finding("a.wale", 6, "two")}));
  CHECK(moved.err.empty());
  CHECK(moved.out.empty());

  // The same once more is one more.
  const News again = memory.take(compiled(
      "a.wale", {finding("a.wale", 4, "one"), finding("a.wale", 6, "two"), finding("a.wale", 8, "two")}));
  CHECK(again.err == "8: two\n");

  const News some = memory.take(
      compiled("a.wale", {finding("a.wale", 4, "one"),
                          finding("a.wale", 5, "careful", Kind::undeclared_strand, Severity::warning)}));
  CHECK(some.err == "5: careful\n");
  CHECK(some.out == "a.wale: 2 errors mended, 1 error and 1 warning left\n");

  const News all = memory.take(compiled("a.wale", {}, {"out/a.pdf"}));
  CHECK(all.err.empty());
  CHECK(all.out == "a.wale: 1 error and 1 warning mended; written: a.pdf\n");
}

TEST_CASE("a mistake that is said otherwise now is told, and is not mended") {
  WatchMemory memory;
  memory.take(compiled("a.wale", {finding("a.wale", 3, "2 stitches over")}), true);
  const News news = memory.take(compiled("a.wale", {finding("a.wale", 3, "1 stitch over")}));
  CHECK(news.err == "3: 1 stitch over\n");
  CHECK(news.out.empty());
  // Another mistake is another one.
  const News other = memory.take(compiled("a.wale", {finding("a.wale", 3, "lost", Kind::cannot_use)}));
  CHECK(other.err == "3: lost\n");
  CHECK(other.out == "a.wale: 1 error mended, 1 error left\n");
}

TEST_CASE("a mistake in a file that many use is told once, and mended once") {
  WatchMemory memory;
  const std::vector<Finding> wrong{finding("locker.wale", 7, "no weight")};
  CHECK(memory.take(compiled("a.wale", wrong), true).err == "7: no weight\n");
  CHECK(memory.take(compiled("b.wale", wrong), true).err.empty());
  CHECK(memory.take(compiled("a.wale", {})).out.empty());
  CHECK(memory.take(compiled("b.wale", {})).out == "locker.wale: 1 error mended\n");
}

TEST_CASE("files that a pattern no longer makes are removed, unless another makes them") {
  WatchMemory memory;
  memory.take(compiled("a.wale", {}, {"out/a.pdf", "out/a.rib.svg", "out/both.svg"}), true);
  memory.take(compiled("b.wale", {}, {"out/both.svg"}), true);
  // With mistakes in it, it makes nothing, and keeps what it has.
  CHECK(memory.take(compiled("a.wale", {finding("a.wale", 1, "one")})).removed.empty());
  Outcome less = compiled("a.wale", {}, {"out/a.pdf"});
  less.written.clear();
  const News news = memory.take(less);
  CHECK(news.removed == std::set<std::string>{"out/a.rib.svg"});
  CHECK(news.out == "a.wale: 1 error mended; removed: a.rib.svg\n");
  CHECK(memory.take(less).out.empty());

  CHECK(memory.forget("b.wale").removed == std::set<std::string>{"out/both.svg"});
  CHECK(memory.forget("a.wale").out == "a.wale is gone; removed: a.pdf\n");
  CHECK(memory.patterns().empty());
}

TEST_CASE("a pattern that cannot be read keeps what was said of it, and what it made") {
  WatchMemory memory;
  memory.take(compiled("a.wale", {}, {"out/a.pdf"}), true);
  Outcome unread = compiled("a.wale", {});
  unread.read["a.wale"] = stamp_of(Unreadable{"Permission denied"});
  unread.complete = false;
  unread.trouble = "a.wale: cannot be read: Permission denied\n";
  CHECK(memory.take(unread).err == unread.trouble);
  CHECK(memory.take(unread).err.empty());
  const News news = memory.take(compiled("a.wale", {}, {"out/a.pdf"}));
  CHECK(news.removed.empty());
  CHECK(news.out == "a.wale: can be read and written again; written: a.pdf\n");
}

TEST_CASE("a new pattern is said to be new, but not when all are") {
  WatchMemory memory;
  CHECK(memory.take(compiled("a.wale", {}, {"out/a.pdf"}), true).out.empty());
  CHECK(memory.take(compiled("b.wale", {}, {"out/b.pdf"})).out ==
        "b.wale: new, and works out; written: b.pdf\n");
  CHECK(memory.take(compiled("c.wale", {finding("c.wale", 1, "one")})).out == "c.wale: new\n");
}
