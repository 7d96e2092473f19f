#include "reader/confine.h"

#include <linux/audit.h>
#include <linux/filter.h>
#include <linux/seccomp.h>
#include <sys/prctl.h>
#include <sys/syscall.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstddef>
#include <new>

#include "exchange/sandbox.h"

namespace bight::reader {

namespace {

#if defined(__x86_64__)
constexpr unsigned kArchitecture = AUDIT_ARCH_X86_64;
#elif defined(__aarch64__)
constexpr unsigned kArchitecture = AUDIT_ARCH_AARCH64;
#else
constexpr unsigned kArchitecture = 0;
#endif

// Calls a reader never needs. Opening is among them: the file comes in on standard input.
constexpr long kForbidden[] = {
#ifdef SYS_open
    SYS_open,
    SYS_creat,
    SYS_fork,
    SYS_vfork,
    SYS_unlink,
    SYS_rename,
    SYS_mkdir,
    SYS_rmdir,
    SYS_link,
    SYS_symlink,
    SYS_chmod,
    SYS_chown,
#endif
    SYS_openat,
    SYS_openat2,
    SYS_execve,
    SYS_execveat,
    SYS_clone,
    SYS_clone3,
    SYS_socket,
    SYS_socketpair,
    SYS_connect,
    SYS_bind,
    SYS_listen,
    SYS_accept,
    SYS_accept4,
    SYS_ptrace,
    SYS_process_vm_readv,
    SYS_process_vm_writev,
    SYS_unlinkat,
    SYS_renameat2,
    SYS_mkdirat,
    SYS_linkat,
    SYS_symlinkat,
    SYS_fchmodat,
    SYS_fchownat,
    SYS_mount,
    SYS_bpf,
    SYS_io_uring_setup,
    SYS_memfd_create,
    SYS_keyctl,
    SYS_setrlimit,
    SYS_prlimit64,
    SYS_kill,
    SYS_tkill,
    SYS_pidfd_open,
    SYS_userfaultfd,
    SYS_perf_event_open};
constexpr std::size_t kNumForbidden = sizeof(kForbidden) / sizeof(kForbidden[0]);

[[noreturn]] void no_memory() { ::_exit(exchange::kExitMemory); }

}  // namespace

void end_on_refused_memory() { std::set_new_handler(no_memory); }

bool confine_process() {
  if (kArchitecture == 0) return false;
  constexpr unsigned kDeny = SECCOMP_RET_ERRNO | (EPERM & SECCOMP_RET_DATA);
  std::array<sock_filter, kNumForbidden + 6> program;
  std::size_t at = 0;
  const auto add = [&](unsigned code, unsigned value, std::size_t if_true, std::size_t if_false) {
    program[at++] = {static_cast<__u16>(code), static_cast<__u8>(if_true),
                     static_cast<__u8>(if_false), value};
  };
  // Another architecture's numbering would slip past the list.
  add(BPF_LD | BPF_W | BPF_ABS, offsetof(seccomp_data, arch), 0, 0);
  add(BPF_JMP | BPF_JEQ | BPF_K, kArchitecture, 1, 0);
  add(BPF_RET | BPF_K, SECCOMP_RET_KILL_PROCESS, 0, 0);
  add(BPF_LD | BPF_W | BPF_ABS, offsetof(seccomp_data, nr), 0, 0);
  for (std::size_t i = 0; i < kNumForbidden; ++i) {
    add(BPF_JMP | BPF_JEQ | BPF_K, static_cast<unsigned>(kForbidden[i]), kNumForbidden - i, 0);
  }
  add(BPF_RET | BPF_K, SECCOMP_RET_ALLOW, 0, 0);
  add(BPF_RET | BPF_K, kDeny, 0, 0);
  const sock_fprog filter{static_cast<unsigned short>(at), program.data()};
  if (::prctl(PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0) != 0) return false;
  return ::prctl(PR_SET_SECCOMP, SECCOMP_MODE_FILTER, &filter) == 0;
}

}  // namespace bight::reader
