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
  const auto before_edge = [&](std::size_t ahead) { return at_word("edge", ahead); };
  if (at_word("the") && peek(1).kind == TokenKind::name && !at_word("of", 1) && !at_word("to", 1)) take();
  const Keyword word = peek().keyword;
  const bool side = contains({"left", "right", "cast-on", "bound-off"}, word);
  if (side && before_edge(1)) {
    out.form = word == "left"      ? Form::left
               : word == "right"   ? Form::right
               : word == "cast-on" ? Form::cast_on
                                   : Form::bound_off;
    take();
    take();
  } else {
    if (!name("an edge or stitches that are held", out.name)) return false;
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
  return next.kind == TokenKind::name ? next.keyword == "along" || next.keyword == "st"
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
        out.portions.back().stitches = expression();
        if (!out.portions.back().stitches) return false;
        take_word("st");
      }
      if (!need_word("along")) return false;
    }
    if (!edge_name(out.portions.back().edges.emplace_back())) return false;
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
  return name("a name for the edge", out.name);
}

/// `graft A to B`, `seam A to B and C`.
bool Parser::unite(tree::Unite& out, tree::Unite::How how) {
  out.how = how;
  if (!edge_name(out.first) || !need_word("to") || !edge_name(out.second)) return false;
  while (how == tree::Unite::How::seam && (take_if(TokenKind::comma) || take_word("and")))
    if (!edge_name(out.more.emplace_back())) return false;
  return true;
}

/// `join A`, `join sleeve`, `join front to back`.
bool Parser::join_step(tree::Step& out) {
  tree::EdgeName first;
  if (!at(TokenKind::name)) return wrong("`in the round` or a name");
  if (!edge_name(first)) return false;
  const bool side = first.form != tree::EdgeName::Form::named;
  if (!side && !at_word("to")) {
    out.what = tree::JoinName{std::move(first.name), std::move(first.piece)};
    return true;
  }
  auto& both = out.what.emplace<tree::Unite>();
  both.first = std::move(first);
  return need_word("to") && edge_name(both.second);
}

}  // namespace wale
