#include "compiler/standard_streams.hpp"

#include <fcntl.h>
#include <unistd.h>

#include <cerrno>
#include <csignal>
#include <cstdio>
#include <cstring>
#include <system_error>

namespace wale {

namespace {

/// A closed stream is given a number here that no other file can have then.
void keep_open(int stream, int mode) {
  if (::fcntl(stream, F_GETFD) == -1 && errno == EBADF) {
    const int opened = ::open("/dev/null", mode);
    if (opened > STDERR_FILENO) ::close(opened);
  }
}

constexpr const char* output_lost = "standard output cannot be written: ";

void say_plainly(const char* what, const char* why) noexcept {
  for (const char* words : {"wale: ", what, why, "\n"}) std::fputs(words, stderr);
}

}  // namespace

void prepare_standard_streams() {
  // In this order: what is opened gets the lowest number that is free.
  keep_open(STDIN_FILENO, O_RDONLY);
  keep_open(STDOUT_FILENO, O_RDONLY);  // what is written there is lost, and shall fail
  keep_open(STDERR_FILENO, O_WRONLY);
  std::signal(SIGPIPE, SIG_IGN);
  std::signal(SIGXFSZ, SIG_IGN);
}

void say_at_the_end(const std::exception& why) noexcept {
  const auto* of_system = dynamic_cast<const std::system_error*>(&why);
  if (of_system && of_system->code() == std::errc::broken_pipe) return;
  const bool of_output = of_system && std::ferror(stdout) != 0;
  say_plainly(of_output ? output_lost : "",
              of_output ? std::strerror(of_system->code().value()) : why.what());
}

bool finish_standard_output() noexcept {
  const bool failed_before = std::ferror(stdout) != 0;
  const bool failed = std::fflush(stdout) != 0;
  const int problem = errno;
  if (!failed && !failed_before) return true;
  if (failed && problem != EPIPE) say_plainly(output_lost, std::strerror(problem));
  return false;
}

}  // namespace wale
