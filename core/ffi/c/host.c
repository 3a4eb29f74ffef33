// The script on a host.
#include <stdio.h>

#include "emitted.h"
#include "script.h"

void say(const char *line) { puts(line); }

int main(void) {
  script();
  emitted();
  return 0;
}
