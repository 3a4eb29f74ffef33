// What `milliglow emit` wrote.
#ifndef EMITTED_H
#define EMITTED_H

// Plays the begin of two scripts and says a hash of each channel's stream.
void emitted(void);

#endif
