// milliglow for C. Written by cbindgen from core/ffi/src; `MILLIGLOW_WRITE_HEADER=1 cargo test -p milliglow-ffi` writes it anew.
//
// Memory is the caller's: nothing is allocated, freed or kept beyond what a function says. Functions that can fail give 0
// or a negative MILLIGLOW_ERROR_...; then nothing has changed. Fractions (light, share, density, ratio) count 2^-32, and
// 0xFFFFFFFF stands for 1. Words hold 32 ticks, the earliest in the most significant bit.
//
// Interrupts: a luminaire, and a flux correction, belongs to one context at a time. A function "for any context" touches none.
// Pointers that are not NULL must be valid for what the function says; this cannot be checked.


#ifndef MILLIGLOW_H
#define MILLIGLOW_H

#include <stddef.h>
#include <stdint.h>

// RAM of a luminaire, of a table, of a recipe through knots, of a path and of a flux correction in bytes, and the alignment of all.
#define MILLIGLOW_LUMINAIRE_BYTES (96 + 4 * sizeof(void *) + 16 * (40 + 4 * sizeof(void *)))
#define MILLIGLOW_TABLE_BYTES 424
#define MILLIGLOW_KNOTS_BYTES 1160
#define MILLIGLOW_PATH_BYTES 2208
#define MILLIGLOW_FLUX_BYTES (2072 + 2 * sizeof(void *))
#define MILLIGLOW_ALIGNMENT sizeof(void *)


// The most channels of a luminaire.
#define MILLIGLOW_CHANNELS 16

// Equal ratios of light, with a depth and a tail to black.
#define MILLIGLOW_CURVE_EXPONENTIAL 0

// CIE 1976 lightness; depth and tail are ignored.
#define MILLIGLOW_CURVE_LIGHTNESS 1

// Light in proportion to Level; depth and tail are ignored.
#define MILLIGLOW_CURVE_LINEAR 2

// First order: the default.
#define MILLIGLOW_MODULATION_FIRST_ORDER 0

// First order with dither.
#define MILLIGLOW_MODULATION_DITHERED 1

// Second order.
#define MILLIGLOW_MODULATION_SECOND_ORDER 2

// Words that are a timer's PWM.
#define MILLIGLOW_MODULATION_TIMER 3

// Duties to the nearest step.
#define MILLIGLOW_ORDER_ROUNDING 0

// The error of a period goes into the next.
#define MILLIGLOW_ORDER_FIRST 1

// Its sum goes along.
#define MILLIGLOW_ORDER_SECOND 2

// A timer without dither.
#define MILLIGLOW_NO_DITHER 255

// Any light is given as asked for.
#define MILLIGLOW_LOWEST_ANY 0

// Light below the lowest is lifted to it; Level 0 is off.
#define MILLIGLOW_LOWEST_CLAMP 1

// The luminaire goes off below the lowest light, and on again 2^-hysteresis_shift of it above.
#define MILLIGLOW_LOWEST_OFF 2

// Every channel is in the row of its own light.
#define MILLIGLOW_RANGES_OWN 0

// Every channel is in the highest row that any needs.
#define MILLIGLOW_RANGES_COMMON 1

// A pointer is NULL.
#define MILLIGLOW_ERROR_NULL -1

// The memory is smaller than the macro for it says.
#define MILLIGLOW_ERROR_SIZE -2

// The memory is not aligned to MILLIGLOW_ALIGNMENT.
#define MILLIGLOW_ERROR_ALIGNMENT -3

// Channels must be 1 to 16; 1 to 8 for port words of 8 bits.
#define MILLIGLOW_ERROR_CHANNELS -4

// The kind of a curve must be one of MILLIGLOW_CURVE_...
#define MILLIGLOW_ERROR_CURVE -5

// The kind of a modulation must be one of MILLIGLOW_MODULATION_..., and the order of a timer one of MILLIGLOW_ORDER_...
#define MILLIGLOW_ERROR_MODULATION -6

// The kind of a lowest light must be one of MILLIGLOW_LOWEST_...
#define MILLIGLOW_ERROR_LOWEST -7

// The range choice must be one of MILLIGLOW_RANGES_...
#define MILLIGLOW_ERROR_RANGE_CHOICE -8

// The settling must be one of MILLIGLOW_SETTLING_...
#define MILLIGLOW_ERROR_SETTLING -9

// Another value of a configuration is refused.
#define MILLIGLOW_ERROR_OTHER -10

// The depth of a curve must be 10 to 100 000.
#define MILLIGLOW_ERROR_DEPTH -16

// The tail of a curve must be 0 to 4 096 Levels.
#define MILLIGLOW_ERROR_TAIL_LEVELS -17

// A ratio must be at most 1, with a denominator above 0.
#define MILLIGLOW_ERROR_RATIO -18

// The shift of a dither must be 0 to 8.
#define MILLIGLOW_ERROR_DITHER_WIDTH -19

// A seed must not be 0.
#define MILLIGLOW_ERROR_SEED -20

// A decision must last 1, 2, 4, 8 or 16 ticks.
#define MILLIGLOW_ERROR_STRETCH -21

// Edges must take less than a decision, and last no longer than one.
#define MILLIGLOW_ERROR_EDGE -22

// A tick must be longer than 0 ps.
#define MILLIGLOW_ERROR_TICK -23

// A range ratio must be 1 to 1 024.
#define MILLIGLOW_ERROR_RANGE_RATIO -24

// A table must have 1 to 8 rows.
#define MILLIGLOW_ERROR_ROWS -25

// Rows must begin at light 0 and rise.
#define MILLIGLOW_ERROR_ROW_ORDER -26

// A row's full light must reach the next row, and the last row's full light.
#define MILLIGLOW_ERROR_ROW_FULL -27

// The shift of a table's hysteresis must be 1 to 15.
#define MILLIGLOW_ERROR_HYSTERESIS -28

// A timer must have 8 to 16 bits.
#define MILLIGLOW_ERROR_TIMER_BITS -29

// A channel's table must be made for the channel's modulation.
#define MILLIGLOW_ERROR_CORRECTION -30

// A recipe must have 1 to 16 knots, their Levels rising.
#define MILLIGLOW_ERROR_KNOTS -31

// A path must have 1 to 8 recipes, each with control steps.
#define MILLIGLOW_ERROR_PATH -32

// The knots of flux must be 1 to 8, their temperatures rising by half a degree or more.
#define MILLIGLOW_ERROR_FLUX_TABLE -33

// A factor of flux must be 0.1 to 3.
#define MILLIGLOW_ERROR_FACTOR -34

// A temperature must be -60 to 350 degrees Celsius, that of a board -40 to 150.
#define MILLIGLOW_ERROR_TEMPERATURE -35

// Heating must be at most 10 kW, 1 000 K/W and together 200 K, with a time constant of 10 to 10 000 000 ms.
#define MILLIGLOW_ERROR_HEATING -36

// The period of a flux correction must be 100 to 10 000 ms.
#define MILLIGLOW_ERROR_CORRECTION_PERIOD -37

// A power cap must be a hundredth or more of the power of all channels.
#define MILLIGLOW_ERROR_POWER_CAP -38

// What the sensor of a board's temperature says when it says nothing.
#define MILLIGLOW_NO_TEMPERATURE INT32_MIN

// The most knots of a recipe.
#define MILLIGLOW_MOST_KNOTS 16

// The most recipes of a path, its last one included.
#define MILLIGLOW_MOST_LEGS 8

// The set point is there with the next tick.
#define MILLIGLOW_SETTLING_AT_ONCE 0

// The channel stays dark for settling_words words of 32 ticks, and gives the light that it owes afterwards.
#define MILLIGLOW_SETTLING_DARK 1

// The set point moves with a time constant of settling_ticks and has arrived after settling_words; the difference is made up for.
#define MILLIGLOW_SETTLING_BOOKED 2

// The header's version: 65 536 x major + 256 x minor + patch.
#define MILLIGLOW_VERSION 256

// A running flux correction.
typedef struct milliglow_flux milliglow_flux;

// A recipe as a function of Level.
typedef struct milliglow_knots milliglow_knots;

// A running luminaire.
typedef struct milliglow_luminaire milliglow_luminaire;

// Recipes on the way, each reached after control steps of its own.
typedef struct milliglow_path milliglow_path;

// An operating table.
typedef struct milliglow_table milliglow_table;

// A flux at a temperature of the junction.
typedef struct {
  // Thousandths of a degree Celsius, -60 000 to 350 000, at least 500 above the knot before.
  int32_t millicelsius;
  // Flux over the nominal one in millionths, 100 000 to 3 000 000.
  uint32_t flux_ppm;
} milliglow_flux_knot;

// What a correction knows of a channel; all zeros is nominal flux at any temperature.
typedef struct {
  // Flux over junction temperature, the lowest temperature first, straight lines between; they are copied.
  const milliglow_flux_knot *knots;
  // 1 to 8; 0 for nominal flux at any temperature.
  uint32_t knot_count;
  // This unit's flux over the nominal one in millionths, 100 000 to 3 000 000; 0 stands for 1 000 000.
  uint32_t bin_ppm;
  // Electrical power at full drive, 0 to 10 000 000.
  uint32_t milliwatts;
  // Thermal resistance from board to junction, 0 to 1 000 000: with the power at most 200 K.
  uint32_t millikelvin_per_watt;
  // Time constant of the junction, 10 to 10 000 000 ms; ignored without power.
  uint32_t time_constant_ms;
} milliglow_flux_channel;

// What a flux correction is made of.
typedef struct {
  // One a channel; they are copied.
  const milliglow_flux_channel *channels;
  // Channels of the luminaire, 1 to 16.
  uint32_t channel_count;
  // From milliglow_flux_step to milliglow_flux_step in ms, 100 to 10 000.
  uint32_t period_ms;
  // The board's temperature where the sensor says nothing sensible, in thousandths of a degree Celsius, -40 000 to 150 000.
  int32_t fallback_millicelsius;
  // A cap on the electrical power at full light, a hundredth of that of all channels or more; 0 for none.
  uint32_t cap_milliwatts;
} milliglow_flux_setting;

// What a recipe through knots is made of.
typedef struct {
  // The Level of each knot, rising; they are copied.
  const uint16_t *levels;
  // The shares of each knot in units of 2^-32, one a channel: those of the first knot, then those of the second; they are copied.
  const uint32_t *shares;
  // Knots, 1 to 16.
  uint32_t knot_count;
  // Channels of the luminaire, 1 to 16.
  uint8_t channels;
} milliglow_knots_setting;

// A dimming curve.
typedef struct {
  // Full light over lowest light, 10 to 100 000.
  uint32_t depth;
  // Levels of the tail to black, 0 (none) to 4 096.
  uint16_t tail_levels;
  // MILLIGLOW_CURVE_...
  uint8_t kind;
} milliglow_curve;

// What happens at the bottom.
typedef struct {
  // The lowest light in units of 2^-32.
  uint32_t light;
  // MILLIGLOW_LOWEST_...
  uint8_t kind;
  // 1 to 31, for MILLIGLOW_LOWEST_OFF.
  uint8_t hysteresis_shift;
} milliglow_lowest;

// How the density of a channel becomes a stream.
typedef struct {
  // MILLIGLOW_MODULATION_...
  uint8_t kind;
  // A dither of 2^-dither_shift steps, 0 to 8; for a timer also MILLIGLOW_NO_DITHER. Ignored without dither.
  uint8_t dither_shift;
  // Bits of a timer, 8 to 16; ignored for other kinds.
  uint8_t timer_bits;
  // MILLIGLOW_ORDER_... of a timer; ignored for other kinds.
  uint8_t timer_order;
} milliglow_modulation;

// What a luminaire is: may lie in flash.
typedef struct {
  // From Level to light.
  milliglow_curve curve;
  // What happens at the bottom.
  milliglow_lowest lowest;
  // Seed of the dither, not 0.
  uint32_t seed;
  // 1 to 16.
  uint8_t channels;
  // MILLIGLOW_RANGES_...
  uint8_t range_choice;
  // From density to stream, a channel each.
  milliglow_modulation modulation[MILLIGLOW_CHANNELS];
  // From channel light to range, stretch and density, a channel each: tables of milliglow_table_init, which channels may share and
  // which must outlive the luminaire, unchanged; NULL for an ideal driver of one range.
  const milliglow_table *tables[MILLIGLOW_CHANNELS];
} milliglow_configuration;

// What a path is made of.
typedef struct {
  // The control steps of the way to each recipe, at least 1; they are copied.
  const uint32_t *leg_steps;
  // The shares of each recipe in units of 2^-32, one a channel: those of the first recipe, then those of the second; they are copied.
  const uint32_t *leg_shares;
  // Recipes, 1 to 8.
  uint32_t leg_count;
  // Channels of the luminaire, 1 to 16.
  uint8_t channels;
} milliglow_path_setting;

// One row of an operating table.
typedef struct {
  // The channel light from which on the row is in force, in units of 2^-32.
  uint32_t from_light;
  // Full light of the channel over that of this range is ratio_numerator / ratio_denominator, 1 to 1 024.
  uint32_t ratio_numerator;
  // Above 0.
  uint32_t ratio_denominator;
  // Edges of the driver in picoseconds: from no current to full current,
  uint32_t rise_ps;
  // from full current to none,
  uint32_t fall_ps;
  // from switching on until the current begins to rise,
  uint32_t on_delay_ps;
  // from switching off until it begins to fall.
  uint32_t off_delay_ps;
  // Ticks a decision: 1, 2, 4, 8 or 16.
  uint8_t stretch_ticks;
  // Which set point of the driver: a number of the board's own.
  uint8_t range;
} milliglow_row;

// What an operating table is made of.
typedef struct {
  // Rows in the order of their light; they are copied.
  const milliglow_row *rows;
  // 1 to 8.
  uint32_t row_count;
  // The length of a tick in picoseconds, above 0; or in any unit that the times of the rows' edges are in as well.
  uint32_t tick_ps;
  // A row is left downwards 2^-hysteresis_shift of its light below where it begins; 1 to 15.
  uint8_t hysteresis_shift;
  // MILLIGLOW_SETTLING_...
  uint8_t settling;
  // See there.
  uint16_t settling_ticks;
  // See there.
  uint8_t settling_words;
  // The modulation of the channels that use the table.
  milliglow_modulation modulation;
} milliglow_table_setting;

#ifdef __cplusplus
extern "C" {
#endif // __cplusplus

// The name of an error without its prefix, such as "DEPTH"; "NONE" for 0 and "UNKNOWN" for what is no error. Never NULL, and valid
// for good. For any context.
const char *milliglow_error_name(int32_t error);

// Makes a flux correction in memory of at least MILLIGLOW_FLUX_BYTES, aligned to MILLIGLOW_ALIGNMENT; its handle goes to `flux`. Junctions
// begin as after a long dark. It divides: for set-up, and takes 6.2 KB of stack. For any context.
int32_t milliglow_flux_init(uint8_t *memory,
                            size_t bytes,
                            const milliglow_flux_setting *setting,
                            milliglow_flux **flux);

// One period on: the board's temperature in thousandths of a degree Celsius and the light of each channel since the step before, as
// milliglow_lights writes it. MILLIGLOW_NO_TEMPERATURE, and what no board has, counts as lost: the temperature in use then drifts to
// the fallback by a quarter of a degree a step, and back likewise. No division but that of the temperature; not for the tick interrupt.
int32_t milliglow_flux_step(milliglow_flux *flux,
                            int32_t board_millicelsius,
                            const uint32_t *lights);

// All junctions as warm as these lights make them when they last: for a start where the light was on before. Else as milliglow_flux_step.
int32_t milliglow_flux_settle(milliglow_flux *flux,
                              int32_t board_millicelsius,
                              const uint32_t *lights);

// Writes the shares whose channels give, as warm as they are, what these shares ask of nominal ones; all alike lower where one would be
// above full or the power above its cap, so that the colour stays. They go to milliglow_fade_to. Both may be the same memory. No division.
int32_t milliglow_flux_correct(const milliglow_flux *flux,
                               const uint32_t *shares,
                               uint32_t *corrected);

// Writes the temperature of each junction in thousandths of a degree Celsius, a 64th of a degree apart, rounded towards 0.
int32_t milliglow_flux_junctions(const milliglow_flux *flux,
                                 int32_t *millicelsius);

// How many steps had no sensible temperature, at most 65 535; 0 for NULL.
uint16_t milliglow_flux_lost_inputs(const milliglow_flux *flux);

// Makes a recipe through knots in memory of at least MILLIGLOW_KNOTS_BYTES, aligned to MILLIGLOW_ALIGNMENT; its handle goes to `knots`.
// It divides: for set-up. The memory must not be touched while a luminaire follows the knots. For any context.
int32_t milliglow_knots_init(uint8_t *memory,
                             size_t bytes,
                             const milliglow_knots_setting *setting,
                             milliglow_knots **knots);

// Sends the luminaire from where it is to a Level, as milliglow_fade_to does, and to the shares that the knots give there; from then on
// the shares follow the Level in every control step. The knots must outlive that. It divides: not for the tick interrupt.
int32_t milliglow_fade_along(milliglow_luminaire *luminaire,
                             uint16_t level,
                             const milliglow_knots *knots,
                             uint32_t control_steps);

// The light of a Level on the luminaire's curve, in units of 2^-32; 0 for NULL. For any context: a curve never changes.
uint32_t milliglow_light_of_level(const milliglow_luminaire *luminaire,
                                  uint16_t level);

// The highest Level whose light is not above this light; 0 for NULL. Sixteen times the cost of milliglow_light_of_level. For any
// context.
uint16_t milliglow_level_of_light(const milliglow_luminaire *luminaire,
                                  uint32_t light);

// Writes numerator / denominator, 0 to 1, to the nearest 2^-32: for light and shares. It divides. For any context.
int32_t milliglow_fraction(uint32_t numerator,
                           uint32_t denominator,
                           uint32_t *fraction);

// Makes a luminaire in the dark, in memory of at least MILLIGLOW_LUMINAIRE_BYTES (1008 with pointers of 32 bits), aligned to
// MILLIGLOW_ALIGNMENT; its handle goes to `luminaire`. The configuration is copied, its tables are not.
//
// A luminaire of few channels takes the RAM, and in a control step nearly the cycles, of one of 16. For any context.
int32_t milliglow_init(uint8_t *memory,
                       size_t bytes,
                       const milliglow_configuration *configuration,
                       milliglow_luminaire **luminaire);

// The number of channels; 0 for NULL. For any context: it never changes.
uint32_t milliglow_channels(const milliglow_luminaire *luminaire);

// Sends the luminaire from where it is, in flight or not, to a Level (0 off, 65 535 full) and to shares (one a channel, in units of
// 2^-32) in so many control steps, 0 for the next one; all arrive together. It divides: not for the tick interrupt.
int32_t milliglow_fade_to(milliglow_luminaire *luminaire,
                          uint16_t level,
                          const uint32_t *shares,
                          uint32_t control_steps);

// One control step: moves Level and shares, and makes the densities of them. No division, bounded time.
int32_t milliglow_control_step(milliglow_luminaire *luminaire);

// Holds the fade where it is until milliglow_resume or the next target.
int32_t milliglow_pause(milliglow_luminaire *luminaire);

// Goes on after a pause; arrival is later by the control steps paused.
int32_t milliglow_resume(milliglow_luminaire *luminaire);

// Where the Level is now, 0 to 65 535; 0 for NULL.
uint16_t milliglow_level(const milliglow_luminaire *luminaire);

// Control steps to arrival, 0 when standing still; 0 for NULL.
uint32_t milliglow_remaining(const milliglow_luminaire *luminaire);

// Writes the set point of each channel's driver, a byte each: put them out as the first tick of the next words goes out.
int32_t milliglow_ranges(const milliglow_luminaire *luminaire,
                         uint8_t *ranges);

// Writes the density of each channel (ones a tick, in units of 2^-32, 0xFFFFFFFF an unbroken 1): for timers that make PWM.
int32_t milliglow_densities(const milliglow_luminaire *luminaire,
                            uint32_t *densities);

// Writes the light of each channel (share times the light of the Level, in units of 2^-32): for milliglow_flux_step. No division.
int32_t milliglow_lights(const milliglow_luminaire *luminaire,
                         uint32_t *lights);

// Makes a path in memory of at least MILLIGLOW_PATH_BYTES, aligned to MILLIGLOW_ALIGNMENT; its handle goes to `path`.
// It divides: for set-up. The memory must not be touched while a luminaire follows the path. For any context.
int32_t milliglow_path_init(uint8_t *memory,
                            size_t bytes,
                            const milliglow_path_setting *setting,
                            milliglow_path **path);

// Sends the luminaire from where it is to a Level, straight all the way, and through the recipes of a path to its last one; all
// arrive together. The path must outlive that. Not for the tick interrupt.
int32_t milliglow_fade_through(milliglow_luminaire *luminaire,
                               uint16_t level,
                               const milliglow_path *path);

// Writes the next ticks, 32 a word, the earliest in the most significant bit: `buffers` holds a pointer a channel, each to `words`
// words that overlap with no other's. No division; time in proportion to channels and words.
int32_t milliglow_fill(milliglow_luminaire *luminaire,
                       uint32_t *const *buffers,
                       size_t words);

// Writes 32 ticks a block as bytes of a port, a byte a tick, the earliest first: bit k is channel k. For up to 8 channels.
int32_t milliglow_port_words_8(milliglow_luminaire *luminaire,
                               uint8_t *ticks,
                               size_t blocks);

// The same in half words, for up to 16 channels.
int32_t milliglow_port_words_16(milliglow_luminaire *luminaire, uint16_t *ticks, size_t blocks);

// The same in words, for up to 16 channels.
int32_t milliglow_port_words_32(milliglow_luminaire *luminaire, uint32_t *ticks, size_t blocks);

// The same for a register that sets and resets pins: a one in the lower half sets pin k, one in the upper half resets it; pins of no
// channel are left as they are.
int32_t milliglow_set_reset_words(milliglow_luminaire *luminaire,
                                  uint32_t *ticks,
                                  size_t blocks);

// Makes an operating table in memory of at least MILLIGLOW_TABLE_BYTES, aligned to MILLIGLOW_ALIGNMENT; its handle goes to `table`.
// It divides: for set-up. The memory must not be touched while a luminaire uses the table. For any context.
int32_t milliglow_table_init(uint8_t *memory,
                             size_t bytes,
                             const milliglow_table_setting *setting,
                             milliglow_table **table);

// The library's version, to be compared with the header's MILLIGLOW_VERSION. For any context.
uint32_t milliglow_version(void);

#ifdef __cplusplus
}  // extern "C"
#endif  // __cplusplus

#endif  /* MILLIGLOW_H */
