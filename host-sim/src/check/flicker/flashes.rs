//! Flashes of the script that repeat, in the light as it is: a wanted flash is a flash.

use crate::description::Description;
use crate::metrics::flashes::{CHANGE_CD_M2, FlashWatch, HAZARDOUS_HZ};
use crate::numbers::{percent, significant};
use crate::verdict::{Rule, Verdict};

/// The verdict on what was watched of the script, at the worst of the tick rate's tolerance.
pub(super) fn judge(description: &Description, rule: &Rule, flashes: &FlashWatch) -> Verdict {
    let rate_hz = flashes.rate_hz() * (1.0 + description.tick_tolerance);
    let reason = format!(
        "flashes of 20 cd/m2 or more: {}; rate of the fastest four in a row",
        flashes.flashes()
    );
    rule.judge("script", rate_hz, reason)
        .mended_by(|| Some(remedy(description, rate_hz)))
}

fn remedy(description: &Description, rate_hz: f64) -> String {
    let slower = (10.0 * rate_hz / HAZARDOUS_HZ).ceil() / 10.0;
    format!(
        "let the fades that flash take {} times as long, or swing by less than {} of full light",
        significant(slower, 3),
        percent(CHANGE_CD_M2 / description.full_output_cd_m2)
    )
}
