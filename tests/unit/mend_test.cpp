// What `wale check --fix` changes, and what it leaves alone.
#include "compiler/mend.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "tests/unit/random_fabric.hpp"

using namespace wale;

namespace {

Mended mended(const std::string& text) {
  return mend(Source("rig.wale", text, 1));
}

std::string told(const Mended& found) {
  return show(found.checked.diagnostics, {vocabulary_source(), found.source});
}

struct Slip {
  std::string written, meant;
};

std::string replaced(std::string text, const Slip& slip) {
  const std::size_t at = text.find(slip.meant);
  REQUIRE_MESSAGE(at != std::string::npos, slip.meant);
  return text.replace(at, slip.meant.size(), slip.written);
}

/// A pattern in which all is well, so that what is told is told of the slip.
const std::string rig =
    "pattern \"Rig\"\n"
    "by \"Skerry Row\"\n"
    "yarn kelp \"Skerry Worsted, Kelp\" 100 g = 200 m #2f5d50\n"
    "yarn lamp \"Skerry Sock, Lamp\" 100 g = 420 m #e9b44c\n"
    "strand A = kelp\n"
    "strand Light = lamp + lamp\n"
    "measure body = 40 cm\n"
    "gauge 20 st x 28 rows = 10 cm, needle 4.5 mm, in ribbing\n"
    "stitch knot { takes 3 gives 3 twin knot says \"wrap 3\" mark \"M.2 .5 L.8 .5\" }\n"
    "fabric ribbing flat 4n + 2 st x 4 rows {\n"
    "  rs: <k2 p2> k2\n"
    "  2: <p2 k2> p2\n"
    "  4: as 2\n"
    "}\n"
    "fabric net round 5n st {\n"
    "  1: <k yo k2tog k2>\n"
    "  every: <k5>\n"
    "}\n"
    "fabric hawser round 9n st {\n"
    "  1: <2/2rc in1(k yo k) in3(p) 1(p)>\n"
    "  2..4: <k2 3(p) k4>\n"
    "  5: A(<knot ssk yo k4>)\n"
    "}\n"
    "piece scarf flat {\n"
    "  cast on 42 st with A\n"
    "  work ribbing for body\n"
    "  work ribbing with Light for 4 rows\n"
    "  repeat 2 times { work ribbing for 2 times }\n"
    "  bind off\n"
    "}\n";

}  // namespace

TEST_CASE("the pattern on which the slips are made has nothing to be mended") {
  const Mended found = mended(rig);
  INFO(told(found));
  CHECK(found.checked.diagnostics.all().empty());
  CHECK(found.changes.empty());
  CHECK(found.source.text() == rig);
}

TEST_CASE("a certain slip is mended to what was meant, and the second time nothing changes") {
  const std::vector<Slip> slips{
      // words of the language
      {"patern \"Rig\"", "pattern \"Rig\""},
      {"Yarn kelp", "yarn kelp"},
      {"gague 20", "gauge 20"},
      {"20 sts x", "20 st x"},
      {"x 28 rwos", "x 28 rows"},
      {"20 st X 28", "20 st x 28"},
      {", neddle 4.5", ", needle 4.5"},
      {"st X 4 rows", "st x 4 rows"},
      {"x 4 rowss", "x 4 rows"},
      {"ribbing Flat", "ribbing flat"},
      {"net ruond", "net round"},
      {"4N + 2 st", "4n + 2 st"},
      {"+ 2 sts", "+ 2 st"},
      {"tkaes 3", "takes 3"},
      {"gvies 3", "gives 3"},
      {"castt on", "cast on"},
      {"cast no 42", "cast on 42"},
      {"cast 42", "cast on 42"},
      {"42 stitches with", "42 st with"},
      {"42 st wiht A", "42 st with A"},
      {"wrok ribbing", "work ribbing"},
      {"ribbing fro body", "ribbing for body"},
      {"ribbing wiht Light", "ribbing with Light"},
      {"with Light fro 4", "with Light for 4"},
      {"4 rwos\n  repeat", "4 rows\n  repeat"},
      {"repaet 2", "repeat 2"},
      {"2 tiems }", "2 times }"},
      {"bnid off", "bind off"},
      {"  cast off\n", "  bind off\n"},
      {"  bind\n", "  bind off\n"},
      // names
      {"strand A = klep", "strand A = kelp"},
      {"strand A = Kelp", "strand A = kelp"},
      {"in ribbign", "in ribbing"},
      {"work ribbng for body", "work ribbing for body"},
      {"work Ribbing for body", "work ribbing for body"},
      {"for bdoy", "for body"},
      {"with a\n", "with A\n"},
      {"with Lihgt", "with Light"},
      {"5: a(<knot", "5: A(<knot"},
      // units and numbers
      {"100 G = 200", "100 g = 200"},
      {"= 420 metres", "= 420 m"},
      {"40 CM", "40 cm"},
      {"40 centimetres", "40 cm"},
      {"4,5 mm", "4.5 mm"},
      // stitches
      {"k2tgo", "k2tog"},
      {"K2TOG", "k2tog"},
      {"k2togg", "k2tog"},
      {"k2og", "k2tog"},
      {"k2tig", "k2tog"},
      {"k2 tog", "k2tog"},
      {"k2t og", "k2tog"},
      {"<K yo", "<k yo"},
      {"YO k2tog", "yo k2tog"},
      {"kont ssk", "knot ssk"},
      {"2/2cr", "2/2rc"},
      {"2/2RC", "2/2rc"},
      {"2/2 rc", "2/2rc"},
      {"2 / 2rc", "2/2rc"},
      {"2/2 cr", "2/2rc"},
      // rows and their labels
      {"RS: <k2", "rs: <k2"},
      {"evrey: <k5", "every: <k5"},
      {"Row 2: <p2 k2>", "2: <p2 k2>"},
      {"Rnds 2..4:", "2..4:"},
      {"2-4:", "2..4:"},
      {"2 - 4:", "2..4:"},
      {"2 <p2", "2: <p2"},
      {"A (<knot", "A(<knot"},
      {"in1 (k yo", "in1(k yo"},
      {"<k, yo, k2tog", "<k yo k2tog"},
      {"<k,yo", "<k yo"},
      {"<k,,, yo", "<k yo"},
      {"<k; yo", "<k yo"},
      // signs
      {"“Rig”", "\"Rig\""},
      {"„Rig“", "\"Rig\""},
      {"“Rig\"", "\"Rig\""},
      {"pattern \"Rig”", "pattern \"Rig\""},
      {"pattern \"Rig\n", "pattern \"Rig\"\n"},
      {"by \"Skerry Row\r\n", "by \"Skerry Row\"\r\n"},
      {"20 st × 28", "20 st x 28"},
      {"<k\xC2\xA0yo", "<k yo"},
      {"<k \xE2\x80\x8Byo", "<k yo"},
  };
  for (const Slip& slip : slips) {
    std::string text = rig;
    if (slip.meant.ends_with("\r\n")) text.replace(text.find("Row\"\n"), 5, "Row\"\r\n");
    const std::string wrong = replaced(text, slip);
    INFO(slip.written, " for ", slip.meant);
    const Checked checked = check(Source("rig.wale", wrong, 1));
    CHECK(checked.diagnostics.certain() > 0);
    const Mended found = mended(wrong);
    INFO(told(found), show(found.changes, "rig.wale"));
    CHECK(found.source.text() == text);
    CHECK(!found.changes.empty());
    CHECK(found.checked.diagnostics.all().empty());
    CHECK(mended(found.source.text()).changes.empty());
  }
}

TEST_CASE("a comment begun with a dash, and a brace missing at the end, are mended") {
  const Mended dash = mended("— a mat for the chart table\n" + rig);
  CHECK(dash.source.text() == "-- a mat for the chart table\n" + rig);
  const std::string open = rig.substr(0, rig.size() - 2);
  CHECK(mended(open).source.text() == rig);
  const Mended both =
      mended("piece p flat {\n  cast on 4\n  repeat 2 times {\n    rows { 1: <k>  2: <k> }\n");
  CHECK(both.source.text() ==
        "piece p flat {\n  cast on 4\n  repeat 2 times {\n    rows { 1: <k>  2: <k> }\n}\n}\n");
  CHECK(mended("fabric f flat n st {\r\n  1: <k>\r\n").source.text() ==
        "fabric f flat n st {\r\n  1: <k>\r\n}\r\n");
}

TEST_CASE("a strand's declaration in small letters is mended with its uses") {
  const Mended found =
      mended("yarn kelp \"Kelp\" 100 g = 200 m\nstrand a = kelp\nfabric f round 2n st { 1: <a(k) p> }\n");
  INFO(told(found));
  CHECK(found.source.text() ==
        "yarn kelp \"Kelp\" 100 g = 200 m\nstrand A = kelp\nfabric f round 2n st { 1: <A(k) p> }\n");
  CHECK(found.checked.diagnostics.all().empty());
}

TEST_CASE("what may have been meant otherwise is left as it is") {
  const std::vector<Slip> doubtful{
      {"skk yo k", "ssk yo k"},  // ssk or skp
      {"kk yo", "k yo"},         // k, kb, ...
      {"k4tog", "k2tog"},        // k2tog or k3tog; a digit is no slip of the fingers
      {"k2togb", "k2tog"},       // through the back loops?
      {"yf k2tog", "yo k2tog"},  // brings the yarn forward, perhaps for a slipped stitch
      {"skip yo k", "ssk yo k"},
      {"rob for body", "ribbing for body"},
      {"strand A = kelp2", "strand A = kelp"},
      {"2: as 2", "4: as 2"},  // row 2 twice
      {"4: as 4", "4: as 2"},
      {"4..2:", "2..4:"},
      {"#2f5d5", "#2f5d50"},
      {"<k yo k2tog k2\n", "<k yo k2tog k2>\n"},
      {"for 4\n", "for 4 rows\n"},
      {"yarn kelp \"Skerry Worsted, Kelp 100", "yarn kelp \"Skerry Worsted, Kelp\" 100"},
      {"pattern \"Rig -- a scarf\n", "pattern \"Rig\"\n"},
      {"k2 3 (p) k4", "k2 3(p) k4"},  // or p3 (p)
      {"k 2 p2", "k2 p2"},            // or k p2 p2
      {"<k2 p2> k2\n     2 <p2 k2> p2", "<k2 p2> k2\n  2: <p2 k2> p2"},
      {"k(yo) k2tog", "k yo k2tog"},
      {"for 40", "for body"},
  };
  for (const Slip& slip : doubtful) {
    const std::string wrong = replaced(rig, slip);
    INFO(slip.written, " for ", slip.meant);
    const Mended found = mended(wrong);
    INFO(show(found.changes, "rig.wale"));
    CHECK(!found.checked.diagnostics.all().empty());
    CHECK(found.source.text() == wrong);
  }
}

TEST_CASE("where a declaration cannot be read, what seems misspelt may be its name") {
  const std::string text =
      "fabric rbi flat 4n {\n  every: <k>\n}\n"  // no `st`: this fabric is not known
      "fabric rib flat n st { every: <k> }\n"
      "piece p flat {\n  cast on 8\n  work rbi for 2 rows\n  bind off\n}\n";
  CHECK(mended(text).source.text() == text);
}

TEST_CASE("a strand called K is not taken for the stitch k") {
  const std::string text = "fabric f flat 2n st {\n  1 K: <k2>\n  2: <K p>\n}\n";
  CHECK(mended(text).source.text() == text);
}

TEST_CASE("what takes more rounds than are made goes on the next time") {
  // Each round finds the next brace that is missing at the end.
  const std::string opened = "piece pad flat {\n" + [](int count) {
    std::string out;
    for (int i = 0; i < count; ++i) out += "repeat 2 times {\n";
    return out;
  }(60);
  const Mended once = mend(Source("t.wale", opened, 1));
  CHECK_FALSE(once.ended);
  CHECK(once.changes.size() == most_rounds - 1);
  const Mended twice = mend(once.source);
  CHECK(twice.ended);
  CHECK(twice.changes.size() == 61 - (most_rounds - 1));
  CHECK(mend(twice.source).changes.empty());
  CHECK(mend(Source("t.wale", "fabric rib flat n st { every: <k> }\n", 1)).ended);
}

TEST_CASE("nothing is swallowed by a brace put in at the end") {
  for (const std::string text : {"fabric f flat n st {\n  1: <k>\nfabric g flat n st { 1: <k> }\n",
                                 "fabric f flat n st {\n  1: <k>\n  2: <k", "piece p flat {\n  cast on 4"}) {
    CAPTURE(text);
    CHECK(mended(text).source.text() == text);
  }
}

TEST_CASE("lines keep their ends") {
  std::string text;
  for (const char c : rig) text += c == '\n' ? "\r\n" : std::string(1, c);
  const Mended found =
      mended(replaced(replaced(text, {"k2tgo", "k2tog"}), {"pattern \"Rig\r\n", "pattern \"Rig\"\r\n"}));
  CHECK(found.source.text() == text);
}

TEST_CASE("what was changed is told with the words around it") {
  const Mended found = mended(
      "pattern “Rig”\nfabric f flat 3n st {\n  1: <k2tgo yo, k>\n  2 <p>\n  Row 4: <p>\n"
      "  3: <k2 tog\xC2\xA0yo K>\n}\n");
  CHECK(show(found.changes, "rig.wale") ==
        "rig.wale:1:9: `“Rig”` is now `\"Rig\"`\n"
        "rig.wale:3:7: `k2tgo` is now `k2tog`\n"
        "rig.wale:3:15: `yo,` is now `yo`\n"
        "rig.wale:4:4: `2` is now `2:`\n"
        "rig.wale:5:3: `Row 4` is now `4`\n"
        "rig.wale:6:9: `k2 tog(U+00A0)yo` is now `k2tog(U+00A0)yo`\n"
        "rig.wale:6:13: `tog(U+00A0)yo` is now `tog yo`\n"
        "rig.wale:6:17: `K` is now `k`\n");
}

TEST_CASE("in every file of mistakes a mend takes its own away and brings no other to its place") {
  namespace fs = std::filesystem;
  int mends = 0;
  for (const std::string folder : {"diagnostics", "patterns", "core"})
    for (const auto& entry : fs::directory_iterator(fs::path(WALE_SOURCE_DIR) / "tests" / folder)) {
      if (entry.path().extension() != ".wale") continue;
      std::ifstream in(entry.path(), std::ios::binary);
      std::ostringstream text;
      text << in.rdbuf();
      const Source source(entry.path().filename().string(), text.str(), 1);
      const Checked before = check(source);
      for (const Diagnostic& each : before.diagnostics.all()) {
        if (each.edits.empty()) continue;
        ++mends;
        const Edited edited = apply_mends(source.text(), {each.edits});
        REQUIRE(edited.made.size() == 1);
        const Source after(source.name(), edited.text, 1);
        const Checked left = check(after);
        for (const Diagnostic& other : left.diagnostics.all()) {
          INFO(show(each, {vocabulary_source(), source}), show(other, {vocabulary_source(), after}));
          const bool same_place = other.span.begin == each.span.begin;
          CHECK(!(same_place && other.kind == each.kind && other.message == each.message));
          CHECK(!(same_place && !other.edits.empty()));
        }
      }
      const Mended found = mend(source);
      INFO(source.name());
      CHECK(mend(found.source).changes.empty());
    }
  CHECK(mends >= 10);
}

namespace {

/// The places of the stitches in a fabric's text: letters in its rows, behind the labels.
std::vector<std::pair<std::size_t, std::size_t>> stitch_words(const std::string& text) {
  std::vector<std::pair<std::size_t, std::size_t>> out;
  const auto in_word = [&](std::size_t at) {
    return std::isalnum(static_cast<unsigned char>(text[at])) != 0 || text[at] == '/';
  };
  for (std::size_t i = text.find(": "); i < text.size(); ++i) {
    if (text[i] == '\n') i = std::min(text.find(": ", i), text.size() - 1);
    if (!in_word(i) || in_word(i - 1)) continue;
    std::size_t end = i;
    while (in_word(end)) ++end;
    if (text[end] != '(') out.push_back({i, end});
    i = end - 1;
  }
  return out;
}

/// One letter wrong, too many, missing, or exchanged with the next.
std::string misspelt(std::string word, naive::Dice& dice) {
  const auto at = static_cast<std::size_t>(dice.number(0, static_cast<long long>(word.size()) - 1));
  const char letter = static_cast<char>('a' + dice.number(0, 25));
  switch (dice.number(1, 4)) {
    case 1:
      word[at] = letter;
      break;
    case 2:
      word.insert(at, 1, letter);
      break;
    case 3:
      word.erase(at, 1);
      break;
    default:
      if (at + 1 < word.size()) std::swap(word[at], word[at + 1]);
  }
  return word;
}

}  // namespace

TEST_CASE("one letter of a stitch wrong: the file is left alone, or is as it was") {
  using namespace naive;
  int left = 0, restored = 0;
  for (std::uint64_t seed = 1; seed <= 1500; ++seed) {
    Dice dice(seed);
    const std::string text = words_of(dice.chance(60) ? random_plain(dice) : random_typed(dice));
    const auto places = stitch_words(text);
    if (check(Source("f.wale", text, 1)).diagnostics.has_errors() || places.empty()) continue;
    const auto [begin, end] = dice.one_of(places);
    const std::string word = text.substr(begin, end - begin), wrong = misspelt(word, dice);
    const std::string slipped = text.substr(0, begin) + wrong + text.substr(end);
    const Mended found = mended(slipped);
    INFO("seed ", seed, ": ", wrong, " for ", word, "\n", text, told(found));
    if (found.changes.empty()) {
      CHECK(found.source.text() == slipped);
      ++left;
      continue;
    }
    ++restored;
    for (const Diagnostic& each : found.checked.diagnostics.all()) CHECK(each.kind != Kind::unknown_stitch);
    // A slip that is certain has one reading alone, and here we know which it is.
    CHECK(found.source.text() == text);
    CHECK(mended(found.source.text()).changes.empty());
  }
  MESSAGE(restored, " mended, ", left, " left alone");
  CHECK(restored > 60);
  CHECK(left > 60);
}
