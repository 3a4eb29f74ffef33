//! What a part of all holds.

/// The least value that such a part of the values do not pass; 0 of none.
pub(super) fn quantile(values: impl Iterator<Item = f64>, part: f64) -> f64 {
    let mut sorted: Vec<_> = values.collect();
    sorted.sort_by(f64::total_cmp);
    let rank = (part * sorted.len() as f64).ceil() as usize;
    sorted.get(rank.saturating_sub(1)).copied().unwrap_or(0.0)
}

#[cfg(test)]
mod tests {
    use super::quantile;

    #[test]
    fn nineteen_of_twenty_hold_the_nineteenth() {
        let twenty = || (1..=20).rev().map(f64::from);
        assert_eq!(quantile(twenty(), 0.95), 19.0);
        assert_eq!(quantile(twenty(), 0.951), 20.0);
        assert_eq!(quantile(twenty(), 0.0), 1.0);
        assert_eq!(quantile([].into_iter(), 0.95), 0.0);
    }
}
