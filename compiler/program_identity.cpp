#include "compiler/program_identity.hpp"

#include <elf.h>
#include <fmt/format.h>
#include <link.h>
#include <sys/stat.h>

#include <cstring>

namespace wale {

namespace {

/// A note is three numbers, a name and a value, both filled up to whole words.
std::string build_id(const char* note, const char* end) {
  const auto filled = [](std::size_t size) { return (size + 3) / 4 * 4; };
  while (note + sizeof(ElfW(Nhdr)) <= end) {
    ElfW(Nhdr) head;
    std::memcpy(&head, note, sizeof head);
    const char* name = note + sizeof head;
    const char* value = name + filled(head.n_namesz);
    if (value + head.n_descsz > end) break;
    if (head.n_type == NT_GNU_BUILD_ID && head.n_namesz == 4 && std::memcmp(name, "GNU", 4) == 0) {
      std::string out;
      for (std::size_t i = 0; i < head.n_descsz; ++i)
        out += fmt::format("{:02x}", static_cast<unsigned char>(value[i]));
      return out;
    }
    note = value + filled(head.n_descsz);
  }
  return {};
}

int look_through(dl_phdr_info* program, std::size_t, void* out) {
  for (int i = 0; i < program->dlpi_phnum; ++i) {
    const ElfW(Phdr)& part = program->dlpi_phdr[i];
    if (part.p_type != PT_NOTE) continue;
    const char* begin = reinterpret_cast<const char*>(program->dlpi_addr + part.p_vaddr);
    const std::string id = build_id(begin, begin + part.p_memsz);
    if (!id.empty()) *static_cast<std::string*>(out) = id;
  }
  return 1;  // the first is the program itself
}

}  // namespace

std::string program_identity() {
  std::string id;
  ::dl_iterate_phdr(look_through, &id);
  struct stat facts {};
  if (id.empty() && ::stat("/proc/self/exe", &facts) == 0)
    id = fmt::format("{} {}.{}", facts.st_size, facts.st_mtim.tv_sec, facts.st_mtim.tv_nsec);
  return fmt::format("{} {}", WALE_VERSION, id);
}

}  // namespace wale
