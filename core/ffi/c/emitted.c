// Luminaires as `milliglow emit --language c` writes them, on the begin of their scripts, told as a line a channel.
#include "emitted.h"

#include "aisle_marker.h"
#include "cove_light.h"
#include "script.h"

#define MOST_CHANNELS 5

// Control steps and words take turns: a step takes effect with the first word that begins at or after it.
typedef struct {
  milliglow_luminaire *lamp;
  unsigned channels;
  // A word in ticks over the control rate; a control step in the same is the tick rate.
  uint32_t word, step, rest;
  uint32_t hashes[MOST_CHANNELS];
} stream;

static bool control_step(stream *to) {
  static uint32_t words[MOST_CHANNELS];
  uint32_t *const buffers[MOST_CHANNELS] = {&words[0], &words[1], &words[2], &words[3], &words[4]};
  bool well = milliglow_control_step(to->lamp) == 0;
  for (to->rest += to->step; to->rest >= to->word; to->rest -= to->word) {
    well &= milliglow_fill(to->lamp, buffers, 1) == 0;
    for (unsigned k = 0; k < to->channels; k++) to->hashes[k] = hashed(to->hashes[k], &words[k], 1);
  }
  return well;
}

static void say_all(const stream *of, bool well) {
  for (unsigned k = 0; k < of->channels; k++) say_number(well ? "channel" : "failed", of->hashes[k]);
}

// One after the other.
static union {
  cove_light_memory cove_light;
  aisle_marker_memory aisle_marker;
} all;
unsigned char *const emitted_memory = (unsigned char *)&all;
const unsigned emitted_bytes = sizeof all;

// The same for each luminaire, whose types differ.
#define PLAY(name, NAME, most_steps)                                                                                \
  static void play_##name(void) {                                                                                   \
    name##_memory *const memory = &all.name;                                                                        \
    bool well = name##_init(memory) == 0;                                                                          \
    stream to = {memory->luminaire, NAME##_CHANNELS, 32 * NAME##_STEPS_HZ, NAME##_TICK_HZ, 0, {0}};                 \
    for (unsigned k = 0; k < MOST_CHANNELS; k++) to.hashes[k] = HASH_OF_NOTHING;                                     \
    uint32_t fade = 0, left = 0;                                                                                    \
    for (uint32_t done = 0; done < (most_steps); done++, left--) {                                                  \
      if (!left) {                                                                                                  \
        well &= name##_begin(memory, fade) == 0;                                                                   \
        left = name##_script[fade++].control_steps;                                                                 \
      }                                                                                                             \
      well &= control_step(&to);                                                                                    \
    }                                                                                                               \
    well &= name##_begin(memory, NAME##_FADES) == MILLIGLOW_ERROR_OTHER;                                           \
    say_all(&to, well);                                                                                             \
  }

PLAY(cove_light, COVE_LIGHT, 4500)
PLAY(aisle_marker, AISLE_MARKER, 3500)

// What the correction of the cove light makes of full shares after a warm second.
static void flux(void) {
  milliglow_flux *flux;
  uint32_t shares[COVE_LIGHT_CHANNELS], full[COVE_LIGHT_CHANNELS];
  for (unsigned k = 0; k < COVE_LIGHT_CHANNELS; k++) full[k] = 0xFFFFFFFFu;
  bool well = milliglow_flux_init(emitted_memory, emitted_bytes, &cove_light_flux_correction, &flux) == 0;
  for (uint32_t ms = 0; ms < 1000; ms += COVE_LIGHT_CORRECTION_MS) well &= milliglow_flux_step(flux, 55000, full) == 0;
  well &= milliglow_flux_correct(flux, full, shares) == 0;
  for (unsigned k = 0; k < COVE_LIGHT_CHANNELS; k++) say_number(well ? "share" : "failed", shares[k]);
}

void emitted(void) {
  play_cove_light();
  play_aisle_marker();
  flux();
}
