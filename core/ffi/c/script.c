// An invented luminaire of five channels on port words, its fades and its refusals, told as lines "what value".
#include "script.h"

#include <stdalign.h>
#include <stdbool.h>
#include <stdint.h>

#include "milliglow.h"

// Memory of the program's own, in bytes.
#define MEMORY(name, size) static alignas(MILLIGLOW_ALIGNMENT) unsigned char name[size]

MEMORY(lamp_memory, MILLIGLOW_LUMINAIRE_BYTES);
MEMORY(other_memory, MILLIGLOW_LUMINAIRE_BYTES + 1);
MEMORY(table_memory, MILLIGLOW_TABLE_BYTES);
MEMORY(knots_memory, MILLIGLOW_KNOTS_BYTES);

void say_number(const char *what, uint32_t number) {
  char line[64];
  unsigned length = 0;
  while (*what && length < 48) line[length++] = *what++;
  line[length++] = ' ';
  for (int shift = 28; shift >= 0; shift -= 4) line[length++] = "0123456789abcdef"[number >> shift & 15];
  line[length] = 0;
  say(line);
}

void say_error(const char *what, int32_t error) {
  char line[64];
  unsigned length = 0;
  while (*what && length < 30) line[length++] = *what++;
  line[length++] = ' ';
  for (const char *name = milliglow_error_name(error); *name && length < 63;) line[length++] = *name++;
  line[length] = 0;
  say(line);
}

uint32_t hashed(uint32_t hash, const uint32_t *words, unsigned count) {
  for (unsigned k = 0; k < count; k++) hash = (hash ^ words[k]) * 16777619u;
  return hash;
}

// Below 1/16 of full light an eighth of the current, above it all of it and four ticks a decision.
static const milliglow_row rows[] = {
    {.ratio_numerator = 8, .ratio_denominator = 1, .rise_ps = 200000, .fall_ps = 80000, .stretch_ticks = 1, .range = 1},
    {.from_light = 1u << 28, .ratio_numerator = 1, .ratio_denominator = 1, .stretch_ticks = 4, .range = 0},
};

static const milliglow_table_setting table_setting = {
    .rows = rows,
    .row_count = 2,
    .tick_ps = 333333,
    .hysteresis_shift = 4,
    .settling = MILLIGLOW_SETTLING_AT_ONCE,
    .modulation = {.kind = MILLIGLOW_MODULATION_FIRST_ORDER},
};

static milliglow_configuration five_channels(const milliglow_table *table) {
  return (milliglow_configuration){
      .curve = {.kind = MILLIGLOW_CURVE_EXPONENTIAL, .depth = 1000, .tail_levels = 2048},
      .lowest = {.kind = MILLIGLOW_LOWEST_ANY},
      .seed = 1,
      .channels = 5,
      .range_choice = MILLIGLOW_RANGES_OWN,
      .modulation = {[2] = {.kind = MILLIGLOW_MODULATION_DITHERED, .dither_shift = 1},
                     [3] = {.kind = MILLIGLOW_MODULATION_SECOND_ORDER},
                     [4] = {.kind = MILLIGLOW_MODULATION_TIMER,
                            .dither_shift = MILLIGLOW_NO_DITHER,
                            .timer_bits = 8,
                            .timer_order = MILLIGLOW_ORDER_FIRST}},
      .tables = {table, table},
  };
}

static const uint32_t amber[] = {0xFFFFFFFFu, 0x80000000u, 0x0CCCCCCDu, 0x40000000u, 0x20000000u};
static const uint32_t cold[] = {0x10000000u, 0xFFFFFFFFu, 0x40000000u, 0xC0000000u, 0xFFFFFFFFu};

// Knots whose Levels do not rise, none of them, and knots for a luminaire of other channels.
static void knot_refusals(milliglow_luminaire *lamp) {
  static const uint16_t levels[] = {100, 100};
  static const uint32_t shares[] = {1, 2, 3, 4};
  milliglow_knots_setting setting = {.levels = levels, .shares = shares, .knot_count = 2, .channels = 2};
  milliglow_knots *knots = 0;
  say_error("knots", milliglow_knots_init(knots_memory, sizeof knots_memory, &setting, &knots));
  setting.knot_count = 0;
  say_error("knots", milliglow_knots_init(knots_memory, sizeof knots_memory, &setting, &knots));
  say_error("no_knots", milliglow_fade_along(lamp, 0, knots, 0));
  setting.knot_count = 1;
  say_error("knots", milliglow_knots_init(knots_memory, sizeof knots_memory, &setting, &knots));
  say_error("channels", milliglow_fade_along(lamp, 0, knots, 0));
}

static void refusals(const milliglow_table *table) {
  milliglow_luminaire *lamp;
  milliglow_configuration bad = five_channels(table);
  unsigned char *memory = other_memory;
  say_error("too_small", milliglow_init(memory, MILLIGLOW_LUMINAIRE_BYTES / 2, &bad, &lamp));
  say_error("not_aligned", milliglow_init(memory + 1, MILLIGLOW_LUMINAIRE_BYTES, &bad, &lamp));
  say_error("no_memory", milliglow_init(0, MILLIGLOW_LUMINAIRE_BYTES, &bad, &lamp));
  bad.channels = 17;
  say_error("channels", milliglow_init(memory, MILLIGLOW_LUMINAIRE_BYTES, &bad, &lamp));
  bad = five_channels(table);
  bad.curve.depth = 5;
  say_error("depth", milliglow_init(memory, MILLIGLOW_LUMINAIRE_BYTES, &bad, &lamp));
  bad = five_channels(table);
  bad.seed = 0;
  say_error("seed", milliglow_init(memory, MILLIGLOW_LUMINAIRE_BYTES, &bad, &lamp));
  bad = five_channels(table);
  bad.tables[2] = table; // made for first order, and the channel has dither
  say_error("table", milliglow_init(memory, MILLIGLOW_LUMINAIRE_BYTES, &bad, &lamp));
  say_error("no_luminaire", milliglow_control_step(0));
}

// The streams of a fade, drawn as words and as words of the port by turns.
static void play(milliglow_luminaire *lamp, const char *name, unsigned control_steps) {
  static uint32_t words[5][2], port[64];
  static uint16_t half_words[64];
  static uint8_t bytes[64];
  uint32_t *const buffers[5] = {words[0], words[1], words[2], words[3], words[4]};
  uint32_t hash = HASH_OF_NOTHING;
  bool well = true;
  for (unsigned k = 0; k < control_steps; k++) {
    uint32_t densities[5];
    uint8_t ranges[5];
    well &= milliglow_control_step(lamp) == 0 && milliglow_densities(lamp, densities) == 0;
    well &= milliglow_ranges(lamp, ranges) == 0;
    hash = hashed(hash, densities, 5);
    for (unsigned channel = 0; channel < 5; channel++) hash = hashed(hash, &(uint32_t){ranges[channel]}, 1);
    well &= milliglow_fill(lamp, buffers, 2) == 0;
    hash = hashed(hash, words[0], 10);
    well &= milliglow_port_words_8(lamp, bytes, 2) == 0 && milliglow_port_words_16(lamp, half_words, 2) == 0;
    for (unsigned tick = 0; tick < 64; tick++) hash = hashed(hash, &(uint32_t){bytes[tick]}, 1);
    for (unsigned tick = 0; tick < 64; tick++) hash = hashed(hash, &(uint32_t){half_words[tick]}, 1);
    well &= milliglow_port_words_32(lamp, port, 2) == 0;
    hash = hashed(hash, port, 64);
    well &= milliglow_set_reset_words(lamp, port, 2) == 0;
    hash = hashed(hash, port, 64);
  }
  say_number(name, hash);
  say_number("well", well);
  say_number("level", milliglow_level(lamp));
  say_number("remaining", milliglow_remaining(lamp));
}

static void five(void) {
  milliglow_table *table;
  milliglow_luminaire *lamp;
  say_error("table_init", milliglow_table_init(table_memory, sizeof table_memory, &table_setting, &table));
  const milliglow_configuration configuration = five_channels(table);
  say_error("init", milliglow_init(lamp_memory, sizeof lamp_memory, &configuration, &lamp));
  refusals(table);
  knot_refusals(lamp);
  say_number("channels", milliglow_channels(lamp));
  say_error("fade_to", milliglow_fade_to(lamp, 65535, amber, 200));
  play(lamp, "rising", 150);
  say_error("pause", milliglow_pause(lamp));
  play(lamp, "paused", 5);
  say_error("resume", milliglow_resume(lamp));
  play(lamp, "arriving", 60);
  say_error("fade_to", milliglow_fade_to(lamp, 0, cold, 100));
  play(lamp, "falling", 110);
  uint32_t percent = 0;
  say_error("fraction", milliglow_fraction(1, 100, &percent));
  say_number("percent", percent);
  say_number("its_level", milliglow_level_of_light(lamp, percent));
  say_number("light", milliglow_light_of_level(lamp, 12345));
}

static void sixteen(void) {
  milliglow_luminaire *lamp;
  const milliglow_configuration configuration = {
      .curve = {.kind = MILLIGLOW_CURVE_LIGHTNESS},
      .seed = 7,
      .channels = 16,
  };
  say_error("init", milliglow_init(lamp_memory, sizeof lamp_memory, &configuration, &lamp));
  uint32_t shares[16];
  for (unsigned k = 0; k < 16; k++) shares[k] = 0x0FEDCBA9u * (k + 1);
  say_error("fade_to", milliglow_fade_to(lamp, 30000, shares, 0));
  say_error("control_step", milliglow_control_step(lamp));
  static uint16_t port[128];
  static uint8_t bytes[32];
  say_error("port", milliglow_port_words_16(lamp, port, 4));
  uint32_t hash = HASH_OF_NOTHING;
  for (unsigned tick = 0; tick < 128; tick++) hash = hashed(hash, &(uint32_t){port[tick]}, 1);
  say_number("sixteen", hash);
  say_error("bytes", milliglow_port_words_8(lamp, bytes, 1));
}

void script(void) {
  say_number("version", milliglow_version());
  say_number("same_version", milliglow_version() == MILLIGLOW_VERSION);
  five();
  sixteen();
  flux_script();
}
