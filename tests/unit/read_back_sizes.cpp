// One size's words out of the words of all sizes, and a left-handed knitter's words as a right-handed one
// reads them.
#include <fmt/format.h>

#include <algorithm>
#include <cctype>

#include "tests/unit/read_back.hpp"

namespace wale::read_back {

// --- sizes

std::string of_size(std::string_view words, std::size_t size, std::size_t sizes) {
  std::string out;
  const auto number_end = [&](std::size_t at) {
    std::size_t end = at;
    while (end < words.size() && (std::isdigit(static_cast<unsigned char>(words[end])) ||
                                  (words[end] == '.' && end > at && end + 1 < words.size() &&
                                   std::isdigit(static_cast<unsigned char>(words[end + 1])))))
      ++end;
    // "6th"
    for (const std::string_view ordinal : {"st", "nd", "rd", "th"})
      if (end > at && words.substr(end, 2) == ordinal &&
          (end + 2 == words.size() || !std::isalnum(static_cast<unsigned char>(words[end + 2]))))
        return end + 2;
    return end;
  };
  for (std::size_t at = 0; at < words.size();) {
    const std::size_t end = number_end(at);
    if (end == at) {
      out += words[at++];
      continue;
    }
    std::vector<std::string> each{std::string(words.substr(at, end - at))};
    std::size_t next = end;
    const char open = next + 1 < words.size() && words[next] == ' ' ? words[next + 1] : '\0';
    if (sizes > 1 && (open == '(' || open == '[')) {
      next += 2;
      while (each.size() < sizes) {
        const std::size_t more = number_end(next);
        if (more == next) break;
        each.emplace_back(words.substr(next, more - next));
        next = more;
        if (each.size() < sizes && words.substr(next, 2) == ", ") next += 2;
      }
      if (each.size() == sizes && next < words.size() && words[next] == (open == '(' ? ')' : ']'))
        ++next;
      else
        each.resize(1), next = end;
    }
    out += each.size() == sizes ? each[size] : each[0];
    at = next;
  }
  // What is plural for one size may be single for another; who reads "1 sts" knows what is meant.
  for (const auto& [many, one] : {std::pair<std::string_view, std::string_view>{"sts", "st"},
                                  {"rows", "row"},
                                  {"rnds", "rnd"},
                                  {"times", "time"},
                                  {"more times", "more time"},
                                  {"pairs", "pair"}}) {
    const std::string sign = fmt::format("1 {}", many);
    for (std::size_t at = out.find(sign); at != std::string::npos; at = out.find(sign, at + 1))
      if ((at == 0 || !std::isalnum(static_cast<unsigned char>(out[at - 1]))) && sizes > 1)
        out.replace(at, sign.size(), fmt::format("1 {}", one));
  }
  return out;
}

std::vector<render::Block> of_size(const std::vector<render::Block>& blocks, std::size_t size) {
  std::vector<std::string> names;
  for (const render::Block& block : blocks)
    if (const auto* paragraph = std::get_if<render::Paragraph>(&block);
        paragraph && paragraph->lead == "Sizes:" && names.empty()) {
      Cursor in(paragraph->text);
      names.push_back(in.until(" ."));
      if (in.accept(" (")) do
          names.push_back(in.until(",)"));
        while (in.accept(", "));
    }
  if (names.size() < 2) return blocks;
  std::vector<render::Block> out;
  bool instructions = false;
  for (const render::Block& block : blocks) {
    const auto* heading = std::get_if<render::Heading>(&block);
    if (heading && heading->level == 2) instructions = heading->text == "Instructions";
    if (!instructions) {
      out.push_back(block);
    } else if (heading) {
      render::Heading own = *heading;
      own.text = of_size(own.text, size, names.size());
      out.push_back(own);
    } else if (const auto* paragraph = std::get_if<render::Paragraph>(&block)) {
      render::Paragraph own = *paragraph;
      Cursor in(own.lead);
      std::size_t among = size, all = names.size();
      if (in.accept("Sizes ") || in.accept("Size ")) {
        const std::string these = in.up_to(":");
        in.accept(" ");
        Cursor each(these);
        std::vector<std::string> named;
        do named.push_back(each.until(","));
        while (each.accept(", "));
        const auto mine = std::find(named.begin(), named.end(), names.at(size));
        if (mine == named.end()) continue;
        among = static_cast<std::size_t>(mine - named.begin());
        all = named.size();
        own.lead = in.rest();
      }
      own.lead = of_size(own.lead, among, all);
      own.text = of_size(own.text, among, all);
      out.push_back(own);
    }
  }
  return out;
}

// --- left hands

std::string in_the_mirror(std::string_view words) {
  static const std::map<std::string, std::string> sided{
      {"m1l", "m1r"},     {"m1r", "m1l"},     {"m1lp", "m1rp"},   {"m1rp", "m1lp"},
      {"brlsl", "brrsl"}, {"brrsl", "brlsl"}, {"brlsp", "brrsp"}, {"brrsp", "brlsp"},
      {"left", "right"},  {"right", "left"},  {"Left", "Right"},  {"Right", "Left"},
      {"M1l", "M1r"},     {"M1r", "M1l"},     {"M1lp", "M1rp"},   {"M1rp", "M1lp"}};
  const auto in_word = [](char c) {
    return std::isalnum(static_cast<unsigned char>(c)) || c == '-' || c == '/';
  };
  std::string out;
  bool crossing = false;  // "2/2" was the last word
  for (std::size_t at = 0; at < words.size();) {
    std::size_t end = at;
    while (end < words.size() && in_word(words[end])) ++end;
    if (end == at) {
      out += words[at++];
      continue;
    }
    std::string word(words.substr(at, end - at));
    if (const auto found = sided.find(word); found != sided.end()) word = found->second;
    if (crossing && (word[0] == 'R' || word[0] == 'L')) word[0] = word[0] == 'R' ? 'L' : 'R';
    crossing = word.find('/') != std::string::npos && std::isdigit(static_cast<unsigned char>(word[0]));
    out += word;
    at = end;
  }
  return out;
}

}  // namespace wale::read_back
