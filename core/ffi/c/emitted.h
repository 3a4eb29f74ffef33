// What `milliglow emit` wrote.
#ifndef EMITTED_H
#define EMITTED_H

// Plays the begin of two scripts and says a hash of each channel's stream.
void emitted(void);

// Memory for luminaires, which others may use before.
extern unsigned char *const emitted_memory;
extern const unsigned emitted_bytes;

#endif
