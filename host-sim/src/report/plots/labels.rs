//! Keeps direct labels apart and short.

/// Moves wanted heights apart by at least `gap`, within `low` to `high` where there is room.
pub(super) fn spread(wanted: &[f64], gap: f64, low: f64, high: f64) -> Vec<f64> {
    let mut order: Vec<_> = (0..wanted.len()).collect();
    order.sort_by(|a, b| wanted[*a].total_cmp(&wanted[*b]));
    let mut placed = wanted.to_vec();
    let mut floor = low;
    for i in &order {
        placed[*i] = placed[*i].max(floor);
        floor = placed[*i] + gap;
    }
    let mut ceiling = high;
    for i in order.iter().rev() {
        placed[*i] = placed[*i].min(ceiling);
        ceiling = placed[*i] - gap;
    }
    placed
}

/// A name of at most `most` characters; a longer one loses its middle, since ends tell names apart.
pub(super) fn shortened(name: &str, most: usize) -> String {
    let characters: Vec<_> = name.chars().collect();
    if characters.len() <= most {
        return name.to_owned();
    }
    let end = (most - 1) / 2;
    let begin = most - 1 - end;
    let tail = &characters[characters.len() - end..];
    characters[..begin]
        .iter()
        .chain(&['…'])
        .chain(tail)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn labels_keep_apart_in_order_and_inside() {
        let placed = spread(&[100.0, 99.0, 10.0, 100.0], 16.0, 0.0, 100.0);
        let mut sorted = placed.clone();
        sorted.sort_by(f64::total_cmp);
        assert!(sorted.windows(2).all(|pair| pair[1] - pair[0] >= 16.0));
        assert!(placed[1] < placed[0] && placed[2] == 10.0);
        assert_eq!(sorted[3], 100.0);
    }

    #[test]
    fn long_names_keep_both_ends() {
        assert_eq!(shortened("warm_white", 12), "warm_white");
        assert_eq!(shortened("warm_white_outer_ring_left", 9), "warm…left");
        assert_eq!(shortened("ééééééé", 4), "éé…é");
    }
}
