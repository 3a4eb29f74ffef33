use milliglow_sim::metrics::flicker::{Line, phantom_array::curves};

fn line(frequency_hz: f64, amplitude: f64) -> Line {
    Line {
        frequency_hz,
        amplitude,
    }
}

#[test]
fn thresholds_run_through_the_published_points_and_straight_between() {
    let [pavm, cie] = curves() else {
        panic!("two curves")
    };
    for curve in [pavm, cie] {
        for &(hz, amplitude) in &curve.points {
            let found = curve.threshold(hz).unwrap();
            assert!(
                (found / amplitude - 1.0).abs() < 1e-9,
                "{} at {hz}",
                curve.name
            );
        }
        let pair = [curve.points[3], curve.points[4]];
        let middle = curve.threshold((pair[0].0 * pair[1].0).sqrt()).unwrap();
        assert!((middle - (pair[0].1 * pair[1].1).sqrt()).abs() < 1e-9);
    }
    assert_eq!((pavm.points.len(), cie.points.len()), (22, 16));
    assert_eq!((cie.threshold(79.0), pavm.threshold(5083.0)), (None, None));
}

#[test]
fn the_worst_line_is_told_for_each_curve() {
    let lines = [line(120.0, 0.4), line(756.0, 0.3658), line(6000.0, 2.0)];
    let [pavm, cie] = curves() else {
        panic!("two curves")
    };
    let found = cie.worst(&lines).unwrap();
    assert_eq!(found.line, lines[1]);
    assert!((found.margin() - 2.0).abs() < 1e-9);
    let found = pavm.worst(&lines).unwrap();
    assert!((found.margin() - 0.3658 / 0.2515).abs() < 1e-9);
    assert_eq!(cie.worst(&lines[2..]), None);
}
