// The script on a Cortex-M0 with nothing but a vector table. It speaks to the debugger, or the emulator, by semihosting.
#include <stdint.h>

#include "emitted.h"
#include "script.h"

extern uint32_t _stack_top, _data_begin, _data_end, _data_stored, _bss_begin, _bss_end;

static uint32_t semihosting(uint32_t operation, const void *argument) {
  register uint32_t r0 __asm__("r0") = operation;
  register const void *r1 __asm__("r1") = argument;
  __asm__ volatile("bkpt 0xAB" : "+r"(r0) : "r"(r1) : "memory");
  return r0;
}

// SYS_WRITE0 and SYS_EXIT of the Arm semihosting specification.
void say(const char *line) {
  semihosting(0x04, line);
  semihosting(0x04, "\n");
}

static void leave(uint32_t reason) {
  semihosting(0x18, (const void *)reason);
  for (;;) {
  }
}

void reset(void) {
  for (uint32_t *from = &_data_stored, *to = &_data_begin; to < &_data_end;) *to++ = *from++;
  for (uint32_t *to = &_bss_begin; to < &_bss_end;) *to++ = 0;
  script();
  emitted();
  leave(0x20026); // ADP_Stopped_ApplicationExit
}

static void fault(void) { leave(0x20023); } // ADP_Stopped_RunTimeErrorUnknown

__attribute__((section(".vectors"), used)) static const uintptr_t vectors[16] = {
    (uintptr_t)&_stack_top, (uintptr_t)reset, (uintptr_t)fault, (uintptr_t)fault,
};
