// What the helper gives up before it looks at an untrusted file.
#pragma once

namespace bight::reader {

// Ends the process with exchange::kExitMemory whenever memory is refused.
void end_on_refused_memory();

// Forbids this process to open or create files, to reach the network, to start or trace other
// processes and to gain rights; refused calls fail with EPERM. What is already open stays usable.
// False when the kernel knows no system-call filters; the limits set by the parent hold anyway.
bool confine_process();

}  // namespace bight::reader
