// The patterns of a collection: materials, and nine kinds of projects that fabrics are put into.
#include "tests/bench/collection.hpp"

#include <fmt/format.h>

#include <filesystem>
#include <fstream>
#include <numeric>
#include <stdexcept>

namespace wale::bench {

namespace {

struct Weight {
  const char *name, *ball, *gauge;
  int stitches;  ///< to 10 cm
};
const std::vector<Weight> weights{
    {"Sock", "100 g = 420 m", "28 st x 38 rows = 10 cm, needle 2.5 mm", 28},
    {"DK", "50 g = 120 m", "22 st x 30 rows = 10 cm, needle 4 mm", 22},
    {"Worsted", "100 g = 200 m", "20 st x 28 rows = 10 cm, needle 4.5 mm", 20},
    {"Aran", "100 g = 165 m", "17 st x 24 rows = 10 cm, needle 5 mm", 17},
};

struct Dyed {
  const char *name, *colour;
};
const std::vector<Dyed> dark{{"kelp", "#2f5d50"},  {"night", "#1f3044"}, {"tar", "#23282d"},
                             {"slate", "#3f525c"}, {"dulse", "#6b2d3c"}, {"reef", "#27495c"}};
const std::vector<Dyed> light{{"foam", "#f2efe4"}, {"chalk", "#ece7da"}, {"lamp", "#f0cf8a"},
                              {"sand", "#e8d9b5"}, {"mist", "#dde4e6"},  {"tern", "#e9e4d8"}};
const std::vector<std::string> words{"Ebb",    "Lee",   "Mooring", "Shoal",   "Keel",   "Halyard",
                                     "Fender", "Hatch", "Gull",    "Capstan", "Tiller", "Breaker"};

std::string capital(std::string name) {
  name.front() = static_cast<char>(name.front() - 'a' + 'A');
  return name;
}

/// One pattern on its way.
struct Project {
  std::size_t number;
  Lots lots;
  Weight weight;
  std::string text = {};

  void head(const std::string& what, const std::string& why) {
    text +=
        fmt::format("-- {}\n-- Pattern {} of the collection.\npattern \"{} {} {}\"\nby \"Skerry Row\"\n\n",
                    why, number, lots.one_of(words), what, number);
  }

  void yarn(const Dyed& dyed) {
    text += fmt::format("yarn {0} \"Skerry {1}, {2}\"  {3}  {4}\n", dyed.name, weight.name,
                        capital(dyed.name), weight.ball, dyed.colour);
  }

  /// Its own yarn, or one of the locker's.
  void one_colour() {
    if (number % 4 == 1) {
      text += fmt::format("use \"../locker.wale\"\nstrand A = {}-{}\n\n", capital_less(weight.name),
                          lots.one_of(dark).name);
    } else {
      const Dyed& dyed = lots.one_of(dark);
      yarn(dyed);
      text += fmt::format("strand A = {}\n\n", dyed.name);
    }
  }

  /// One in fifty in two colours that are near each other.
  void two_colours() {
    const Dyed &a = dark[0], &b = number % 50 < 3 ? dark[3] : lots.one_of(light);
    yarn(a);
    yarn(b);
    text += fmt::format("strand A = {}\nstrand B = {}\n\n", a.name, b.name);
  }

  void gauge(const std::string& fabric) {
    text += fmt::format("gauge {}{}\n\n", weight.gauge, fabric.empty() ? "" : ", in " + fabric);
  }

  static std::string capital_less(std::string name) {
    for (char& c : name)
      if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
    return name;
  }

  void garter() { text += "fabric edge flat n st { every: <k> }\n\n"; }
  void plain(const char* form) {
    text += std::string_view(form) == "flat" ? "fabric plain flat n st { rs: <k>  ws: <p> }\n\n"
                                             : "fabric plain round n st { every: <k> }\n\n";
  }
  void rib(const char* form) {
    text += std::string_view(form) == "flat"
                ? "fabric rib flat 4n + 2 st {\n  1: <k2 p2> k2\n  2: <p2 k2> p2\n}\n\n"
                : "fabric rib round 4n st { every: <k2 p2> }\n\n";
  }
  void add(const MadeFabric& fabric) { text += fabric.text + "\n"; }

  void scarf();
  void hat();
  void cowl();
  void mitts();
  void slipover();
  void pullover();
  void wrap();
  void blanket();
  void pad();
};

void Project::scarf() {
  head("Scarf", "A long scarf between garter borders, and wristers to go with it.");
  one_colour();
  const MadeFabric main = flat_fabric(lots, "main"), ends = flat_fabric(lots, "ends");
  gauge("main");
  text += fmt::format("measure width  = {} cm\nmeasure length = {} cm  -- without the ends\n\n",
                      lots.between(18, 32), lots.between(110, 180));
  garter();
  rib("flat");
  add(main);
  add(ends);
  text += fmt::format(
      "piece scarf flat {{\n  cast on near(width, {0}) with A\n  work edge for {1} rows\n"
      "  work edge 4 | main | edge 4 for length\n  work edge for {1} rows\n  bind off\n}}\n\n",
      main.width(8), 2 * lots.between(2, 5));
  text += fmt::format(
      "piece wrister flat twice {{\n  cast on near(18 cm, {0}) with A\n  work edge for 4 rows\n"
      "  work ends for {1} times\n  work edge for 4 rows\n  bind off\n}}\n\n"
      "piece strap flat {{\n  cast on 18 with A\n  work rib for {2} cm\n  bind off\n}}\n",
      ends.width(), lots.between(2, 4), lots.between(6, 20));
}

void Project::hat() {
  head("Hat", "A watch cap: a ribbed brim, a patterned side, a crown that narrows in wedges.");
  one_colour();
  const MadeFabric side = round_fabric(lots, "side"), band = round_fabric(lots, "band");
  const MadeFabric top = crown("top", lots.between(7, 12));
  gauge("side");
  text += "sizes S M L\nmeasure head = [50 54 58] cm\nmeasure depth = [11 12 13] cm\n\n";
  rib("round");
  plain("round");
  add(side);
  add(band);
  add(top);
  const int together = std::lcm(4, side.multiple);
  text += fmt::format(
      "piece hat round {{\n  cast on near(head, {0}n) with A\n  work rib for {1} rounds\n"
      "  spread {0} more over the row\n  work side for depth\n  bind off\n}}\n\n",
      together, lots.between(6, 14));
  text += fmt::format(
      "piece lining round {{\n  cast on near(head, {0}n) with A\n  work plain for {1} rounds\n"
      "  work top for {2} rounds\n  bind off\n}}\n\n",
      top.multiple, lots.between(10, 30), top.rows);
  text += fmt::format(
      "piece headband round {{\n  cast on near(head, {0}n) with A\n  work band for {1} rounds\n  bind "
      "off\n}}\n",
      band.multiple, band.rows * lots.between(2, 5));
}

void Project::cowl() {
  head("Cowl", "Two-colour brioche in the round: one yarn makes the columns, the other their shadow.");
  two_colours();
  gauge("fog");
  const MadeFabric lining = round_fabric(lots, "lining"), cuff = round_fabric(lots, "cuff");
  text += fmt::format("measure round-neck = {} cm\nmeasure depth = {} cm\n\n", lots.between(56, 80),
                      lots.between(18, 34));
  text += "fabric fog round 2n st {\n  1 A: <brk sl1yo>\n  1 B: <sl1yo brp>\n}\n\n";
  plain("round");
  add(lining);
  add(cuff);
  text +=
      "piece cowl round {\n  cast on near(round-neck, 2n) with A\n  rows {\n    1 A: <k sl1yo>\n    1 B: "
      "<sl1yo brp>\n"
      "  }\n  work fog for depth\n  rows { 1 A: <brk p> }\n  bind off\n}\n\n";
  text += fmt::format(
      "piece lining round {{\n  cast on near(round-neck, {0}n) with A\n  work lining for {1} rounds\n"
      "  work plain for {2} rounds\n  bind off\n}}\n\n",
      lining.multiple, lining.rows * lots.between(3, 6), lots.between(4, 20));
  text += fmt::format(
      "piece cuff round twice {{\n  cast on near(20 cm, {0}n) with B\n  work cuff for {1} rounds\n"
      "  work plain for 6 rounds\n  bind off\n}}\n",
      cuff.multiple, cuff.rows * lots.between(4, 8));
}

void Project::mitts() {
  head("Mitts", "A ribbed wrist, a stranded cuff and a thumb that waits on a holder.");
  two_colours();
  gauge("");
  const int multiple = 2 * lots.between(3, 6);
  const MadeFabric first = stranded(lots, "beam", multiple), second = stranded(lots, "wave", multiple);
  text +=
      "sizes S M L\nmeasure hand  = [18 20 22] cm\nmeasure thumb = [8 10 12]  -- stitches held for it\n\n"
      "fabric rib round 2n st { every: <k p> }\n";
  plain("round");
  add(first);
  add(second);
  text += fmt::format(
      "piece mitt round twice {{\n  cast on near(hand, {}n) with A\n  work rib for {} rounds\n  work beam "
      "for {} times\n"
      "  work wave for 1 times\n  work plain for {} rounds\n  widen 1 at the start every 2 rounds thumb "
      "times\n"
      "  hold thumb st as thumb\n  work even for {} rounds\n  bind off\n  resume thumb\n"
      "  work plain for 5 rounds\n  bind off\n}}\n",
      multiple, lots.between(8, 20), lots.between(1, 2), lots.between(4, 10), lots.between(8, 16));
}

void Project::slipover() {
  head("Slipover", "Back and front in one width, shoulders joined stitch to stitch, in four sizes.");
  one_colour();
  gauge("");
  const int step = lots.between(2, 3);
  text += fmt::format(
      "sizes S M L 1X\nmeasure chest   = body(woman, bust) + ease(classic)\nmeasure to-yoke = [{0} {1} {1} "
      "{2}] cm\n"
      "measure body-st = near(chest / 2, 4n + 2)\nmeasure step-st = stitches({3} cm)  -- bound off at each "
      "armhole\n"
      "measure slope   = [4 5 6 7]\nmeasure yoke-st = body-st - 2 * (step-st + slope)\n"
      "measure side-st = min(yoke-st / 4, yoke-st / 4)\n\n",
      lots.between(32, 34), lots.between(35, 36), lots.between(37, 38), step);
  const MadeFabric chest = flat_fabric(lots, "chest");
  rib("flat");
  plain("flat");
  add(chest);
  for (const char* side : {"back", "front"})
    text += fmt::format(
        "piece {} flat {{\n  cast on body-st with A\n  work rib for {} cm\n  work plain for to-yoke\n"
        "  narrow step-st each side\n  narrow 1 each side every 2 rows slope times\n  work even for 12 cm\n"
        "  bind off\n}}\n\n",
        side, lots.between(4, 7));
  text += fmt::format(
      "piece pocket flat {{\n  cast on near(12 cm, {}) with A\n  work chest for {} times\n  bind off\n}}\n\n"
      "piece making-up flat {{\n  seam the left edge of front to the right edge of back\n"
      "  seam the right edge of front to the left edge of back\n}}\n",
      chest.width(), lots.between(2, 4));
}

void Project::pullover() {
  head("Pullover", "A body in the round and two sleeves come together on one needle under a yoke.");
  one_colour();
  gauge("");
  text += fmt::format(
      "sizes S M L\nmeasure chest     = body(woman, bust) + ease({0})\nmeasure under     = stitches([4 4.5 "
      "5] cm)\n"
      "measure body-st   = near(chest, 2n)\nmeasure front-st  = body-st / 2 - under\n"
      "measure arm       = near([30 32 34] cm, 2n)\nmeasure cuff      = near({1} cm, 2n)\n"
      "measure sleeve-st = arm - under\n\n",
      lots.one_of(std::vector<std::string>{"classic", "loose"}), lots.between(20, 23));
  text += "fabric rib round n st { every: <k> }\n";
  plain("round");
  text += fmt::format(
      "piece body round {{\n  cast on body-st with A\n  work rib for {0} cm\n  work plain for [34 34 35] cm\n"
      "  hold under st as right-underarm\n  hold front-st st as front\n  hold under st as left-underarm\n"
      "  hold all as back\n}}\n\n"
      "piece sleeve round twice {{\n  cast on cuff with A\n  work rib for {0} cm\n"
      "  widen 1 each side (arm - cuff) / 2 times over {1} cm\n  work even for 3 cm\n  hold under st as "
      "underarm\n"
      "  hold all as top\n}}\n\n",
      lots.between(4, 7), lots.between(30, 34));
  text += fmt::format(
      "piece yoke round {{\n  join front of body\n  join top of sleeve\n  join back of body\n  join top of "
      "sleeve\n"
      "  work plain for {} rounds\n  place markers raglan after front-st, sleeve-st, front-st and sleeve-st\n"
      "  narrow 1 each side of the markers raglan every 2 rounds {} times\n  work even for 2 cm\n  bind "
      "off\n}}\n\n"
      "piece making-up flat {{\n  graft left-underarm of body to underarm of sleeve\n"
      "  graft right-underarm of body to underarm of sleeve\n}}\n",
      lots.between(2, 6), lots.between(6, 10));
}

void Project::wrap() {
  head("Wrap", "Two laces between garter borders, one from each end.");
  one_colour();
  const MadeFabric first = lace(lots, "lantern"), second = lace(lots, "shoal");
  gauge("lantern");
  text += fmt::format("measure width  = {} cm\nmeasure length = {} cm\n\n", lots.between(40, 60),
                      lots.between(60, 90));
  garter();
  plain("flat");
  add(first);
  add(second);
  int half = 0;
  for (const auto& [name, fabric] : {std::pair{"first-half", &first}, std::pair{"second-half", &second}})
    text += fmt::format(
        "piece {0} flat {{\n  cast on near(width, {1}) with A\n  work edge for {2} rows\n"
        "  work edge 4 | {3} | edge 4 for length - {4} cm\n  work edge for 6 rows\n  bind off\n}}\n\n",
        name, fabric->width(8), 2 * lots.between(2, 5), fabric->name, 6 + half++);
  text += fmt::format(
      "piece pocket flat {{\n  cast on {} with A\n  work plain for {} cm\n  work edge for 4 rows\n  bind "
      "off\n}}\n",
      lots.between(24, 36), lots.between(10, 16));
}

void Project::blanket() {
  head("Blanket", "Strips of five fabrics, seamed side to side.");
  one_colour();
  gauge("");
  text += fmt::format("measure strip = {} cm\nmeasure length = {} cm\n\n", lots.between(20, 30),
                      lots.between(90, 140));
  garter();
  std::vector<MadeFabric> fabrics;
  for (const char* name : {"one", "two", "three"}) add(fabrics.emplace_back(flat_fabric(lots, name)));
  for (const MadeFabric& each : fabrics)
    text += fmt::format(
        "piece strip-{0} flat {{\n  cast on near(strip, {1}) with A\n  work edge for {2} rows\n"
        "  work edge 3 | {0} | edge 3 for length\n  work edge for {2} rows\n  bind off\n}}\n\n",
        each.name, each.width(6), 2 * lots.between(2, 4));
}

void Project::pad() {
  head("Pad",
       "Double knitting: two layers, one picture, light on dark on one side and dark on light on the other.");
  two_colours();
  const int wide = lots.between(18, 30), high = lots.between(20, 30);
  text += fmt::format("gauge {} pairs x {} rows = 10 cm, needle 5 mm\n\n", weight.stitches - 4,
                      weight.stitches + 4);
  text += fmt::format("fabric buoy flat {} st {{\n  draw pairs . A, x B {{\n", 2 * wide);
  for (int row = 0; row < high; ++row) {
    std::string squares;
    for (int run = 0; static_cast<int>(squares.size()) < wide; ++run)
      squares.append(static_cast<std::size_t>(lots.between(2, 6)), run % 2 == 0 ? '.' : 'x');
    text += "    " + squares.substr(0, static_cast<std::size_t>(wide)) + "\n";
  }
  text += "  }\n}\n\n";
  garter();
  const MadeFabric loop = flat_fabric(lots, "loop");
  add(loop);
  text += fmt::format(
      "piece pad flat {{\n  cast on {0} pairs with A B\n  work buoy for {1} rows\n  rows {{ 1 A: <dkjoin> "
      "}}\n"
      "  bind off\n}}\n\npiece loop flat {{\n  cast on near(10 cm, {2}) with A\n  work loop for {3} times\n"
      "  work edge for 4 rows\n  bind off\n}}\n",
      wide, high, loop.width(), lots.between(1, 3));
}

std::string in_xml(const std::string& text, Written as) {
  std::string out = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<pattern>";
  if (as == Written::cdata) return out + "<![CDATA[" + text + "]]></pattern>\n";
  for (const char c : text) {
    if (c == '<')
      out += "&lt;";
    else if (c == '>')
      out += "&gt;";
    else if (c == '&')
      out += "&amp;";
    else
      out += c;
  }
  return out + "</pattern>\n";
}

/// The same fabrics, with blanks before their form that count the patterns and their fabrics.
std::string made_distinct(const std::string& text, std::size_t number) {
  constexpr std::string_view begins = "\nfabric ";
  constexpr int digits = 20;
  std::string out;
  std::size_t done = 0, fabric = 0;
  for (std::size_t at = 0; (at = text.find(begins, at)) != std::string::npos; at += begins.size()) {
    const std::size_t name_ends = text.find(' ', at + begins.size());
    out += text.substr(done, name_ends - done);
    for (int digit = 0; digit < digits; ++digit)
      out += ((number * 16 + fabric) >> digit & 1) == 0 ? ' ' : '\t';
    done = name_ends;
    ++fabric;
  }
  return out + text.substr(done);
}

void write_one(const std::filesystem::path& path, const std::string& text, Written as) {
  const bool pattern = as == Written::pattern || as == Written::distinct;
  std::ofstream file(path.string() + (pattern ? ".wale" : ".xml"), std::ios::binary);
  file << (pattern ? text : in_xml(text, as));
  if (!file.flush()) throw std::runtime_error(path.string() + " cannot be written");
}

}  // namespace

std::string pattern_of(std::size_t number) {
  constexpr std::size_t kinds = 9;
  Lots lots(number);
  Project out{number, lots, lots.one_of(weights)};
  static constexpr void (Project::*make[kinds])() = {&Project::scarf, &Project::hat,      &Project::cowl,
                                                     &Project::mitts, &Project::slipover, &Project::pullover,
                                                     &Project::wrap,  &Project::blanket,  &Project::pad};
  (out.*make[number % kinds])();
  return std::move(out.text);
}

std::string locker() {
  std::string out = "-- The yarns that the collection shares, and what lies on the shelf.\n";
  std::string shelf;
  for (const Weight& weight : weights)
    for (const Dyed& dyed : dark) {
      const std::string name = Project::capital_less(weight.name) + "-" + dyed.name;
      out += fmt::format("yarn {} \"Skerry {}, {}\"  {}  {}\n", name, weight.name, capital(dyed.name),
                         weight.ball, dyed.colour);
      shelf += fmt::format("  {} 9000 g\n", name);
    }
  return out + "\nstash {\n" + shelf + "}\n";
}

std::size_t write_collection(const std::string& folder, std::size_t count, Written as, std::size_t first) {
  namespace fs = std::filesystem;
  constexpr std::size_t in_a_box = 100;
  fs::create_directories(folder);
  write_one(fs::path(folder) / "locker", locker(), as);
  std::size_t bytes = locker().size();
  fs::path box;
  for (std::size_t i = 0; i < count; ++i) {
    if (i % in_a_box == 0)
      fs::create_directories(box = fs::path(folder) / fmt::format("box-{:04}", i / in_a_box));
    std::string text = pattern_of(first + i);
    if (as == Written::distinct) text = made_distinct(text, first + i);
    write_one(box / fmt::format("pattern-{:06}", first + i), text, as);
    bytes += text.size();
  }
  return bytes;
}

}  // namespace wale::bench
