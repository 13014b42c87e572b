/// A grammar in EBNF (ISO/IEC 14977), as far as `grammar/README.md` uses it: read, and put to two uses.
///
/// `Derivation` asks whether a text is a sentence of the grammar, and by which rules. `Chance` makes
/// sentences. Rules are of two kinds: between the parts of a token nothing may stand; between the parts of
/// any other rule there may be blanks and comments.
///
///     digit pair = digit , digit ;      Rule{"digit pair", sequence[name "digit", name "digit"]}
#pragma once

#include <doctest/doctest.h>

#include <algorithm>
#include <cctype>
#include <functional>
#include <map>
#include <optional>
#include <random>
#include <set>
#include <string>
#include <vector>

namespace wale::ebnf {

struct Node {
  enum class Form { sequence, choice, repeat, option, text, name, special };
  Form form = Form::sequence;
  std::string word;
  std::vector<Node> parts;
};

struct Rule {
  Node body;
  bool token = false;  ///< nothing may stand between its parts
};

using Grammar = std::map<std::string, Rule>;

class EbnfReader {
 public:
  explicit EbnfReader(std::string text) : text_(std::move(text)) {}

  void rules(Grammar& out, bool token) {
    while (skip(), at_ < text_.size()) {
      const std::string name = identifier();
      expect('=');
      CAPTURE(name);
      CHECK(out.count(name) == 0);
      out[name] = {choice(), token};
      expect(';');
    }
  }

 private:
  void skip() {
    for (;;) {
      while (at_ < text_.size() && std::isspace(static_cast<unsigned char>(text_[at_]))) ++at_;
      if (text_.compare(at_, 2, "(*") != 0) return;
      at_ = text_.find("*)", at_);
      REQUIRE(at_ != std::string::npos);
      at_ += 2;
    }
  }
  char peek() {
    skip();
    return at_ < text_.size() ? text_[at_] : '\0';
  }
  void expect(char sign) {
    INFO("at: ", text_.substr(at_, 40));
    REQUIRE(peek() == sign);
    ++at_;
  }
  std::string identifier() {
    skip();
    const std::size_t begin = at_;
    while (at_ < text_.size() && (std::isalpha(static_cast<unsigned char>(text_[at_])) || text_[at_] == ' '))
      ++at_;
    std::string out = text_.substr(begin, at_ - begin);
    while (out.ends_with(' ')) out.pop_back();
    INFO("at: ", text_.substr(begin, 40));
    REQUIRE(!out.empty());
    return out;
  }
  Node choice() {
    Node out{Node::Form::choice, "", {sequence()}};
    while (peek() == '|') ++at_, out.parts.push_back(sequence());
    return out;
  }
  Node sequence() {
    Node out{Node::Form::sequence, "", {primary()}};
    while (peek() == ',') ++at_, out.parts.push_back(primary());
    return out;
  }
  Node primary() {
    const char sign = peek();
    if (sign == '"' || sign == '\'' || sign == '?') {
      const std::size_t end = text_.find(sign, at_ + 1);
      REQUIRE(end != std::string::npos);
      std::string word = text_.substr(at_ + 1, end - at_ - 1);
      at_ = end + 1;
      return {sign == '?' ? Node::Form::special : Node::Form::text, word, {}};
    }
    static const std::map<char, std::pair<char, Node::Form>> brackets{{'{', {'}', Node::Form::repeat}},
                                                                      {'[', {']', Node::Form::option}},
                                                                      {'(', {')', Node::Form::sequence}}};
    const auto bracket = brackets.find(sign);
    if (bracket == brackets.end()) return {Node::Form::name, identifier(), {}};
    ++at_;
    Node out{bracket->second.second, "", {choice()}};
    expect(bracket->second.first);
    return out;
  }

  std::string text_;
  std::size_t at_ = 0;
};

inline void names_in(const Node& node, std::set<std::string>& out) {
  if (node.form == Node::Form::name) out.insert(node.word);
  for (const Node& part : node.parts) names_in(part, out);
}

inline void words_in(const Node& node, std::set<std::string>& out) {
  if (node.form == Node::Form::text) out.insert(node.word);
  for (const Node& part : node.parts) words_in(part, out);
}

// --- characters that the grammar gives in words

inline bool is_letter(char c) {
  return std::isalpha(static_cast<unsigned char>(c)) || static_cast<unsigned char>(c) >= 0x80;
}
inline bool is_word(char c) {
  return is_letter(c) || std::isdigit(static_cast<unsigned char>(c));
}

struct Special {
  std::function<bool(char)> accepts;
  std::string samples;
};

inline const std::map<std::string, Special>& specials() {
  static const std::map<std::string, Special> all{
      {" a letter of any script ", {is_letter, "abkpzQ"}},
      {" A to Z ", {[](char c) { return c >= 'A' && c <= 'Z'; }, "ABLM"}},
      {" 0 to 9 ", {[](char c) { return c >= '0' && c <= '9'; }, "1234567"}},
      {" a to f or A to F ", {[](char c) { return std::isxdigit(static_cast<unsigned char>(c)); }, "abcF"}},
      {" any character but a quotation mark or a line's end ",
       {[](char c) { return c != '"' && c != '\n'; }, "Kelp 4-ply"}},
      {" any character but a blank, a comma, a brace or a line's end ",
       {[](char c) {
          return !std::isspace(static_cast<unsigned char>(c)) && c != ',' && c != '{' && c != '}';
        },
        ".x+o"}},
  };
  return all;
}

// --- derivation: is the text a sentence, and by which rules?

class Derivation {
 public:
  Derivation(const Grammar& grammar, std::string text) : grammar_(grammar), text_(std::move(text)) {}

  bool run(const std::string& start) {
    return match(Node{Node::Form::name, start, {}}, 0, [&](std::size_t at) {
      furthest = std::max(furthest, at);
      return skip(at) == text_.size();
    });
  }

  std::vector<std::string> used;  ///< the rules on the way that succeeded
  std::size_t furthest = 0;

 private:
  using Then = std::function<bool(std::size_t)>;

  std::size_t skip(std::size_t at) const {
    while (at < text_.size()) {
      if (text_[at] == ' ' || text_[at] == '\t')
        ++at;
      else if (text_.compare(at, 2, "--") == 0)
        at = std::min(text_.find('\n', at), text_.size());
      else
        break;
    }
    return at;
  }

  /// The longest token of this shape that begins here.
  std::optional<std::size_t> token(const Node& node, std::size_t at) const {
    switch (node.form) {
      case Node::Form::text:
        if (text_.compare(at, node.word.size(), node.word) != 0) return {};
        return at + node.word.size();
      case Node::Form::special:
        if (at >= text_.size() || !specials().at(node.word).accepts(text_[at])) return {};
        return at + 1;
      case Node::Form::name:
        return token(grammar_.at(node.word).body, at);
      case Node::Form::sequence:
        for (const Node& part : node.parts) {
          const auto next = token(part, at);
          if (!next) return {};
          at = *next;
        }
        return at;
      case Node::Form::choice: {
        std::optional<std::size_t> best;
        for (const Node& part : node.parts)
          if (const auto end = token(part, at)) best = std::max(best.value_or(0), *end);
        return best;
      }
      case Node::Form::repeat:
        for (auto next = token(node.parts[0], at); next && *next > at; next = token(node.parts[0], at))
          at = *next;
        return at;
      case Node::Form::option:
        return token(node.parts[0], at).value_or(at);
    }
    return {};
  }

  bool match_all(const std::vector<Node>& parts, std::size_t index, std::size_t at, const Then& then) {
    if (index == parts.size()) return then(at);
    return match(parts[index], at, [&](std::size_t next) { return match_all(parts, index + 1, next, then); });
  }

  bool match_word(std::size_t begin, std::size_t end, const Then& then) {
    furthest = std::max(furthest, begin);
    const bool cut = end > begin && end < text_.size() && is_word(text_[end - 1]) && is_word(text_[end]);
    return !cut && then(end);
  }

  bool match_name(const Node& node, std::size_t at, const Then& then) {
    if (node.word == "line end") {
      at = skip(at);
      used.push_back(node.word);
      if (at == text_.size() ? then(at) : text_[at] == '\n' && then(at + 1)) return true;
      used.pop_back();
      return false;
    }
    const Rule& rule = grammar_.at(node.word);
    used.push_back(node.word);
    const std::size_t depth = used.size();
    bool good = false;
    if (rule.token) {
      const std::size_t begin = skip(at);
      const auto end = token(rule.body, begin);
      good = end && match_word(begin, *end, then);
    } else {
      good = match(rule.body, at, then);
    }
    if (!good) used.resize(depth - 1);
    return good;
  }

  bool match(const Node& node, std::size_t at, const Then& then) {
    if (--steps_left_ < 0) return false;  // a text that cannot be derived can be tried in very many ways
    switch (node.form) {
      case Node::Form::name:
        return match_name(node, at, then);
      case Node::Form::text:
      case Node::Form::special: {
        const std::size_t begin = skip(at);
        const auto end = token(node, begin);
        return end && match_word(begin, *end, then);
      }
      case Node::Form::sequence:
        return match_all(node.parts, 0, at, then);
      case Node::Form::choice:
        return std::any_of(node.parts.begin(), node.parts.end(),
                           [&](const Node& part) { return match(part, at, then); });
      case Node::Form::repeat:
        return match(node.parts[0], at,
                     [&](std::size_t next) { return next > at && match(node, next, then); }) ||
               then(at);
      case Node::Form::option:
        return match(node.parts[0], at, then) || then(at);
    }
    return false;
  }

  const Grammar& grammar_;
  std::string text_;
  long steps_left_ = 1'000'000;
};

// --- sentences made by chance

class Chance {
 public:
  Chance(const Grammar& grammar, unsigned seed) : grammar_(grammar), random_(seed) {
    for (const auto& [name, rule] : grammar_) words_in(rule.body, taken_);
  }

  std::string sentence(const std::string& start) {
    put(Node{Node::Form::name, start, {}}, 0);
    return out_;
  }

  std::set<std::string> made;  ///< the rules that were used

 private:
  std::size_t below(std::size_t count) { return random_() % count; }

  void token(const Node& node, std::string& out) {
    switch (node.form) {
      case Node::Form::text:
        out += node.word;
        break;
      case Node::Form::special: {
        const std::string& samples = specials().at(node.word).samples;
        out += samples[below(samples.size())];
        break;
      }
      case Node::Form::name:
        token(grammar_.at(node.word).body, out);
        break;
      case Node::Form::choice:
        token(node.parts[below(node.parts.size())], out);
        break;
      case Node::Form::sequence:
        for (const Node& part : node.parts) token(part, out);
        break;
      case Node::Form::repeat:
      case Node::Form::option:
        for (std::size_t times = below(node.form == Node::Form::option ? 2 : 4); times > 0; --times)
          token(node.parts[0], out);
        break;
    }
  }

  void put(const Node& node, int depth) {
    const bool enough = depth > 60 || out_.size() > 4000;
    switch (node.form) {
      case Node::Form::text:
        out_ += node.word + " ";
        break;
      case Node::Form::special:
        FAIL("only tokens are given in words");
        break;
      case Node::Form::name:
        put_name(node, depth);
        break;
      case Node::Form::choice:
        put(enough ? node.parts[shallow(node)] : node.parts[below(node.parts.size())], depth + 1);
        break;
      case Node::Form::sequence:
        for (const Node& part : node.parts) put(part, depth + 1);
        break;
      case Node::Form::repeat:
      case Node::Form::option:
        if (enough) break;
        for (std::size_t times = below(node.form == Node::Form::option ? 2 : 3); times > 0; --times)
          put(node.parts[0], depth + 1);
        break;
    }
  }

  void put_name(const Node& node, int depth) {
    const Rule& rule = grammar_.at(node.word);
    made.insert(node.word);
    if (node.word == "line end") {
      out_ += "\n";
    } else if (rule.token) {
      // A name made by chance must not be a word of the grammar; a unit cannot be anything else.
      std::set<std::string> parts;
      names_in(rule.body, parts);
      std::string word;
      do {
        word.clear();
        token(rule.body, word);
      } while (!parts.empty() && taken_.count(word) > 0);
      out_ += word + " ";
    } else {
      put(rule.body, depth + 1);
    }
  }

  /// The alternative that ends soonest: one that names only tokens, if there is one.
  std::size_t shallow(const Node& choice) const {
    for (std::size_t i = 0; i < choice.parts.size(); ++i) {
      std::set<std::string> names;
      names_in(choice.parts[i], names);
      if (std::all_of(names.begin(), names.end(), [&](const auto& n) { return grammar_.at(n).token; }))
        return i;
    }
    return 0;
  }

  const Grammar& grammar_;
  std::mt19937 random_;
  std::set<std::string> taken_;
  std::string out_;
};

}  // namespace wale::ebnf
