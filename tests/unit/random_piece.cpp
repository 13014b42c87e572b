#include "tests/unit/random_piece.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace wale::naive {

namespace {

/// More than this is not for fingers.
constexpr long long widest = 90, longest = 150;

const char* const head =
    "sizes S M L\n"
    "yarn kelp \"Skerry Worsted, Kelp\" 100 g = 200 m\nyarn lamp \"Skerry Sock, Lamp\" 100 g = 420 m\n"
    "strand A = kelp\nstrand B = lamp\ngauge 20 st x 28 rows = 10 cm\n"
    "fabric garter flat n st { every: <k> }\nfabric plain flat n st { rs: <k> ws: <p> }\n"
    "fabric rib flat 4n + 2 st {\n  1: <k2 p2> k2\n  2: <p2 k2> p2\n}\n"
    "fabric moss flat 2n + 1 st { 1: <k p> k }\n"
    "fabric lace flat 2n + 2 st {\n  1: k <yo k2tog> k\n  2: <p>\n}\n"
    "fabric dots flat 4n + 3 st {\n  1: k <k2 p k> k2\n  2: <p>\n  3: k2 <p k3> k\n  4: <p>\n}\n"
    "fabric seen flat 3n st {\n  1: <k2 p>\n  2: as seen\n}\n"
    "fabric band flat 2n + 1 st {\n  1 B: k <sl k>\n  2 B: k <sl k>\n  3 A: <k>\n  4 A: <p>\n}\n"
    "fabric coil round 3n st { every: <k2 p> }\nfabric waves round 6n st {\n  1: <k4 p2>\n  2: <k4 p2>\n"
    "  3: <2/2rc p2>\n}\n";

class Maker {
 public:
  explicit Maker(Dice& dice) : dice_(dice) {}

  std::optional<RandomPattern> make() {
    const long long pieces = dice_.number(1, 3);
    for (long long i = 0; i < pieces; ++i) {
      const bool taken = start(i);
      if (!taken) continue;
      for (long long tries = 0, wanted = dice_.number(3, 9); tries < 26 && wanted > 0; ++tries)
        wanted -= attempt(step());
      end();
    }
    put_together();
    if (done_.empty()) return {};
    Checked all = check(Source("p.wale", head + done_, 1));
    if (all.diagnostics.has_errors()) return {};
    return RandomPattern{head + done_, std::move(all)};
  }

 private:
  /// One number for all sizes, or one for each.
  std::string sized(long long least, long long most) {
    const long long first = dice_.number(least, most);
    if (dice_.chance(55)) return fmt::format("{}", first);
    const long long step = dice_.number(0, std::max(1LL, (most - least) / 4));
    return fmt::format("[{} {} {}]", first, first + step, first + step + dice_.number(0, step));
  }
  std::string any_fabric() {
    static const std::vector<std::string> names{"garter", "plain", "plain", "plain", "rib",  "moss",
                                                "lace",   "dots",  "seen",  "band",  "coil", "waves"};
    return dice_.one_of(names);
  }

  // --- one step, as it would be written

  std::string extent() {
    const long long way = dice_.number(1, 10);
    if (way <= 7) return sized(1, 12) + " rows";
    if (way <= 9) return sized(1, 4) + " cm";
    return sized(1, 3) + " times";
  }
  std::string work() {
    const std::string with = dice_.chance(12) ? (dice_.chance(50) ? " with B" : " with A") : "";
    if (dice_.chance(25))
      return fmt::format("work {} {} | {} | {} {}{} for {}\n", any_fabric(), sized(3, 6), any_fabric(),
                         any_fabric(), sized(3, 6), with, extent());
    return fmt::format("work {}{} for {}\n", any_fabric(), with, extent());
  }
  std::string shape() {
    std::string out = dice_.chance(60) ? "narrow " : "widen ";
    const bool many = dice_.chance(20);
    out += many ? sized(2, 4) : "1";
    const long long where = dice_.number(1, 10);
    if (where <= 5) out += " each side";
    if (where == 6 || where == 7) out += " at the start";
    if (where == 8) out += " at the end";
    if (where > 8) out += fmt::format(" at {} points", dice_.number(2, 6));
    const long long rate = dice_.number(1, 10);
    if (rate <= 5) out += fmt::format(" every {} rows {} times", dice_.number(1, 6), sized(1, 4));
    if (rate == 6 || rate == 7) out += fmt::format(" {} times over {} rows", sized(1, 4), sized(6, 24));
    if (rate == 8) out += fmt::format(" to {} st over {} cm", sized(12, 40), sized(3, 7));
    if (rate == 9) out += fmt::format(" every {} rows to {} st", dice_.number(1, 4), sized(12, 40));
    return out + "\n";
  }
  std::string written_rows() {
    static const std::vector<std::string> rows{
        "{ 1: k2tog <k>  2: <p> }",
        "{ 1: <k> }",
        "{ 1: kfb <k> kfb\n  2: <p> }",
        "{ 1: bo3 <k>\n  2: bo3 <p> }",
        "{ 1: <k> co4\n  2: <p> co4 }",
        "{ 1: k3 <k2tog k2>\n  2: <p> }",
        "{ 1: <k> wt3\n  2: <p>\n  3: <k>\n  4: <p> }",
        "{ 1: <k> ds4\n  2: <p>\n  3: <k>\n  4: <p> }",
        "{ 1: k6 turn\n  2: p6\n  3: <k>\n  4: <p> }",
        "{ 1: <k> wt2\n  2: <p> wt2\n  3: <k>\n  4: <p> }",
        "{ rs: <k>\n  ws: <p>\n  3: k2tog <k> }",
        "{ rs: k2 <p>\n  ws: <k>\n  1..3: k <k> }",
        "{ 1..3: as seen }",
        "{ 1: yo k2tog <k>\n  2, 3: <k> }",
        "{ 1 B: <k>\n  2 B: <p>\n  3: <k>\n  4: <p> }",
        "{ 1: <2(k) p>\n  2: <k 2(p)> }",
        "{ 1: k5 bo4 <k>\n  2: <p> co4 p5 }",
        "{ 1: <k in1(k yo k) k>\n  2: <p> }",
    };
    return fmt::format("rows {}\n", dice_.one_of(rows));
  }
  std::string simple() {
    const long long kind = dice_.number(1, 10);
    if (kind <= 3) return work();
    if (kind <= 4) return fmt::format("work even for {}\n", extent());
    if (kind <= 7) return shape();
    if (kind == 8)
      return fmt::format("spread {} {} over the row\n", sized(1, 7), dice_.chance(50) ? "more" : "fewer");
    return written_rows();
  }
  std::string repeated() {
    std::string inside;
    for (long long i = dice_.number(1, 2); i > 0; --i) inside += dice_.chance(12) ? repeated() : simple();
    if (dice_.chance(80)) return fmt::format("repeat {} times {{\n{}}}\n", sized(2, 5), inside);
    return fmt::format("repeat until {} st {{\n{}}}\n", sized(10, 44), inside);
  }

  std::string step() {
    const long long kind = dice_.number(1, 100);
    if (kind <= 52) return simple();
    if (kind <= 68) return repeated();
    if (kind <= 74) return hold();
    if (kind <= 77) return fmt::format("bind off {}\n", sized(1, 8));
    if (kind <= 83 && !round_)
      return fmt::format("call the {} edge e{}\n", dice_.chance(50) ? "left" : "right", next_name_++);
    if (kind <= 86) return dice_.chance(50) ? "join A\n" : "join B\n";
    if (kind <= 89) return "go on in rows\n";
    if (kind <= 91) return "join in the round\n";
    if (kind <= 97 && !edges_.empty())
      return fmt::format("pick up {} along {}\n", sized(3, 12), dice_.one_of(edges_));
    return resume();
  }
  std::string hold() {
    const std::string name = fmt::format("h{}", next_name_++);
    const std::string last = dice_.chance(40) ? "last " : "";
    if (dice_.chance(20)) return fmt::format("hold all as {0}\nresume {0}\n", name);
    held_next_ = name;
    return fmt::format("hold {}{} as {}\n", last, sized(2, 12), name);
  }
  /// What is on the needle ends, and what waits goes on.
  std::string resume() {
    if (held_.empty()) return "";
    const std::string name = held_.back();
    resumed_next_ = name;
    return fmt::format("bind off\nresume {}\n", name);
  }

  // --- pieces

  bool start(long long index) {
    name_ = fmt::format("part{}", index);
    steps_.clear();
    held_.clear();
    round_ = dice_.chance(25);
    std::string first = fmt::format("cast on {}{}\n", sized(14, 48), dice_.chance(70) ? " with A" : "");
    if (dice_.chance(10)) first = fmt::format("cast on 4\ncord 4 st for {}\nrows {{ 1: <kfb> }}\n", extent());
    if (!waiting_.empty()) {
      round_ = waiting_round_;
      first = fmt::format("join {}\n", waiting_);
    } else if (!edges_.empty() && dice_.chance(60)) {
      const std::string count = dice_.chance(50) ? sized(8, 30) + " " : dice_.chance(50) ? "4n + 2 " : "";
      first = fmt::format("pick up {}along {}{}\n", count, dice_.one_of(edges_),
                          dice_.chance(40) && edges_.size() > 1 ? " and " + edges_.back() : "");
    }
    waiting_.clear();
    return attempt(first);
  }

  std::string piece(const std::string& more) const {
    return fmt::format("piece {} {} {{\n{}{}", name_, round_ ? "round" : "flat", steps_, more);
  }
  /// Nothing stays on needle or holder.
  std::string closing(const std::vector<std::string>& held) const {
    std::string out = "bind off\n";
    for (const std::string& each : held) out += fmt::format("resume {}\nbind off\n", each);
    return out + "}\n";
  }
  bool good(const std::string& text) const {
    const Checked checked = check(Source("p.wale", text, 1));
    if (checked.diagnostics.has_errors()) return false;
    const auto small = [](const Pattern& pattern) {
      return std::all_of(pattern.pieces.begin(), pattern.pieces.end(),
                         [](const Piece& each) { return each.widest <= widest && each.rows <= longest; });
    };
    return small(checked.pattern) && std::all_of(checked.larger.begin(), checked.larger.end(), small);
  }

  bool attempt(const std::string& more) {
    std::vector<std::string> held = held_;
    if (!held_next_.empty()) held.push_back(held_next_);
    if (!resumed_next_.empty()) std::erase(held, resumed_next_);
    held_next_.clear();
    resumed_next_.clear();
    if (more.empty() || !good(head + done_ + piece(more) + closing(held))) return false;
    steps_ += more;
    held_ = held;
    return true;
  }

  void end() {
    if (steps_.empty()) return;
    // What is held last may wait for the next piece.
    std::string last = "bind off\n";
    if (dice_.chance(20)) last = fmt::format("bind off as top{}\n", next_name_++);
    if (!held_.empty() && dice_.chance(60)) {
      const std::string name = held_.back();
      std::vector<std::string> others(held_.begin(), held_.end() - 1);
      for (const bool round : {true, false}) {
        const std::string next = fmt::format("piece next {} {{\njoin {} of {}\nbind off\n}}\n",
                                             round ? "round" : "flat", name, name_);
        if (!good(head + done_ + piece("") + closing(others) + next)) continue;
        waiting_ = fmt::format("{} of {}", name, name_);
        waiting_round_ = round;
        held_ = others;
        break;
      }
    }
    std::string whole = piece("") + closing(held_);
    if (waiting_.empty() && held_.empty() && good(head + done_ + piece(last) + "}\n"))
      whole = piece(last) + "}\n";
    done_ += whole;
    for (const std::string edge : {"left edge", "right edge", "cast-on edge", "bound-off edge"})
      edges_.push_back(fmt::format("{} of {}", edge, name_));
    for (long long i = 0; i < next_name_; ++i)
      for (const std::string kind : {"e", "top"})
        if (whole.find(fmt::format(" {}{}\n", kind, i)) != std::string::npos)
          edges_.push_back(fmt::format("{}{} of {}", kind, i, name_));
  }

  /// Two pieces whose stitches wait or are on the needle, and meet.
  std::string meeting() {
    const std::string count = sized(4, 20);
    const auto begin = [&](const std::string& name) {
      return fmt::format("piece {} flat {{\ncast on {}\nwork {} for {} rows\n", name, count,
                         dice_.chance(50) ? "plain" : "garter", sized(1, 9));
    };
    const std::string waits = "hold all as top\n}\n", one = begin("one") + waits, two = begin("two");
    switch (dice_.number(1, 3)) {
      case 1:
        return one + two + "join all to top of one\n}\n";
      case 2:
        return one + two + waits + "piece both flat {\ngraft top of one to top of two\n}\n";
      default:
        return one + two + waits +
               fmt::format(
                   "piece both {} {{\npick up along top of one and top of two\nwork garter for 3 "
                   "rows\nbind off\n}}\n",
                   dice_.chance(50) ? "round" : "flat");
    }
  }

  /// What still waits, what meets, and seams.
  void put_together() {
    if (!waiting_.empty())
      done_ += fmt::format("piece rest {} {{\njoin {}\nbind off\n}}\n", waiting_round_ ? "round" : "flat",
                           waiting_);
    if (dice_.chance(30))
      if (const std::string both = meeting(); good(head + done_ + both)) done_ += both;
    if (edges_.empty() || !dice_.chance(30)) return;
    const std::string seams = fmt::format("piece making-up flat {{\nseam {} to {}\n}}\n",
                                          dice_.one_of(edges_), dice_.one_of(edges_));
    if (good(head + done_ + seams)) done_ += seams;
  }

  Dice& dice_;
  std::string done_, name_, steps_;
  bool round_ = false, waiting_round_ = false;
  std::vector<std::string> held_, edges_;
  std::string held_next_, resumed_next_, waiting_;
  long long next_name_ = 0;
};

}  // namespace

std::optional<RandomPattern> random_pattern(Dice& dice) {
  return Maker(dice).make();
}

std::string shrunk_text(std::string text, const std::function<bool(const Checked&)>& fails) {
  const auto still = [&](const std::string& less) {
    const Checked checked = check(Source("p.wale", less, 1));
    const auto unfinished = [](const Diagnostic& each) { return each.kind == Kind::left_on_needle; };
    const auto& said = checked.diagnostics.all();
    return !checked.diagnostics.has_errors() && std::none_of(said.begin(), said.end(), unfinished) &&
           fails(checked);
  };
  for (bool smaller = true; smaller;) {
    smaller = false;
    std::vector<std::string> lines;
    for (std::size_t at = 0; at < text.size();) {
      const std::size_t end = text.find('\n', at);
      lines.push_back(text.substr(at, end + 1 - at));
      at = end + 1;
    }
    // Stretches of lines, long ones first.
    for (std::size_t length = std::min<std::size_t>(lines.size() - 1, 24); length >= 1 && !smaller; --length)
      for (std::size_t from = lines.size() - length + 1; from-- > 0 && !smaller;) {
        std::string less;
        for (std::size_t i = 0; i < lines.size(); ++i)
          if (i < from || i >= from + length) less += lines[i];
        if (!still(less)) continue;
        text = std::move(less);
        smaller = true;
      }
  }
  return text;
}

}  // namespace wale::naive
