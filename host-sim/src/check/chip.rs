//! What the luminaire asks of its chip, where the file describes one.

use crate::chip::Budget;
use crate::description::{Chip, Description, Output};
use crate::numbers::{grouped, percent, quantity, significant};
use crate::verdict::{Bound, Rule, Verdict};

const FROM_FILE: &str = "the luminaire file";

pub(super) fn judge(description: &Description) -> Vec<Verdict> {
    let Some(chip) = &description.chip else {
        return Vec::new();
    };
    let budget = Budget::of(description, chip);
    vec![
        outputs(description, chip),
        ram(chip, &budget),
        refill_rate(chip, &budget),
        latency(&budget),
        bus(chip, &budget),
        cpu(chip, &budget),
    ]
}

fn rule(id: &'static str, name: &'static str, unit: &'static str, limit: f64) -> Rule {
    Rule {
        id,
        name,
        unit,
        bound: Bound::AtMost,
        limit,
        source: FROM_FILE,
    }
}

/// The same, with a limit that has a default.
fn chosen(rule: Rule, default: f64) -> Rule {
    let source = if rule.limit == default {
        "our choice"
    } else {
        FROM_FILE
    };
    Rule { source, ..rule }
}

fn outputs(description: &Description, chip: &Chip) -> Verdict {
    let channels = description.channels.len() as f64;
    let (what, more) = match chip.output {
        Output::Port => ("a pin of the port", "a port of more pins"),
        Output::Shift => ("a shift output", "output = \"port\", or more shift outputs"),
        Output::Timer => (
            "a timer's channel",
            "output = \"port\", or more timer channels",
        ),
    };
    rule("chip_outputs", "chip: outputs", "", chip.outputs.into())
        .judge("chip", channels, format!("each channel takes {what}"))
        .mended_by(|| Some(more.to_owned()))
}

fn ram(chip: &Chip, budget: &Budget) -> Verdict {
    let (state, buffers) = (budget.luminaire_bytes, budget.needs.buffer_bytes);
    let reason = format!(
        "{} bytes of state and {} of buffers; stack and the rest of the program apart",
        grouped(state.ceil()),
        grouped(buffers)
    );
    let limit = f64::from(chip.ram_bytes);
    rule("chip_ram", "chip: RAM", "bytes", limit)
        .judge("chip", budget.ram_bytes(), reason)
        .mended_by(|| {
            let a_word = buffers / f64::from(chip.buffer_words);
            let words = ((limit - state) / a_word).floor();
            (words >= 1.0).then(|| format!("buffer_words = {} or less", grouped(words)))
        })
}

fn refill_rate(chip: &Chip, budget: &Budget) -> Verdict {
    let reason = format!(
        "a half of {} ticks takes {} to fill",
        grouped(32.0 * f64::from(chip.buffer_words)),
        quantity(budget.filling_s, "s")
    );
    let limit = budget.most_refill_hz();
    rule("chip_refill_rate", "chip: refill rate", "Hz", limit)
        .judge("chip", budget.refill_hz(), reason)
        .mended_by(|| (limit > 0.0).then(|| slower(budget, limit / budget.refill_hz())))
}

fn latency(budget: &Budget) -> Verdict {
    let reason = format!(
        "until other interrupts and a control step of {} cycles let a refill begin; the limit is what a half of {} leaves beside its filling",
        grouped(budget.longest_control_cycles.ceil()),
        quantity(budget.half_s, "s")
    );
    rule(
        "chip_latency",
        "chip: latency",
        "s",
        budget.slack_s().max(0.0),
    )
    .judge("chip", budget.waiting_s, reason)
    .mended_by(|| {
        let spared = budget.slack_s() / budget.half_s;
        let words = budget.waiting_s / spared * budget.tick_hz / 32.0;
        (spared > 0.0).then(|| format!("buffer_words = {} or more", grouped(words.ceil())))
    })
}

/// Transfers alone; the CPU stands still in them.
fn bus(chip: &Chip, budget: &Budget) -> Verdict {
    let transfers_hz = budget.needs.transfers_a_tick * budget.tick_hz;
    let reason = format!(
        "{} transfers a second of {} cycles each, in which the CPU stalls",
        significant(transfers_hz, 4),
        significant(chip.dma_cycles, 3)
    );
    let rule = rule("chip_bus", "chip: bus share", "1", chip.bus_share);
    chosen(rule, 0.5)
        .judge("chip", budget.transfers_share, reason)
        .mended_by(|| Some(slower(budget, chip.bus_share / budget.transfers_share)))
}

fn cpu(chip: &Chip, budget: &Budget) -> Verdict {
    let reason = format!(
        "streams and packing {}, control steps {}, DMA stalls {}; by the ledger of a Cortex-M0, each channel in its costliest row",
        percent(budget.streams_share),
        percent(budget.control_share),
        percent(budget.transfers_share)
    );
    let rule = rule("chip_cpu", "chip: CPU share", "1", chip.cpu_share);
    chosen(rule, 0.8)
        .judge("chip", budget.cpu_share(), reason)
        .mended_by(|| {
            let left = chip.cpu_share - budget.control_share;
            let ticks = budget.streams_share + budget.transfers_share;
            (left > 0.0).then(|| slower(budget, left / ticks))
        })
}

/// A tick rate that is so much lower, down to two digits.
fn slower(budget: &Budget, factor: f64) -> String {
    let hertz = budget.tick_hz * factor;
    let unit = 10_f64.powf(hertz.log10().floor() - 1.0);
    let tick_hz = (hertz / unit).floor() * unit;
    format!(
        "lower tick_hz to {} or less, or take a faster clock",
        grouped(tick_hz.round())
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::description::{BUILT_IN, parse};
    use crate::verdict::Outcome;

    fn cove() -> Description {
        parse(BUILT_IN, "built in").unwrap()
    }

    /// What fails with a changed chip, and its remedies.
    fn failed(change: impl FnOnce(&mut Chip)) -> Vec<(&'static str, String)> {
        let mut cove = cove();
        change(cove.chip.as_mut().unwrap());
        let verdicts = judge(&cove).into_iter();
        let failed = verdicts.filter(|verdict| verdict.outcome == Outcome::Fail);
        failed
            .map(|verdict| (verdict.id, verdict.remedy.unwrap_or_default()))
            .collect()
    }

    fn ids(change: impl FnOnce(&mut Chip)) -> Vec<&'static str> {
        failed(change).into_iter().map(|(id, _)| id).collect()
    }

    #[test]
    fn without_a_chip_nothing_is_judged() {
        let plain = Description {
            chip: None,
            ..cove()
        };
        assert_eq!(judge(&plain), []);
        assert_eq!(judge(&cove()).len(), 6);
        assert_eq!(ids(|_| {}), [""; 0]);
    }

    fn budget() -> Budget {
        let cove = cove();
        Budget::of(&cove, &cove.chip.unwrap())
    }

    #[test]
    fn each_limit_can_be_broken() {
        let budget = budget();
        assert_eq!(ids(|chip| chip.outputs = 4), ["chip_outputs"]);
        let ram_bytes = budget.ram_bytes().ceil() as u32;
        assert_eq!(ids(|chip| chip.ram_bytes = ram_bytes), [""; 0]);
        assert_eq!(ids(|chip| chip.ram_bytes = ram_bytes - 1), ["chip_ram"]);
        let slack_s = budget.slack_s();
        let late = ids(|chip| chip.interrupt_latency_s = slack_s);
        assert_eq!(late, ["chip_latency"]);
        assert_eq!(ids(|chip| chip.bus_share = 0.06), ["chip_bus"]);
        let cpu_share = 0.99 * budget.cpu_share();
        assert_eq!(ids(|chip| chip.cpu_share = cpu_share), ["chip_cpu"]);
        let all = ["chip_refill_rate", "chip_latency", "chip_cpu"];
        assert_eq!(ids(|chip| chip.clock_hz = 16_000_000), all);
        assert_eq!(ids(|chip| chip.wait_states = 7), all);
    }

    #[test]
    fn what_is_advised_mends() {
        let advised = |remedies: &[(&str, String)]| -> f64 {
            let digits = |c: char| !c.is_ascii_digit() && c != '_';
            let number = remedies[0].1.split(digits).find(|part| part.len() > 1);
            number.unwrap().replace('_', "").parse().unwrap()
        };
        let slack_s = budget().slack_s();
        let words = advised(&failed(|chip| chip.interrupt_latency_s = slack_s)) as u16;
        let mended = |words| {
            ids(|chip| {
                chip.interrupt_latency_s = slack_s;
                chip.buffer_words = words;
            })
        };
        assert_eq!(
            (mended(words), mended(words - 1)),
            (vec![], vec!["chip_latency"])
        );
        let mut cove = cove();
        let chip = cove.chip.as_mut().unwrap();
        chip.cpu_share = 0.3;
        cove.tick_hz = advised(&failed(|chip| chip.cpu_share = 0.3)) as u32;
        let outcomes = judge(&cove).into_iter().map(|verdict| verdict.outcome);
        assert!(outcomes.into_iter().all(|outcome| outcome == Outcome::Pass));
    }
}
