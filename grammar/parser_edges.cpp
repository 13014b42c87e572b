// Edges: how they are named, and the steps that pick up along them or join what meets at them.
//
//     pick up 4n along armhole of front and armhole of back
//     pick up 18 along right-front, 8 along crown, 18 along left-front
//     join left-shoulder to left-shoulder of back

#include "grammar/parser_internal.hpp"

namespace wale {

/// `the left edge`, `cast-on edge`, or a name; of this piece or of another.
bool Parser::edge_name(tree::EdgeName& out) {
  using Form = tree::EdgeName::Form;
  const std::size_t first = at_;
  const auto before_edge = [&](std::size_t ahead) {
    const Token& next = peek(ahead);
    return next.kind == TokenKind::name && text(next) == "edge";
  };
  if (at_word("the") && peek(1).kind == TokenKind::name && text(peek(1)) != "of" && text(peek(1)) != "to")
    take();
  const std::string_view word = at(TokenKind::name) ? text(peek()) : std::string_view();
  const bool side = word == "left" || word == "right" || word == "cast-on" || word == "bound-off";
  if (side && before_edge(1)) {
    out.form = word == "left"      ? Form::left
               : word == "right"   ? Form::right
               : word == "cast-on" ? Form::cast_on
                                   : Form::bound_off;
    take();
    take();
  } else {
    const auto named = name("an edge or stitches that are held");
    if (!named) return false;
    out.name = *named;
  }
  if (take_word("of")) {
    out.piece = name("a piece");
    if (!out.piece) return false;
  }
  out.span = since(first);
  return true;
}

/// Behind a comma or `and`: does a number of its own come before the next edge? A number may be a measure's
/// name.
bool Parser::at_portion() const {
  if (!at(TokenKind::name)) return true;
  const Token& next = peek(1);
  return next.kind == TokenKind::name ? text(next) == "along" || text(next) == "st"
                                      : next.kind == TokenKind::plus || next.kind == TokenKind::minus ||
                                            next.kind == TokenKind::times || next.kind == TokenKind::divide ||
                                            next.kind == TokenKind::left_round;
}

bool Parser::pick_up(tree::PickUp& out) {
  bool numbered = !at_word("along");
  do {
    if (numbered || out.portions.empty()) {
      out.portions.emplace_back();
      if (numbered) {
        auto stitches = expression();
        if (!stitches) return false;
        out.portions.back().stitches = std::move(*stitches);
        take_word("st");
      }
      if (!need_word("along")) return false;
    }
    tree::EdgeName edge;
    if (!edge_name(edge)) return false;
    out.portions.back().edges.push_back(std::move(edge));
    if (!take_if(TokenKind::comma) && !take_word("and")) break;
    numbered = at_portion();
  } while (true);
  if (!take_word("with")) return true;
  out.strand = name("a strand");
  return out.strand.has_value();
}

bool Parser::call_edge(tree::CallEdge& out) {
  if (!need_word("the")) return false;
  const auto side = one_of("`left` or `right`", {"left", "right"});
  if (!side || !need_word("edge")) return false;
  out.left = *side == "left";
  const auto called = name("a name for the edge");
  if (called) out.name = *called;
  return called.has_value();
}

/// `join A`, `join sleeve`, `join front to back`.
bool Parser::join_step(tree::Step& out) {
  tree::EdgeName first;
  if (!at(TokenKind::name)) return wrong("`in the round` or a name");
  if (!edge_name(first)) return false;
  const bool side = first.form != tree::EdgeName::Form::named;
  if (!side && !at_word("to")) {
    out.what = tree::JoinName{first.name, first.piece};
    return true;
  }
  tree::Unite both;
  both.first = std::move(first);
  if (!need_word("to") || !edge_name(both.second)) return false;
  out.what = std::move(both);
  return true;
}

}  // namespace wale
