// What the example program says, on a host and on a microcontroller.
#ifndef SCRIPT_H
#define SCRIPT_H

#include <stdint.h>

// Puts out a line without its end: by the platform.
void say(const char *line);

// Says "what" and a number of eight hexadecimal digits.
void say_number(const char *what, uint32_t number);

// Says "what" and the name of an error.
void say_error(const char *what, int32_t error);

// FNV-1a over words.
uint32_t hashed(uint32_t hash, const uint32_t *words, unsigned count);
#define HASH_OF_NOTHING 2166136261u

// Plays a five-channel luminaire, one of sixteen and a flux correction; says what came of it.
void script(void);
void flux_script(void);

#endif
