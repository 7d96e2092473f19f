#include "records/files.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>

namespace bight::records {

namespace {

using base::Done;
using base::Failure;
using base::Status;

Failure not_written(const std::filesystem::path& path, const std::string& code, int error) {
  return Failure{code, path.string(),
                 fmt::format("The file cannot be written: {}.", std::strerror(error)),
                 "Look whether the folder is there, may be written and has room."};
}

// fsync of a file or folder; 0 or the error.
int brought_to_disk(const std::filesystem::path& path) {
  const int file = ::open(path.c_str(), O_RDONLY | O_CLOEXEC);
  if (file < 0) return errno;
  const int error = ::fsync(file) == 0 ? 0 : errno;
  ::close(file);
  // Some network disks cannot be told; they have it when they said so on closing.
  return error == EINVAL ? 0 : error;
}

}  // namespace

std::filesystem::path unfinished(const std::filesystem::path& path) {
  return std::filesystem::path(path) += ".unfinished";
}

Status finish_file(const std::filesystem::path& path, const std::string& code) {
  const std::filesystem::path from = unfinished(path);
  int error = brought_to_disk(from);
  if (error == 0 && ::rename(from.c_str(), path.c_str()) != 0) error = errno;
  if (error == 0) {
    std::error_code ignored;
    error = brought_to_disk(std::filesystem::absolute(path, ignored).parent_path());
  }
  if (error == 0) return Done{};
  discard(from);
  return not_written(path, code, error);
}

Status write_whole(const std::filesystem::path& path, const std::string& bytes,
                   const std::string& code) {
  const std::filesystem::path to = unfinished(path);
  const int file = ::open(to.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0666);
  if (file < 0) return not_written(path, code, errno);
  for (std::size_t done = 0; done < bytes.size();) {
    const ssize_t written = ::write(file, bytes.data() + done, bytes.size() - done);
    if (written > 0) {
      done += static_cast<std::size_t>(written);
    } else if (errno != EINTR) {
      const int error = errno;
      ::close(file);
      discard(to);
      return not_written(path, code, error);
    }
  }
  if (::close(file) != 0) return not_written(path, code, errno);
  return finish_file(path, code);
}

void discard(const std::filesystem::path& path) {
  std::error_code ignored;
  std::filesystem::remove(path, ignored);
}

}  // namespace bight::records
