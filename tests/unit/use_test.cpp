// Files that use other files: what is read, what comes in, what goes before what, and what is refused.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include "compiler/bring_in.hpp"
#include "compiler/check.hpp"
#include "compiler/mend.hpp"
#include "tried.hpp"

using namespace wale;

namespace {

std::vector<std::string> yarn_names(const Tried& tried) {
  std::vector<std::string> out;
  for (const Yarn& yarn : tried.checked.pattern.yarns) out.push_back(yarn.name);
  return out;
}

const std::string locker =
    "yarn kelp \"Skerry Worsted, Kelp\" 100 g = 200 m #2f5d50\n"
    "yarn lamp \"Skerry Sock, Lamp\" 100 g = 420 m #e9b44c\n"
    "strand K = kelp\n";
const std::string scarf =
    "fabric plain flat n st { every: <k> }\n"
    "piece scarf flat {\n  cast on 20 with K\n  work plain for 10 rows\n  bind off\n}\n";

}  // namespace

TEST_CASE("a file brings in what the pattern names, and what that names, and nothing else") {
  const Tried tried =
      try_file("scarf.wale", {{"scarf.wale", "use \"locker.wale\"\n" + scarf}, {"locker.wale", locker}});
  INFO(tried.shown);
  CHECK(tried.checked.diagnostics.all().empty());
  CHECK(yarn_names(tried) == std::vector<std::string>{"kelp"});
  REQUIRE(tried.checked.pattern.strands.size() == 1);
  CHECK(tried.checked.pattern.strands[0].yarns == std::vector<int>{0});
}

TEST_CASE("every kind of declaration that can be lent comes in; title, author, sizes and pieces stay") {
  const Files files{{"hat.wale",
                     "use \"lib/all.wale\"\n"
                     "piece hat round {\n  cast on near(girth, 4n) with A\n  work rib for deep\n  work dots "
                     "for 2 rounds\n  bind off\n}\n"},
                    {"lib/all.wale",
                     "pattern \"All\"\nby \"Skerry Row\"\nsizes S M\n"
                     "yarn kelp \"Kelp\" 100 g = 200 m\nstrand A = kelp\n"
                     "gauge 20 st x 28 rows = 10 cm\ngauge 22 st x 28 rows = 10 cm, in rib\ngauge 10 st x 10 "
                     "rows = 10 cm, in unneeded\n"
                     "fabric rib round 4n st { every: <k2 p2> }\nfabric unneeded flat n st { every: <k> }\n"
                     "stitch knot { takes 2 gives 2 twin knot says \"knot\" }\n"
                     "crossing tc { over k under p leans left says \"slip {held}, {first}, {then}\" }\n"
                     "fabric dots round 8n st {\n  1: <knot2 2/2tc>\n  2: <k4 k2 p2>\n}\n"
                     "measure deep = 2 * border\nmeasure border = 3 cm\nmeasure girth = 48 cm\n"
                     "piece pad flat {\n  cast on 10\n  work unneeded for 4 rows\n  bind off\n}\n"}};
  Tried tried = try_file("hat.wale", files);
  // `deep` stands above `border`, of which it is made: the file that has them is told when it is checked
  // itself.
  CHECK(says(tried, "lib/all.wale:"));
  Files mended = files;
  std::string& all = mended["lib/all.wale"];
  all.replace(all.find("measure deep"),
              std::string("measure deep = 2 * border\nmeasure border = 3 cm\n").size(),
              "measure border = 3 cm\nmeasure deep = 2 * border\n");
  tried = try_file("hat.wale", mended);
  INFO(tried.shown);
  CHECK(tried.checked.diagnostics.all().empty());
  const Pattern& pattern = tried.checked.pattern;
  CHECK(pattern.title.empty());
  CHECK(pattern.author.empty());
  CHECK(pattern.size.empty());
  CHECK(tried.checked.larger.empty());
  REQUIRE(pattern.pieces.size() == 1);
  REQUIRE(pattern.fabrics.size() == 2);
  CHECK(pattern.gauges.size() == 2);
  CHECK(pattern.pieces[0].steps[0].after == 96);
  CHECK(pattern.pieces[0].steps[1].row_count == 17);  // 6 cm at 28 rounds to 10 cm
}

TEST_CASE("a file's own declaration goes before what it uses, in everything that comes in") {
  const Files files{{"scarf.wale",
                     "use \"locker.wale\"\nyarn kelp \"Wool from home\" 50 g = 90 m\nmeasure border = 5 cm\n"
                     "measure two = 2 * whole\n" +
                         scarf},
                    {"locker.wale", locker + "measure border = 3 cm\nmeasure whole = border + 1 cm\n"}};
  const Tried tried = try_file("scarf.wale", files);
  INFO(tried.shown);
  CHECK(tried.checked.diagnostics.all().empty());
  REQUIRE(tried.checked.pattern.yarns.size() == 1);
  CHECK(tried.checked.pattern.yarns[0].label == "Wool from home");
}

TEST_CASE(
    "what a nearer file declares goes before what it uses itself; two that are not related are an error") {
  const std::string mine = "use \"near.wale\"\nstrand A = kelp\n";
  const std::string far_yarn = "yarn kelp \"Far\" 100 g = 200 m\n",
                    near_yarn = "yarn kelp \"Near\" 100 g = 200 m\n";
  Tried tried = try_file("a.wale", {{"a.wale", "use \"far.wale\"\n" + mine},
                                    {"near.wale", "use \"far.wale\"\n" + near_yarn},
                                    {"far.wale", far_yarn}});
  INFO(tried.shown);
  CHECK(tried.checked.diagnostics.all().empty());
  CHECK(tried.checked.pattern.yarns.at(0).label == "Near");
  CHECK(tried.loaded.files.size() == 3);  // read once each

  const Files unrelated{
      {"a.wale", "use \"far.wale\"\n" + mine}, {"near.wale", near_yarn}, {"far.wale", far_yarn}};
  tried = try_file("a.wale", unrelated);
  CHECK(says(tried, "both far.wale and near.wale have yarns called `kelp`"));
  CHECK(says(tried, "near.wale:1:6: error:"));
  CHECK(says(tried, "in    far.wale"));
  // Not needed, not said.
  Files unneeded = unrelated;
  unneeded["a.wale"] = "use \"far.wale\"\nuse \"near.wale\"\n";
  CHECK(try_file("a.wale", unneeded).checked.diagnostics.all().empty());
}

TEST_CASE("an own gauge stays the first; a used one without a fabric stands in where there is none") {
  const std::string used = "gauge 20 st x 28 rows = 10 cm\n";
  const std::string piece =
      "fabric plain flat n st { every: <k> }\npiece pad flat {\n  cast on stitches(10 cm)\n  work plain for "
      "2 rows\n"
      "  bind off\n}\n";
  const auto stitches = [&](const std::string& own) {
    const Tried tried = try_file("a.wale", {{"a.wale", "use \"g.wale\"\n" + own + piece}, {"g.wale", used}});
    INFO(tried.shown);
    REQUIRE(!tried.checked.diagnostics.has_errors());
    return tried.checked.pattern.pieces.at(0).steps.at(0).after;
  };
  CHECK(stitches("") == 20);
  CHECK(stitches("gauge 30 st x 28 rows = 10 cm\n") == 30);
  CHECK(stitches("gauge 25 st x 28 rows = 10 cm, in plain\n") == 25);
}

TEST_CASE("mistakes in a used file stand under its own name and line") {
  const Tried tried =
      try_file("patterns/scarf.wale", {{"patterns/scarf.wale", "use \"../locker.wale\"\n" + scarf},
                                       {"locker.wale", "\n\nyarn kelp 100 g\nstrand K = klep\n"}});
  CHECK(says(tried, "locker.wale:3:11: error:"));
  CHECK(says(tried, "locker.wale:4:12: error: no yarn is called `klep`"));
  // Nothing in another file is mended from here.
  const std::string pad =
      "use \"../f.wale\"\npiece p flat {\n  cast on 4\n  work f for 2 rows\n  bind off\n}\n";
  const Mended mended = mend(Source("patterns/pad.wale", pad, 1),
                             files_in_memory({{"f.wale", "fabric f flat n st { 1: <K> }\n"}}));
  CHECK(mended.changes.empty());
  CHECK(mended.checked.diagnostics.certain() == 1);
}

TEST_CASE("a chain of files that comes back to its beginning is shown link by link") {
  Tried tried = try_file("a.wale", {{"a.wale", "use \"a.wale\"\n"}});
  CHECK(says(tried, "a.wale:1:5: error: a.wale uses itself [use-cycle]"));
  tried = try_file("a.wale", {{"a.wale", "use \"b.wale\"\n"},
                              {"b.wale", "\nuse \"./x/../c.wale\"\n"},
                              {"c.wale", "use \"b.wale\"\n"}});
  CHECK(says(tried, "c.wale:1:5: error: b.wale uses c.wale, which uses b.wale again [use-cycle]"));
  CHECK(says(tried, "in    b.wale"));
  tried = try_file(
      "a.wale",
      {{"a.wale", "use \"b.wale\"\n"}, {"b.wale", "use \"c.wale\"\n"}, {"c.wale", "use \"a.wale\"\n"}});
  CHECK(says(tried, "a.wale uses b.wale, which uses c.wale, which uses a.wale again"));
  CHECK(tried.checked.diagnostics.all().size() == 1);
}

TEST_CASE("a file that is not there is said at its line, with what is near") {
  const Files files{
      {"p/scarf.wale", "use \"lokcer.wale\"\n" + scarf}, {"p/locker.wale", locker}, {"other.wale", ""}};
  Tried tried = try_file("p/scarf.wale", files);
  CHECK(says(tried,
             "p/scarf.wale:1:5: error: `lokcer.wale` cannot be read: there is no such file [cannot-use]"));
  CHECK(says(tried, "looked for as p/lokcer.wale"));
  CHECK(says(tried, "try   locker.wale"));
  // What hangs on it is not said as well.
  CHECK(tried.checked.diagnostics.all().size() == 1);
  const Mended mended = mend(Source("p/scarf.wale", files.at("p/scarf.wale"), 1), files_in_memory(files));
  CHECK(mended.source.text().starts_with("use \"locker.wale\"\n"));
  CHECK(mended.checked.diagnostics.all().empty());
}

TEST_CASE("paths that lead out, or to what is no pattern, are refused with what would fit") {
  const auto said = [](const std::string& path) {
    return try_file("a.wale", {{"a.wale", "use \"" + path + "\"\n"}}).shown;
  };
  for (const char* path : {"/etc/passwd", "/home/mate/yarns.wale", "C:\\yarns.wale", "C:/yarns.wale"}) {
    CAPTURE(path);
    CHECK(said(path).find("not from the root") != std::string::npos);
    CHECK(said(path).find("try   \"yarns.wale\"") != std::string::npos);
  }
  CHECK(said("..\\yarns.wale").find("try   \"../yarns.wale\"") != std::string::npos);
  CHECK(said("yarns").find("try   \"yarns.wale\"") != std::string::npos);
  CHECK(said("../../etc/passwd").find("[cannot-use]") != std::string::npos);
  CHECK(said("..").find("[cannot-use]") != std::string::npos);
  CHECK(said("").find("[cannot-use]") != std::string::npos);
  const Tried tried =
      try_file("/home/mate/p/a.wale", {{"/home/mate/p/a.wale", "use \"/home/mate/yarns.wale\"\n"}});
  CHECK(says(tried, "try   \"../yarns.wale\""));
}

TEST_CASE("number, depth and size of the files are bounded") {
  Files chain, many, large;
  for (int i = 0; i < 40; ++i) chain[fmt::format("f{}.wale", i)] = fmt::format("use \"f{}.wale\"\n", i + 1);
  Tried tried = try_file("f0.wale", chain);
  CHECK(says(tried, "at most 16 files stand in a chain"));
  CHECK(tried.loaded.files.size() == deepest_use);

  for (int i = 0; i < 80; ++i) {
    many["a.wale"] += fmt::format("use \"f{}.wale\"\n", i);
    many[fmt::format("f{}.wale", i)] = "\n";
  }
  tried = try_file("a.wale", many);
  CHECK(says(tried, "a pattern has at most 50 files"));
  CHECK(tried.loaded.files.size() == most_files);

  large["a.wale"] = "use \"b.wale\"\nuse \"c.wale\"\n";
  large["b.wale"] = large["c.wale"] = std::string(600'000, '\n');
  tried = try_file("a.wale", large);
  CHECK(says(tried, "a.wale:2:5: error:"));
  CHECK(says(tried, "together they are larger than 1 MiB"));
}

TEST_CASE("each file is read once, however many ways lead to it") {
  Files files{{"a.wale", "use \"b.wale\"\nuse \"c.wale\"\nuse \"b.wale\"\n"},
              {"b.wale", "use \"d.wale\"\n"},
              {"c.wale", "use \"d.wale\"\nuse \"./x/../d.wale\"\n"},
              {"d.wale", ""}};
  FileAccess access = files_in_memory(files);
  std::map<std::string, int> reads;
  access.read = [&, read = access.read](const std::string& path) {
    ++reads[path];
    return read(path);
  };
  const Loaded loaded = load(Source("a.wale", files.at("a.wale"), 1), access);
  CHECK(reads == std::map<std::string, int>{{"b.wale", 1}, {"c.wale", 1}, {"d.wale", 1}});
  REQUIRE(loaded.files.size() == 4);
  for (std::size_t i = 0; i < loaded.files.size(); ++i) CHECK(loaded.files[i].source.number() == i + 1);
}

TEST_CASE("a used file that is no text, or cannot be read whole, is said in its own place") {
  Tried tried =
      try_file("a.wale", {{"a.wale", "use \"b.wale\"\nstrand A = kelp\n"}, {"b.wale", "pattern \xFF\n"}});
  CHECK(says(tried, "b.wale:1:9: error: this is not UTF-8 text"));
  CHECK(tried.checked.diagnostics.all().size() == 1);
  tried = try_file("a.wale", {{"a.wale", "use \"b.wale\"\n"}, {"b.wale", "fabric f flat n st {\n"}});
  CHECK(says(tried, "b.wale:1:20: error: `{` is opened here and never closed"));
}
