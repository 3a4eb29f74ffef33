// The least program: what the snippets of README build.
#include <stdint.h>

#include "milliglow.h"

extern uint32_t _stack_top;

void reset(void) {
  for (;;) (void)milliglow_version();
}

__attribute__((section(".vectors"), used)) static const uintptr_t vectors[2] = {(uintptr_t)&_stack_top, (uintptr_t)reset};
