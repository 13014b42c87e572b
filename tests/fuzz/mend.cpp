// Any bytes mended as `wale check --fix` does it: it ends, is right the second time, and loses no
// comment.
#include "compiler/mend.hpp"

#include "tests/fuzz/target.hpp"

using namespace wale;

namespace {

/// In their order, each with at most a sign more before it: a dash that began a comment becomes two hyphens.
bool holds(const std::vector<std::string>& after, const std::vector<std::string>& before) {
  std::size_t next = 0;
  for (const std::string& comment : after)
    if (next < before.size() && comment.ends_with(before[next])) ++next;
  return next == before.size();
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const Source before("f.wale", fuzz::text_of(data, size), 1);
  const Mended once = mend(before, files_in_memory({}), fuzz::effort);
  show(once.changes, before.name());
  if (once.changes.empty()) {
    fuzz::must(once.source.text() == before.text(), "it changed, and no change is told");
    return 0;
  }
  fuzz::must(holds(fuzz::comments_of(once.source), fuzz::comments_of(before)), "a comment is lost");
  // What needs more rounds than are made goes on.
  if (!once.ended) return 0;
  const Mended twice = mend(once.source, files_in_memory({}), fuzz::effort);
  fuzz::must(twice.changes.empty() && twice.source.text() == once.source.text(),
             "it is mended otherwise the second time");
  return 0;
}
