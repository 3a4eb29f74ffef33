//! The requirements as rules: what is judged, against which limit, and who asks for it.

use crate::description::{Description, Requirements};
use crate::metrics::flashes::HAZARDOUS_HZ;
use crate::optics::drivers::{LEAST_IN_TIME, LEAST_PEAK};
use crate::verdict::{Bound, Rule};

const FROM_FILE: &str = "the luminaire file";
const EU_FULL_LOAD: &str = "EU 2019/2020 as amended, at full load";
/// Where the regulation's limits are applied to dimmed light.
pub(super) const OUR_STRICTER: &str =
    "our own stricter requirement: the limit of EU 2019/2020 at dimmed light";
const ARITHMETIC: &str = "milliglow's own promise";

/// Of a pulse's height, and of its charge in time.
const LEAST_PULSE: f64 = LEAST_PEAK;
const _: () = assert!(LEAST_PEAK == LEAST_IN_TIME);

/// A rule whose limit the file may set: the source tells whether it did.
fn chosen(
    id: &'static str,
    name: &'static str,
    unit: &'static str,
    bound: Bound,
    limit: f64,
    default: f64,
    source: &'static str,
) -> Rule {
    let source = if limit == default { source } else { FROM_FILE };
    Rule {
        id,
        name,
        unit,
        bound,
        limit,
        source,
    }
}

/// A rule that milliglow sets itself: nothing may be off.
fn promised(id: &'static str, name: &'static str, unit: &'static str) -> Rule {
    Rule {
        id,
        name,
        unit,
        bound: Bound::AtMost,
        limit: 0.0,
        source: ARITHMETIC,
    }
}

/// All rules for a luminaire.
pub(super) struct Rules {
    pub(super) average_error: Rule,
    pub(super) depth_error: Rule,
    pub(super) wrong_way_steps: Rule,
    pub(super) light_step: Rule,
    pub(super) first_lit_light: Rule,
    pub(super) last_lit_light: Rule,
    pub(super) arrival_spread: Rule,
    pub(super) arrival_error: Rule,
    pub(super) colour_shift: Rule,
    pub(super) colour_warm: Rule,
    pub(super) dark_gap: Rule,
    pub(super) pulse_rate: Rule,
    pub(super) driver_follows: Rule,
    pub(super) range_step: Rule,
    pub(super) range_colour: Rule,
    pub(super) svm: Rule,
    pub(super) pst_lm: Rule,
    pub(super) low_risk: Rule,
    pub(super) no_effect: Rule,
    pub(super) seizure: Rule,
    pub(super) visibility: Rule,
    pub(super) step_jnd: Rule,
    pub(super) flashes: Rule,
}

impl Rules {
    pub(super) fn of(description: &Description) -> Self {
        let (asked, default) = (description.requirements, Requirements::default());
        let at_most = |id, name, unit, of: fn(&Requirements) -> f64, source| {
            chosen(
                id,
                name,
                unit,
                Bound::AtMost,
                of(&asked),
                of(&default),
                source,
            )
        };
        const OURS: &str = "our default";
        const N_STEP: &str = "our default: one n-step of CIE TN 001:2014 (0.0011 from memory)";
        const SEIZURE: &str =
            "our default, after IEEE 1789-2015 cl. 8.1.1: under 5 % modulation below 90 Hz";
        const FLASHES: &str =
            "Epilepsia 2005, doi 10.1111/j.1528-1167.2005.31305.x: hazard from 3 Hz and 20 cd/m2";
        const IEEE_1789: &str =
            "IEEE 1789-2015 cl. 8.1.1 (quoted; a line at a time is our reading)";
        const SENSITIVITY: &str =
            "our default; Barten 1999 below 50 cd/m2, else Watson's form (ICDM IDMS)";
        const GSDF: &str =
            "our default; DICOM PS3.14 GSDF, a ruler for static gratings and no proof";
        Self {
            svm: at_most("svm", "SVM", "", |r| r.svm, EU_FULL_LOAD),
            pst_lm: at_most("pst_lm", "PstLM", "", |r| r.pst_lm, EU_FULL_LOAD),
            low_risk: Rule {
                id: "ieee1789_low_risk",
                name: "low risk",
                unit: "",
                bound: Bound::AtMost,
                limit: 1.0,
                source: IEEE_1789,
            },
            no_effect: at_most(
                "ieee1789_no_effect",
                "no effect",
                "",
                |r| r.no_effect_margin,
                IEEE_1789,
            ),
            seizure: at_most("below_90_hz", "below 90 Hz", "1", |r| r.seizure, IEEE_1789),
            visibility: at_most(
                "visibility",
                "visibility",
                "",
                |r| r.visibility,
                SENSITIVITY,
            ),
            flashes: Rule {
                id: "flashes",
                name: "flashes",
                unit: "Hz",
                bound: Bound::AtMost,
                limit: HAZARDOUS_HZ,
                source: FLASHES,
            },
            step_jnd: at_most("step_jnd", "step in JND", "", |r| r.step_jnd, GSDF),
            average_error: at_most(
                "average_error",
                "average error",
                "1",
                |r| r.average_error,
                OURS,
            ),
            depth_error: at_most("depth_error", "depth error", "1", |r| r.average_error, OURS),
            wrong_way_steps: promised("wrong_way_steps", "wrong way", "steps"),
            light_step: at_most("light_step", "light step", "1", |r| r.light_step, OURS),
            first_lit_light: at_most(
                "first_lit_light",
                "first light",
                "1",
                |r| r.edge_light,
                OURS,
            ),
            last_lit_light: at_most("last_lit_light", "last light", "1", |r| r.edge_light, OURS),
            arrival_spread: promised("arrival_spread", "arrival apart", "steps"),
            arrival_error: promised("arrival_error", "arrival error", "units"),
            colour_shift: at_most(
                "colour_shift",
                "shift in u'v'",
                "delta u'v'",
                |r| r.colour_shift,
                N_STEP,
            ),
            range_step: at_most("range_step", "step of range", "1", |r| r.range_step, OURS),
            range_colour: at_most(
                "range_colour",
                "colour of range",
                "delta u'v'",
                |r| r.colour_shift,
                N_STEP,
            ),
            colour_warm: at_most(
                "colour_warm",
                "warm in u'v'",
                "delta u'v'",
                |r| r.colour_shift,
                N_STEP,
            ),
            dark_gap: at_most("dark_gap", "dark gap", "s", |r| r.dark_gap_s, SEIZURE),
            driver_follows: Rule {
                id: "driver_follows",
                name: "driver follows",
                unit: "1",
                bound: Bound::AtLeast,
                limit: LEAST_PULSE,
                source: "our own choice of what is still a pulse",
            },
            pulse_rate: chosen(
                "pulse_rate",
                "pulse rate",
                "Hz",
                Bound::AtLeast,
                asked.pulse_hz,
                default.pulse_hz,
                SEIZURE,
            ),
        }
    }
}

/// The rule of the lowest light, whose limit is computed.
pub(super) fn lowest_light_rule(light: f64) -> Rule {
    Rule {
        id: "lowest_light",
        name: "lowest light",
        unit: "1",
        bound: Bound::AtLeast,
        limit: light,
        source: "computed from the limits of steady light in this file",
    }
}

/// The rule of a bus, whose limit stands with it.
pub(super) fn dead_time_rule(seconds: f64) -> Rule {
    chosen(
        "dead_time",
        "dead time",
        "s",
        Bound::AtMost,
        seconds,
        0.1,
        "our default",
    )
}

/// The rule of a receiver of packets, whose limit follows from the time between them.
pub(super) fn packet_response_rule(seconds: f64) -> Rule {
    Rule {
        id: "packet_response",
        name: "response",
        unit: "s",
        bound: Bound::AtMost,
        limit: seconds,
        source: "milliglow's own promise: two packets, and a control step",
    }
}

/// The rule of a camera, whose limit stands with it.
pub(super) fn camera_rule(contrast: f64) -> Rule {
    chosen(
        "camera_bands",
        "camera bands",
        "1",
        Bound::AtMost,
        contrast,
        0.02,
        "our default",
    )
}
