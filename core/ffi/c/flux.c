// A flux correction of an invented luminaire of three channels, told as lines "what value".
#include <stdbool.h>

#include "emitted.h"
#include "milliglow.h"
#include "script.h"

#define FLUX_BYTES MILLIGLOW_FLUX_BYTES
#define LAMP_BYTES MILLIGLOW_LUMINAIRE_BYTES

// Red falls with warmth, blue hardly, and the third channel keeps its flux.
static const milliglow_flux_knot red[] = {{-20000, 1350000}, {25000, 1000000}, {85000, 530000}, {125000, 300000}};
static const milliglow_flux_knot blue[] = {{25000, 1000000}, {85000, 950000}};
static const milliglow_flux_channel channels[] = {
    {.knots = red, .knot_count = 4, .bin_ppm = 930000, .milliwatts = 3000, .millikelvin_per_watt = 10000, .time_constant_ms = 8000},
    {.knots = blue, .knot_count = 2, .milliwatts = 2500, .millikelvin_per_watt = 8000, .time_constant_ms = 5000},
    {0},
};
static const milliglow_flux_setting three = {
    .channels = channels,
    .channel_count = 3,
    .period_ms = 100,
    .fallback_millicelsius = 45000,
    .cap_milliwatts = 4000,
};

static void refusals(unsigned char *flux_memory) {
  milliglow_flux *flux = 0;
  milliglow_flux_setting bad = three;
  milliglow_flux_channel channel = channels[0];
  say_error("flux_memory", milliglow_flux_init(0, FLUX_BYTES, &three, &flux));
  say_error("flux_memory", milliglow_flux_init(flux_memory, FLUX_BYTES / 2, &three, &flux));
  say_error("flux_memory", milliglow_flux_init(flux_memory + 1, FLUX_BYTES, &three, &flux));
  bad.channel_count = 17;
  say_error("flux", milliglow_flux_init(flux_memory, FLUX_BYTES, &bad, &flux));
  bad = three;
  bad.period_ms = 99;
  say_error("flux", milliglow_flux_init(flux_memory, FLUX_BYTES, &bad, &flux));
  bad = three;
  bad.fallback_millicelsius = MILLIGLOW_NO_TEMPERATURE;
  say_error("flux", milliglow_flux_init(flux_memory, FLUX_BYTES, &bad, &flux));
  bad = three;
  bad.cap_milliwatts = 1;
  say_error("flux", milliglow_flux_init(flux_memory, FLUX_BYTES, &bad, &flux));
  bad = (milliglow_flux_setting){.channels = &channel, .channel_count = 1, .period_ms = 100};
  channel.knot_count = 9;
  say_error("flux", milliglow_flux_init(flux_memory, FLUX_BYTES, &bad, &flux));
  channel = channels[0];
  channel.bin_ppm = 99999;
  say_error("flux", milliglow_flux_init(flux_memory, FLUX_BYTES, &bad, &flux));
  channel = channels[0];
  channel.time_constant_ms = 9;
  say_error("flux", milliglow_flux_init(flux_memory, FLUX_BYTES, &bad, &flux));
  say_error("no_flux", milliglow_flux_correct(flux, 0, 0));
  say_number("lost", milliglow_flux_lost_inputs(flux));
}

// A minute in which the board warms and its sensor fails now and then; half way the light comes on as after a restart.
static void play(milliglow_flux *flux, milliglow_luminaire *lamp) {
  static const uint32_t asked[] = {0xC0000000u, 0xFFFFFFFFu, 0x20000000u};
  uint32_t hash = HASH_OF_NOTHING, shares[3], lights[3];
  int32_t junctions[3], board = 20000;
  bool well = true;
  for (unsigned k = 0; k < 600; k++, board += 90) {
    well &= milliglow_flux_correct(flux, asked, shares) == 0;
    well &= milliglow_fade_to(lamp, 65535 - 50 * k, shares, 0) == 0 && milliglow_control_step(lamp) == 0;
    well &= milliglow_lights(lamp, lights) == 0;
    const int32_t measured = k % 50 == 40 ? MILLIGLOW_NO_TEMPERATURE : board;
    well &= (k == 300 ? milliglow_flux_settle : milliglow_flux_step)(flux, measured, lights) == 0;
    well &= milliglow_flux_junctions(flux, junctions) == 0;
    hash = hashed(hashed(hash, shares, 3), lights, 3);
    for (unsigned channel = 0; channel < 3; channel++) hash = hashed(hash, &(uint32_t){junctions[channel]}, 1);
  }
  say_number("corrected", hash);
  say_number("well", well);
  say_number("lost", milliglow_flux_lost_inputs(flux));
  for (unsigned channel = 0; channel < 3; channel++) say_number("share", shares[channel]);
}

void flux_script(void) {
  milliglow_flux *flux;
  milliglow_luminaire *lamp;
  const milliglow_configuration configuration = {.curve = {.kind = MILLIGLOW_CURVE_LINEAR}, .seed = 1, .channels = 3};
  unsigned char *const flux_memory = emitted_memory, *const lamp_memory = emitted_memory + FLUX_BYTES;
  say_number("memory", emitted_bytes >= FLUX_BYTES + LAMP_BYTES);
  refusals(flux_memory);
  say_error("init", milliglow_init(lamp_memory, LAMP_BYTES, &configuration, &lamp));
  say_error("flux_init", milliglow_flux_init(flux_memory, FLUX_BYTES, &three, &flux));
  play(flux, lamp);
}
