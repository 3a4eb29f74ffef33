// What the example program says, on a host and on a microcontroller.
#ifndef SCRIPT_H
#define SCRIPT_H

// Puts out a line without its end: by the platform.
void say(const char *line);

// Plays a five-channel luminaire and one of sixteen; says what came of it.
void script(void);

#endif
