//! One test a kind of error: the place, the key, what is allowed, and what would mend it.

use crate::LEAST;
use milliglow_sim::description::{Problem, parse, read};
use std::path::Path;

/// A change of the least file; `^` in `to` marks the place that the problem must name.
struct Case {
    from: &'static str,
    to: &'static str,
    title: &'static str,
    key: &'static str,
    allowed: &'static str,
    help: &'static str,
}

const fn case(
    from: &'static str,
    to: &'static str,
    title: &'static str,
    key: &'static str,
) -> Case {
    Case {
        from,
        to,
        title,
        key,
        allowed: "",
        help: "",
    }
}

impl Case {
    const fn allowed(mut self, allowed: &'static str) -> Self {
        self.allowed = allowed;
        self
    }

    const fn help(mut self, help: &'static str) -> Self {
        self.help = help;
        self
    }

    fn assert(&self) {
        assert!(LEAST.contains(self.from), "{}", self.from);
        let marked = LEAST.replacen(self.from, self.to, 1);
        let (before, after) = marked.split_once('^').unwrap();
        let line =
            before.lines().count() + usize::from(before.is_empty() || before.ends_with('\n'));
        let column = before.chars().rev().take_while(|c| *c != '\n').count() + 1;
        let problem = parse(&format!("{before}{after}"), "my.toml").expect_err(self.to);
        let shown = problem.render(false);
        assert_eq!(problem.title(), self.title, "{shown}");
        assert_eq!(
            (problem.line(), problem.column()),
            (Some(line), Some(column)),
            "{shown}"
        );
        assert_eq!(problem.key().unwrap_or(""), self.key, "{shown}");
        assert_eq!(
            problem.allowed_text().unwrap_or(""),
            self.allowed,
            "{shown}"
        );
        assert_eq!(problem.help_text().unwrap_or(""), self.help, "{shown}");
        assert_shown(&problem, &format!("my.toml:{line}:{column}"));
    }
}

fn assert_shown(problem: &Problem, place: &str) {
    let shown = problem.render(false);
    let help = problem.help_text().unwrap_or("").lines();
    let parts = [problem.title(), place, problem.allowed_text().unwrap_or("")];
    for part in parts.into_iter().chain(help) {
        assert!(shown.contains(part), "{part} in\n{shown}");
    }
    assert_eq!(shown.matches("error: ").count(), 1, "{shown}");
}

const SCRIPT: &str = "white = 1.0 }\n";

const CASES: &[Case] = &[
    case(
        "evening = { red = 0.5",
        "\"größer ☀\" = { red = ^2",
        "the value of `red` is not allowed",
        "recipes.größer ☀.red",
    )
    .allowed("a number, 0 to 1"),
    case("evening = { red = 0.5, white = 1.0 }", "evening = { knots = ^[] }", "no knots", "knots")
        .allowed("2 to 16 tables, each below [[knots]]"),
    case(
        "evening = { red = 0.5, white = 1.0 }",
        "evening = { knots = [{ level = 9, red = 1.0 }, ^{ level = 9, white = 1.0 }] }",
        "two knots at Level 9",
        "recipes.evening.knots",
    )
    .allowed("each knot at a Level of its own"),
    case(
        "evening = { red = 0.5, white = 1.0 }",
        "evening = { knots = [^{ level = 9, red = 0.0 }, { level = 10, white = 1.0 }] }",
        "a knot is dark",
        "recipes.evening.knots",
    )
    .allowed("at least one share above 0"),
    case(
        "evening = { red = 0.5, white = 1.0 }",
        "evening = { knots = [{ level = 9, ^blue = 1.0 }, { level = 10, white = 1.0 }] }",
        "unknown channel `blue`",
        "recipes.evening.knots.blue",
    )
    .allowed("red, white"),
    case(
        "evening = { red = 0.5, white = 1.0 }",
        "evening = { knots = [{ level = 9, red = ^1.5 }, { level = 10, white = 1.0 }] }",
        "the value of `red` is not allowed",
        "recipes.evening.knots.red",
    )
    .allowed("a number, 0 to 1"),
    case("[curve]", "[curve^", "not TOML: unclosed table, expected `]`", "").allowed("TOML 1.1 (toml.io)"),
    case("control_hz", "^tick_hz", "not TOML: duplicate key", "").allowed("TOML 1.1 (toml.io)"),
    case("schema = 1", "schema = ^2", "the value of `schema` is not allowed", "schema").allowed("1"),
    case("schema = 1\n", "^", "missing key `schema`", "schema")
        .allowed("1")
        .help("add this line, above the first [table]:\nschema = 1"),
    case("schema = 1\nname = \"least\"\n", "^schema = 1\n", "missing key `name`", "name")
        .allowed("1 to 60 characters, none of them a control character, / or \\, the first not a dot")
        .help("add this line, above the first [table]:\nname = \"my light\""),
    case("tick_hz", "^tick_hs", "unknown key `tick_hs`", "tick_hs")
        .allowed(
            "schema, name, note, tick_hz, tick_tolerance_percent, control_hz, full_output_cd_m2, seed, \
             curve, modulation, operating, channels, board, recipes, script, script_loops, bus, cameras, supply, chip, hardware, explore, spread, analog, requirements",
        )
        .help("did you mean `tick_hz`?"),
    case("flux_lm", "^colour_of_paint", "unknown key `colour_of_paint`", "channels.colour_of_paint")
        .allowed("name, flux_lm, x, y, power_w, flux_over_temperature, thermal_k_per_w, time_constant_s, bin_factor, light_decay, over_current, order, dither_steps, timer_bits, driver, operating"),
    case("[curve]", "[chip]\nclock_hz = ^1\n\n[curve]", "the value of `clock_hz` is not allowed", "chip.clock_hz")
        .allowed("a whole number, 1_000_000 to 1_000_000_000 Hz"),
    case(
        "[curve]",
        "[chip]\nclock_hz = 48_000_000\nram_bytes = 4_096\noutput = ^\"spi\"\noutputs = 5\n\n[curve]",
        "the value of `output` is not allowed",
        "chip.output",
    )
    .allowed("\"port\", \"shift\", \"timer\""),
    case("tick_hz = 1_000_000", "tick_hz = 1_000_000\nscript_loops = ^1", "`script_loops` cannot be an integer", "script_loops")
        .allowed("true or false"),
    case("tick_hz = 1_000_000", "tick_hz = 1_000_000\nscript_loops = ^true", "there is no script that could loop", "script_loops")
        .allowed("false, or a `[[script]]` of at least one fade"),
    case("tick_hz = 1_000_000", "tick_hz = ^999", "the value of `tick_hz` is not allowed", "tick_hz")
        .allowed("a whole number, 1_000 to 100_000_000 Hz"),
    case("tick_hz = 1_000_000", "tick_hz = ^\"fast\"", "`tick_hz` cannot be a string", "tick_hz")
        .allowed("a whole number, 1_000 to 100_000_000 Hz"),
    case("tick_hz = 1_000_000", "tick_hz = ^1e6", "`tick_hz` cannot be a float", "tick_hz")
        .allowed("a whole number, 1_000 to 100_000_000 Hz"),
    case("control_hz = 1_000", "control_hz = ^31_251", "`control_hz` is too high for `tick_hz`", "control_hz")
        .allowed("at most 31_250 Hz, tick_hz = 1_000_000 over 32"),
    case("400.0", "^nan", "the value of `full_output_cd_m2` is not allowed", "full_output_cd_m2")
        .allowed("a number above 0, at most 1_000_000 cd/m2"),
    case("180.0", "^inf", "the value of `flux_lm` is not allowed", "channels.flux_lm")
        .allowed("a number above 0, at most 1_000_000 lm"),
    case("180.0", "180.0\npower_w = ^0", "the value of `power_w` is not allowed", "channels.power_w")
        .allowed("a number above 0, at most 10_000 W"),
    case("180.0", "180.0\npower_w = ^\"3 W\"", "`power_w` cannot be a string", "channels.power_w")
        .allowed("a number above 0, at most 10_000 W"),
    case(
        "180.0",
        "180.0\nflux_over_temperature = [{ celsius = 25, percent = 100 }, { celsius = ^25.4, percent = 90 }]",
        "the temperatures do not rise",
        "channels.flux_over_temperature.celsius",
    )
    .allowed("25.5 °C or more, half a degree above the knot before"),
    case("180.0", "180.0\nflux_over_temperature = [{ celsius = 25, percent = ^9 }]", "the value of `percent` is not allowed", "channels.flux_over_temperature.percent")
        .allowed("a number, 10 to 300 %"),
    case("180.0", "180.0\nflux_over_temperature = ^[]", "no flux_over_temperature", "flux_over_temperature")
        .allowed("1 to 8 tables, each below [[flux_over_temperature]]"),
    case("180.0", "180.0\npower_w = 20.1\nthermal_k_per_w = ^10", "the channel warms itself by 201 K", "channels.thermal_k_per_w")
        .allowed("power_w times thermal_k_per_w at most 200 K"),
    case("180.0", "180.0\nlight_decay = [{ percent = 70, time_constant_us = 1 }, { percent = ^40, time_constant_us = 9 }]", "more light decays than there is", "channels.light_decay.percent")
        .allowed("at most 30 %, what is left of the light"),
    case("180.0", "180.0\nlight_decay = [{ percent = 70, time_constant_us = ^0 }]", "the value of `time_constant_us` is not allowed", "channels.light_decay.time_constant_us")
        .allowed("a number, 0.001 to 1_000_000 us"),
    case("180.0", "180.0\nlight_decay = [{ percent = ^0, time_constant_us = 1 }]", "the value of `percent` is not allowed", "channels.light_decay.percent")
        .allowed("a number above 0, at most 100 %"),
    case("180.0", "180.0\nlight_decay = [^{ percent = 70 }]", "missing key `time_constant_us`", "channels.light_decay.time_constant_us")
        .allowed("a number, 0.001 to 1_000_000 us")
        .help("add this line to the table:\ntime_constant_us = 0.065"),
    case("180.0", "180.0\nlight_decay = ^[]", "no light_decay", "light_decay")
        .allowed("1 to 2 tables, each below [[light_decay]]"),
    case(
        "x = 0.468",
        "x = 0.468\nover_current = [{ current_percent = 50, efficacy_percent = 105, x = 0.47, y = 0.42 }, { current_percent = ^50, efficacy_percent = 104, x = 0.47, y = 0.42 }]",
        "the currents do not rise",
        "channels.over_current.current_percent",
    )
    .allowed("above 50 %, the knot before"),
    case("x = 0.468", "x = 0.468\nover_current = [{ current_percent = ^100, efficacy_percent = 105, x = 0.47, y = 0.42 }]", "the value of `current_percent` is not allowed", "channels.over_current.current_percent")
        .allowed("a number, 0.01 to 99 %"),
    case("x = 0.468", "x = 0.468\nover_current = [{ current_percent = 50, efficacy_percent = ^9, x = 0.47, y = 0.42 }]", "the value of `efficacy_percent` is not allowed", "channels.over_current.efficacy_percent")
        .allowed("a number, 10 to 1_000 %"),
    case("x = 0.468", "x = 0.468\nover_current = [{ current_percent = 50, efficacy_percent = ^201, x = 0.47, y = 0.42 }]", "the light falls as the current rises from 50 % to 100 %", "channels.over_current.efficacy_percent")
        .allowed("an efficacy that falls less than the current rises"),
    case(
        "x = 0.468",
        "x = 0.468\nover_current = [{ current_percent = 10, efficacy_percent = ^500, x = 0.47, y = 0.42 }, { current_percent = 50, efficacy_percent = 100, x = 0.47, y = 0.42 }]",
        "the light falls as the current rises from 10 % to 50 %",
        "channels.over_current.efficacy_percent",
    )
    .allowed("an efficacy that falls less than the current rises"),
    case("x = 0.468", "x = 0.468\nover_current = [{ current_percent = 50, efficacy_percent = 105, x = ^0.6, y = 0.42 }]", "no real light has the chromaticity (0.6, 0.42)", "channels.over_current.x")
        .allowed("x and y inside the CIE 1931 spectral locus closed by the purple line"),
    case("x = 0.468", "x = 0.468\noperating = [{ from_light_percent = 0, range_ratio = 2, current_ratio = ^0.5 }]", "the value of `current_ratio` is not allowed", "channels.operating.current_ratio")
        .allowed("a number, 1 to 1_000"),
    case("x = 0.468", "x = 0.468\noperating = [{ from_light_percent = 0, current_ratio = ^2 }]", "the last row is not of the full current", "channels.operating.current_ratio")
        .allowed("1 in the last row, or no current_ratio"),
    case(
        "x = 0.468",
        "x = 0.468\noperating = [{ from_light_percent = 0, range_ratio = 8, current_ratio = 9 }, { from_light_percent = 1, range_ratio = 8, current_ratio = ^10 }, { from_light_percent = 9 }]",
        "two rows of one set point have two currents",
        "channels.operating.current_ratio",
    )
    .allowed("9, as the row before with this range_ratio has"),
    case("180.0", "180.0\nbin_factor = ^0", "the value of `bin_factor` is not allowed", "channels.bin_factor")
        .allowed("a number, 0.1 to 3"),
    case("180.0", "180.0\ntime_constant_s = ^0", "the value of `time_constant_s` is not allowed", "channels.time_constant_s")
        .allowed("a number, 0.1 to 10_000 s"),
    case("[curve]", "[board]\ncelsius = ^151\n[curve]", "the value of `celsius` is not allowed", "board.celsius")
        .allowed("a number, -40 to 150 °C"),
    case("y = 0.42\n", "y = 0.42\npower_w = 200\n[board]\npower_cap_w = ^1\n", "`power_cap_w` is too low for the channels", "board.power_cap_w")
        .allowed("0 (none), or 2 W or more, a hundredth of the channels' power"),
    case("\"exponential\"", "^\"wavy\"", "the value of `kind` is not allowed", "curve.kind")
        .allowed("\"exponential\", \"lightness\", \"linear\""),
    case("[curve]\nkind = \"exponential\"\ndepth = 1_000", "^[curve]\nkind = \"exponential\"", "missing key `depth`", "curve.depth")
        .allowed("a whole number, 10 to 100_000")
        .help("add this line to the table:\ndepth = 1_000"),
    case("\"exponential\"\ndepth", "\"linear\"\n^depth", "`depth` belongs to the exponential curve only", "curve.depth")
        .allowed("no key beside `kind` for this curve"),
    case("[curve]\nkind = \"exponential\"\ndepth = 1_000", "curve = ^3", "`curve` cannot be an integer", "curve")
        .allowed("a table"),
    case("[[channels]]\nname = \"red\"\n", "^[[channels]]\n", "missing key `name`", "channels.name")
        .allowed("1 to 30 of the letters a to z and A to Z, digits, - and _")
        .help("add this line to the table:\nname = \"white\""),
    case("\"red\"", "^\"röd\"", "the value of `name` is not allowed", "channels.name")
        .allowed("1 to 30 of the letters a to z and A to Z, digits, - and _"),
    case("\"white\"", "^\"red\"", "a second channel is named `red`", "channels.name")
        .allowed("a name that no other channel has"),
    case("x = 0.468", "x = ^0.6", "no real light has the chromaticity (0.6, 0.42) of `white`", "channels.x")
        .allowed("x and y inside the CIE 1931 spectral locus closed by the purple line"),
    case("x = 0.468", "x = 0.468\norder = 2\ndither_steps = ^0.5", "`dither_steps` goes with first order or a timer", "channels.dither_steps")
        .allowed("0 where order = 2 without a timer"),
    case("x = 0.468", "x = 0.468\norder = ^0", "`order` = 0 goes with a timer only", "channels.order")
        .allowed("1 or 2, or 0 where `timer_bits` is 8 to 16"),
    case("x = 0.468", "x = 0.468\ntimer_bits = ^7", "the value of `timer_bits` is not allowed", "channels.timer_bits")
        .allowed("0 (a one-bit stream, no timer), or a timer of 8 to 16 bits"),
    case("x = 0.468", "x = 0.468\noperating = ^[]", "no operating", "operating")
        .allowed("1 to 8 tables, each below [[operating]]"),
    case("x = 0.468", "x = 0.468\noperating = [{ from_light_percent = ^3 }]", "the first row must begin at no light", "channels.operating.from_light_percent")
        .allowed("0 %"),
    case(
        "x = 0.468",
        "x = 0.468\noperating = [{ from_light_percent = 0 }, { from_light_percent = 3 }, { from_light_percent = ^3 }]",
        "the rows are out of order",
        "channels.operating.from_light_percent",
    )
    .allowed("above 3 %, where the row before begins"),
    case(
        "x = 0.468",
        "x = 0.468\noperating = [{ from_light_percent = 0, range_ratio = 16 }, { from_light_percent = ^6.3 }]",
        "the row before does not reach this light",
        "channels.operating.from_light_percent",
    )
    .allowed("at most 6.25 %, the full light of the row before"),
    case("x = 0.468", "x = 0.468\noperating = [{ from_light_percent = 0, range_ratio = ^0.5 }]", "the value of `range_ratio` is not allowed", "channels.operating.range_ratio")
        .allowed("a number, 1 to 1_000"),
    case("x = 0.468", "x = 0.468\noperating = [{ from_light_percent = 0, range_ratio = ^2 }]", "the last row does not reach full light", "channels.operating.range_ratio")
        .allowed("1 in the last row"),
    case(SCRIPT, "white = 1.0 }\n[operating]\nsettling_us = ^9_000", "`settling_us` is too long for `tick_hz`", "operating.settling_us")
        .allowed("at most 8160 us at tick_hz = 1_000_000"),
    case("x = 0.468", "x = 0.468\ndriver = ^{ kind = \"slew\", rise_ns = 1_100.0 }", "the current needs 1.1 µs to rise, and a pulse lasts 1 µs", "channels.driver")
        .allowed("a pulse at least as long as the rise"),
    case("x = 0.468", "x = 0.468\noperating = [{ from_light_percent = 0, stretch = ^3 }]", "the value of `stretch` is not allowed", "channels.operating.stretch")
        .allowed("1, 2, 4, 8 or 16 ticks a decision"),
    case(SCRIPT, "white = 1.0 }\n[operating]\nhysteresis_percent = ^10", "the value of `hysteresis_percent` is not allowed", "operating.hysteresis_percent")
        .allowed("50, 25, 12.5, 6.25, ... halved down to 0.09765625 % of the row's light"),
    case(SCRIPT, "white = 1.0 }\n[operating]\nedge_correction = ^1", "`edge_correction` cannot be an integer", "operating.edge_correction")
        .allowed("true or false"),
    case(
        "x = 0.468\ny = 0.42\n",
        "x = 0.468\ny = 0.42\noperating = ^[{ from_light_percent = 0 }, { from_light_percent = 50 }]\n[operating]\nset_points = \"common\"\n",
        "channels that share a set point need as many rows each",
        "channels.operating",
    )
    .allowed("1 row, as the first channel has"),
    case("x = 0.468", "x = 0.468\ndither_steps = ^0.3", "the value of `dither_steps` is not allowed", "channels.dither_steps")
        .allowed("0 (none), or 1, 0.5, 0.25, 0.125, ... halved down to 0.00390625 quantiser steps"),
    case("[recipes]\nevening = { red = 0.5, white = 1.0 }", "^[recipes]", "no recipes", "recipes")
        .allowed("1 to 32 recipes, such as full = { red = 1.0 }"),
    case("red = 0.5, white", "^rde = 0.5, white", "unknown channel `rde`", "recipes.evening.rde")
        .allowed("red, white")
        .help("did you mean `red`?"),
    case("red = 0.5", "red = ^1.5", "the value of `red` is not allowed", "recipes.evening.red")
        .allowed("a number, 0 to 1"),
    case("evening = { red = 0.5, white = 1.0 }", "^evening = { red = 0 }", "recipe `evening` is dark", "recipes.evening")
        .allowed("at least one share above 0"),
    case("evening = { red = 0.5, white = 1.0 }", "evening = ^0.5", "`evening` cannot be a float", "recipes.evening")
        .allowed("a table of channel = share, or { knots = [...] }"),
    case("evening =", "^\"a\\u001Bb\" =", "this name of a recipe is not allowed", "recipes.a\\u{1b}b")
        .allowed("a name of 1 to 60 characters, none of them a control character"),
    case(SCRIPT, "white = 1.0 }\n[[script]]\nrecipe = ^\"evning\"", "unknown recipe `evning`", "script.recipe")
        .allowed("evening")
        .help("did you mean `evening`?"),
    case(
        SCRIPT,
        "white = 1.0 }\n^[[script]]\nrecipe = \"evening\"\nseconds = 1",
        "missing key `light_percent`",
        "script.light_percent",
    )
    .allowed("`light_percent`, 0 to 100 %, or `level`, 0 to 65_535")
    .help("add this line to the table:\nlight_percent = 100.0"),
    case(
        SCRIPT,
        "white = 1.0 }\n[[script]]\nrecipe = \"evening\"\nlevel = ^3\nlight_percent = 3\nseconds = 1",
        "`level` and `light_percent` exclude each other",
        "script.level",
    )
    .allowed("one of `light_percent` and `level`"),
    case(
        SCRIPT,
        "white = 1.0 }\n[[script]]\nrecipe = \"evening\"\nlevel = 3\nseconds = 86_400\n\
         [[script]]\nrecipe = \"evening\"\nlevel = 3\nseconds = ^0.5",
        "the script is too long",
        "script.seconds",
    )
    .allowed("86_400 s (24 hours) for the whole script"),
    case(
        SCRIPT,
        "white = 1.0 }\n[[script]]\nrecipe = \"evening\"\nlevel = 3\nseconds = 1\nthrough = ^[]",
        "no through",
        "through",
    )
    .allowed("1 to 15 tables, each below [[through]]"),
    case(
        SCRIPT,
        "white = 1.0 }\n[[script]]\nrecipe = \"evening\"\nlevel = 3\nseconds = 1\nthrough = [^{ red = 0.0 }]",
        "a recipe on the way is dark",
        "script.through",
    )
    .allowed("at least one share above 0"),
    case(
        SCRIPT,
        "white = 1.0 }\n[[script]]\nrecipe = \"evening\"\nlevel = 3\nseconds = 1\nthrough = [{ ^blue = 1.0 }]",
        "unknown channel `blue`",
        "script.through.blue",
    )
    .allowed("red, white"),
    case(
        SCRIPT,
        "white = 1.0 }\n[[script]]\nrecipe = \"evening\"\nlevel = 3\nseconds = 1\nthrough = [{ red = ^1.5 }]",
        "the value of `red` is not allowed",
        "script.through.red",
    )
    .allowed("a number, 0 to 1"),
    case(
        SCRIPT,
        "white = 1.0 }\n[[script]]\nrecipe = \"evening\"\nlevel = 3\nseconds = ^0.001\nthrough = [{ red = 1.0 }]",
        "2 recipes cannot be met in this time",
        "script.seconds",
    )
    .allowed("0.002 s or more, a control step for each"),
    case(
        "evening = { red = 0.5, white = 1.0 }\n",
        "evening = { knots = [{ level = 1, red = 1.0 }, { level = 9, white = 1.0 }] }\n\
         [[script]]\nrecipe = ^\"evening\"\nlevel = 3\nseconds = 1\nthrough = [{ red = 1.0 }]",
        "a fade through recipes cannot end in `evening`, which goes through knots",
        "script.recipe",
    )
    .allowed("a recipe that is the same at every Level"),
    case(SCRIPT, "white = 1.0 }\n^[script]\nrecipe = \"evening\"", "`script` cannot be a table", "script")
        .allowed("0 to 1000 tables, each below [[script]]"),
    case(SCRIPT, "white = 1.0 }\n[explore]\nchip_hz = ^1e6", "`chip_hz` cannot be a float", "explore.chip_hz")
        .allowed("a whole number, 1_000_000 to 1_000_000_000 Hz"),
    case(SCRIPT, "white = 1.0 }\n[explore]\norders = ^[]", "the value of `orders` is not allowed", "explore.orders")
        .allowed("a list of 1 to 3 numbers, each a whole number, 0 to 2"),
    case(SCRIPT, "white = 1.0 }\n[explore]\nstretches = ^[1, 3]", "the value of `stretches` is not allowed", "explore.stretches")
        .allowed("a list of 1 to 5 numbers, each 1, 2, 4, 8 or 16 ticks a decision"),
    case(SCRIPT, "white = 1.0 }\n[explore]\n^range_ratio = [1]", "unknown key `range_ratio`", "explore.range_ratio")
        .allowed(
            "chip_hz, tick_hz_min, tick_hz_max, orders, dither_steps, timer_bits, stretches, stretch_from_percent, \
             range_ratios, lower_range_below_percent, edge_factors",
        )
        .help("did you mean `range_ratios`?"),
    case(SCRIPT, "white = 1.0 }\n[explore]\nedge_factors = ^[0]", "the value of `edge_factors` is not allowed", "explore.edge_factors")
        .allowed("a list of 1 to 16 numbers, each a number above 0, at most 100"),
    case(SCRIPT, "white = 1.0 }\n[requirements]\npulse_hz = ^0", "the value of `pulse_hz` is not allowed", "requirements.pulse_hz")
        .allowed("a number above 0, at most 1_000_000 Hz"),
];

#[test]
fn each_kind_of_error_names_place_key_and_cure() {
    CASES.iter().for_each(Case::assert);
}

#[test]
fn missing_tables_are_offered_whole() {
    let without = |from: &str, to: &str| {
        let (before, rest) = LEAST.split_once(from).unwrap();
        let after = rest.split_once(to).map_or("", |(_, after)| after);
        let text = format!("{before}{}{after}", if after.is_empty() { "" } else { to });
        let problem = parse(&text, "my.toml").unwrap_err();
        assert_shown(&problem, "my.toml:1:1");
        problem.help_text().unwrap().to_owned()
    };
    let channels = "[[channels]]\nname = \"white\"\nflux_lm = 500.0\nx = 0.44\ny = 0.4";
    assert_eq!(
        [
            without("[curve]", "[[channels]]"),
            without("[[channels]]", "[recipes]"),
            without("[recipes]", "[none]")
        ],
        [
            "add this table:\n[curve]\nkind = \"exponential\"\ndepth = 1_000".to_owned(),
            format!("add this table:\n{channels}"),
            "add this table:\n[recipes]\nfull = { red = 1.0 }".to_owned(),
        ]
    );
}

#[test]
fn a_seventeenth_channel_is_pointed_at() {
    let more: String = (0..15)
        .map(|index| format!("[[channels]]\nname = \"c{index}\"\nflux_lm = 1\nx = 0.4\ny = 0.4\n"))
        .collect();
    let problem = parse(
        &LEAST.replace("[recipes]", &(more + "[recipes]")),
        "my.toml",
    )
    .unwrap_err();
    assert_eq!(
        (problem.title(), problem.key()),
        ("too many channels", Some("channels"))
    );
    assert_eq!(
        problem.allowed_text(),
        Some("1 to 16 tables, each below [[channels]]")
    );
    let last = LEAST.lines().position(|line| line == "[recipes]").unwrap() + 5 * 14 + 1;
    assert_eq!(problem.line(), Some(last));
}

#[test]
fn files_that_are_no_text() {
    let folder = tempfile::tempdir().unwrap();
    let problem_of = |name: &str, bytes: &[u8]| {
        let path = folder.path().join(name);
        std::fs::write(&path, bytes).unwrap();
        read(&path).unwrap_err()
    };
    let large = problem_of("large.toml", &[b'#'; (1 << 20) + 1]);
    assert_eq!(
        (large.title(), large.line()),
        ("the file is too large", None)
    );
    assert_shown(&large, "large.toml");
    let binary = problem_of("binary.toml", b"schema = 1\nname = \"\xff\"\n");
    assert_eq!(binary.title(), "the file is not UTF-8 text");
    assert_eq!((binary.line(), binary.column()), (Some(2), Some(9)));
    assert_shown(&binary, "binary.toml:2:9");
    let folder = read(folder.path()).unwrap_err();
    assert!(
        folder.title().starts_with("cannot read the luminaire: "),
        "{folder}"
    );
    let absent = read(Path::new("no/such/file.toml")).unwrap_err();
    assert!(
        absent.title().starts_with("cannot read the luminaire: "),
        "{absent}"
    );
    assert_shown(&absent, "no/such/file.toml");
}

#[test]
fn a_file_of_exactly_a_mebibyte_is_read() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("padded.toml");
    let text = format!("{LEAST}#{}", "x".repeat((1 << 20) - LEAST.len() - 1));
    std::fs::write(&path, &text).unwrap();
    let (description, read_text) = read(&path).unwrap();
    assert_eq!(description, parse(LEAST, "least.toml").unwrap());
    assert_eq!(read_text, text);
}

#[test]
fn messages_read_well() {
    let shown = |from: &str, to: &str| {
        parse(&LEAST.replacen(from, to, 1), "my.toml")
            .unwrap_err()
            .render(false)
    };
    insta::assert_snapshot!("missing", shown("depth = 1_000\n", ""));
    insta::assert_snapshot!("unknown", shown("red = 0.5", "rad = 0.5"));
    insta::assert_snapshot!("range", shown("180.0", "-180.0"));
    let coloured = parse("schema = 2", "my.toml").unwrap_err().render(true);
    assert!(coloured.contains("\u{1b}["), "{coloured}");
}
