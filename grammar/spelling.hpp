/// Words that are nearly others: what may have been meant, and when that is certain.
///
/// A suggestion that is wrong costs a glance. A mend that the program makes by itself must be one that every
/// knitter would accept, so much more is asked of it: one candidate alone is a single slip away (two
/// neighbours exchanged, a letter too many, missing or wrong), and the slip is of a kind that makes no other
/// name. A letter at the end of a name often tells two things apart (`front-a`, `front-b`), and so does a
/// digit; there a name is as likely one that is not declared yet.
///
///     nearest_names("skk", ...)              skp and ssk: each a letter away
///     certain_name("klep", {kelp, lamp})     kelp
///     certain_name("front-b", {front-a})     nothing
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace wale {

/// The candidates nearest to `word` by edits, at most three of those equally near, in their order; none where
/// none is near enough to be a slip of the fingers.
std::vector<std::string> nearest_names(std::string_view word, const std::vector<std::string>& candidates);
/// The first of them.
std::optional<std::string> nearest_name(std::string_view word, const std::vector<std::string>& candidates);

enum class Candidates {
  open,    ///< names that a pattern gives: a word that is none of them may be another thing
  closed,  ///< words of the language: nothing else can stand here
};

/// The one candidate for which `word` certainly stands: it differs in capitals alone, or by a single slip,
/// and no other candidate does. A word that is a candidate needs none.
std::optional<std::string> certain_name(std::string_view word, const std::vector<std::string>& candidates,
                                        Candidates what = Candidates::open);

/// Letters A to Z in lower case; other letters as they are.
std::string lower_case(std::string_view text);

}  // namespace wale
