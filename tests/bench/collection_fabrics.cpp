// Fabrics for the patterns of a collection.
#include <fmt/format.h>

#include "tests/bench/collection.hpp"

namespace wale::bench {

int Lots::between(int first, int last) {
  std::uint64_t z = state_ += 0x9E3779B97F4A7C15U;
  z = (z ^ z >> 30) * 0xBF58476D1CE4E5B9U;
  z = (z ^ z >> 27) * 0x94D049BB133111EBU;
  z ^= z >> 31;
  return first + static_cast<int>(z % static_cast<std::uint64_t>(last - first + 1));
}

std::string MadeFabric::width(int more) const {
  const std::string n = multiple == 1 ? "n" : fmt::format("{}n", multiple);
  return base + more > 0 ? fmt::format("{} + {}", n, base + more) : n;
}

namespace {

/// `k`, `k2`; nothing for none.
std::string times(const char* stitch, int count) {
  return count <= 0 ? "" : count == 1 ? fmt::format("{} ", stitch) : fmt::format("{}{} ", stitch, count);
}

/// `<k3 p >` loses its last space.
std::string fill(std::string inside) {
  while (!inside.empty() && inside.back() == ' ') inside.pop_back();
  return "<" + inside + ">";
}

std::string heading(const MadeFabric& fabric, const char* form, int rows = 0) {
  return fmt::format("fabric {} {} {} st {}{{\n", fabric.name, form, fabric.width(),
                     rows > 0 ? fmt::format("x {} rows ", rows) : "");
}

MadeFabric flat_rib(Lots& lots, const std::string& name) {
  const int k = lots.between(1, 4), p = lots.between(1, 3);
  MadeFabric out{name, "", k + p, k, 2};
  out.text = heading(out, "flat") + fmt::format("  1: {} k{}\n  2: {} p{}\n}}\n",
                                                fill(times("k", k) + times("p", p)), k,
                                                fill(times("p", k) + times("k", p)), k);
  return out;
}

MadeFabric moss(Lots& lots, const std::string& name) {
  MadeFabric out{name, "", 2, 1, 2};
  if (lots.between(0, 1) == 0) {
    out.text = heading(out, "flat") + "  1: <k p> k\n  2: <k p> k\n}\n";
  } else {
    out.rows = 4;
    out.text = heading(out, "flat") + "  1: <k p> k\n  2: <p k> p\n  3: <p k> p\n  4: <k p> k\n}\n";
  }
  return out;
}

/// Squares of stockinette and of its reverse, turn about.
MadeFabric squares(Lots& lots, const std::string& name) {
  const int wide = lots.between(3, 7), high = 2 * lots.between(2, 4);
  MadeFabric out{name, "", 2 * wide, wide, 2 * high};
  out.text = heading(out, "flat");
  for (int row = 1; row <= 2 * high; ++row) {
    const bool knit_first = (row % 2 == 1) == (row <= high);
    const char *first = knit_first ? "k" : "p", *second = knit_first ? "p" : "k";
    out.text +=
        fmt::format("  {}: {} {}{}\n", row, fill(times(first, wide) + times(second, wide)), first, wide);
  }
  out.text += "}\n";
  return out;
}

MadeFabric diagonal(Lots& lots, const std::string& name, bool flat) {
  const int wide = lots.between(4, 8), rows = flat ? 2 * wide : wide;
  MadeFabric out{name, "", wide, 0, rows};
  out.text = heading(out, flat ? "flat" : "round");
  for (int row = 1; row <= rows; ++row) {
    const int at = (row - 1) % wide;
    out.text +=
        flat && row % 2 == 0
            ? fmt::format("  {}: {}\n", row, fill(times("p", wide - 1 - at) + times("k", 1) + times("p", at)))
            : fmt::format("  {}: {}\n", row,
                          fill(times("k", at) + times("p", 1) + times("k", wide - 1 - at)));
  }
  out.text += "}\n";
  return out;
}

MadeFabric cable(Lots& lots, const std::string& name, bool flat) {
  const int strip = lots.between(2, 3), rows = 2 * lots.between(3, 6);
  MadeFabric out{name, "", 2 * strip + 2, flat ? 2 : 0, rows};
  const char* lean = lots.between(0, 1) == 0 ? "rc" : "lc";
  out.text = heading(out, flat ? "flat" : "round", rows);
  if (flat)
    out.text += fmt::format("  rs: <p2 k{0}> p2\n  ws: <k2 p{0}> k2\n", 2 * strip);
  else
    out.text += fmt::format("  every: <p2 k{}>\n", 2 * strip);
  out.text += fmt::format("  3:  <p2 {0}/{0}{1}>{2}\n}}\n", strip, lean, flat ? " p2" : "");
  return out;
}

}  // namespace

MadeFabric flat_fabric(Lots& lots, const std::string& name) {
  switch (lots.between(0, 5)) {
    case 0:
      return flat_rib(lots, name);
    case 1:
      return moss(lots, name);
    case 2:
      return squares(lots, name);
    case 3:
      return diagonal(lots, name, true);
    case 4:
      return lace(lots, name);
    default:
      return cable(lots, name, true);
  }
}

MadeFabric round_fabric(Lots& lots, const std::string& name) {
  switch (lots.between(0, 2)) {
    case 0: {
      const int k = lots.between(1, 4), p = lots.between(1, 3);
      MadeFabric out{name, "", k + p, 0, 1};
      out.text =
          heading(out, "round") + fmt::format("  every: {}\n}}\n", fill(times("k", k) + times("p", p)));
      return out;
    }
    case 1:
      return diagonal(lots, name, false);
    default:
      return cable(lots, name, false);
  }
}

MadeFabric lace(Lots& lots, const std::string& name) {
  const int middle = 2 * lots.between(0, 2) + 1, last = (middle + 1) / 2;
  MadeFabric out{name, "", middle + 5, 1, 2 * (last + 1)};
  out.text = heading(out, "flat", out.rows) + "  ws: <p> p\n";
  for (int step = 0; step < last; ++step)
    out.text += fmt::format("  {}:  {} k\n", 2 * step + 1,
                            fill(times("k", step + 1) + "yo ssk " + times("k", middle - 2 * step) +
                                 "k2tog yo " + times("k", step)));
  out.text += fmt::format("  {}:  {} k\n}}\n", 2 * last + 1,
                          fill(times("k", last + 1) + "yo s2kp yo " + times("k", last)));
  return out;
}

MadeFabric stranded(Lots& lots, const std::string& name, int multiple) {
  MadeFabric out{name, "", multiple, 0, 2 * lots.between(2, 7)};
  out.text = heading(out, "round") + "  draw . A, x B {\n";
  for (int row = 0; row < out.rows; ++row) {
    // No colour is left out for more than three stitches, so nothing floats.
    std::string squares;
    for (int run = 0; static_cast<int>(squares.size()) < multiple; ++run)
      squares.append(static_cast<std::size_t>(lots.between(1, 3)), run % 2 == 0 ? '.' : 'x');
    squares.resize(static_cast<std::size_t>(multiple));
    squares.back() = 'x';
    out.text += "    " + squares + "\n";
  }
  out.text += "  }\n}\n";
  return out;
}

MadeFabric crown(const std::string& name, int from) {
  MadeFabric out{name, "", from, 0, 0};
  out.text = heading(out, "round");
  for (int wedge = from; wedge > 2; --wedge) {
    out.text += fmt::format("  {}: {}\n", ++out.rows, fill(times("k", wedge - 2) + "k2tog"));
    if (wedge > 6) out.text += fmt::format("  {}: {}\n", ++out.rows, fill(times("k", wedge - 1)));
  }
  out.text += "}\n";
  return out;
}

}  // namespace wale::bench
