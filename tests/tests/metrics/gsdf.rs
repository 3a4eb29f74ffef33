use milliglow_sim::metrics::gsdf::{index, luminance, step_jnd};
use milliglow_tests::Agreement;
use milliglow_tests::data::rows;

#[test]
fn the_function_is_as_tabulated() {
    let mut forward = Agreement::with("eye_gsdf.csv luminance");
    let mut step = Agreement::with("eye_gsdf.csv step");
    for row in rows("eye_gsdf.csv") {
        let j = row.number("jnd_index");
        let what = format!("j = {j}");
        let expected = row.number("luminance_cd_m2");
        forward.see(&what, luminance(j), expected, 5e-4 * expected);
        let expected = row.number("weber_step_to_next");
        let found = luminance(j + 1.0) / luminance(j) - 1.0;
        step.see(&what, found, expected, 5e-4 * expected);
    }
}

#[test]
fn the_inverse_is_the_exact_root() {
    let mut agreement = Agreement::with("eye_gsdf_by_luminance.csv");
    // The last row is the printed end of the function, 3e-5 beyond that of the rounded coefficients.
    let inside = |cd_m2: &f64| *cd_m2 < luminance(1023.0);
    for row in rows("eye_gsdf_by_luminance.csv") {
        let cd_m2 = row.number("luminance_cd_m2");
        let Some(cd_m2) = Some(cd_m2).filter(inside) else {
            assert_eq!(index(cd_m2), None);
            continue;
        };
        let expected = row.number("j_exact_root");
        let found = index(cd_m2).unwrap();
        agreement.see(
            row.text("luminance_cd_m2"),
            found,
            expected,
            5e-4 * expected,
        );
        assert!((luminance(found) / cd_m2 - 1.0).abs() < 1e-10, "{cd_m2}");
    }
}

#[test]
fn steps_of_light_count_in_jnds() {
    let mut agreement = Agreement::with("eye_gsdf_1000to1.csv");
    for row in rows("eye_gsdf_1000to1.csv") {
        let full = row.number("L_full");
        let expected = row.number("jnd_steps_needed");
        let found = step_jnd(full, 1.0, row.number("L_min") / full).unwrap();
        agreement.see(row.text("L_full"), found, expected, 5e-4 * expected);
    }
    let one = step_jnd(1_087.421_6, 0.001, 0.001 * 1.023_711_3).unwrap();
    assert!((one - 1.0).abs() < 1e-3, "{one}");
}

#[test]
fn what_is_too_dark_is_not_judged() {
    assert_eq!(step_jnd(100.0, 0.01, 0.000_49), None);
    assert_eq!(step_jnd(100.0, 0.0, 0.01), None);
    assert_eq!(
        (index(0.049), index(4000.0), index(f64::NAN)),
        (None, None, None)
    );
    for cd_m2 in [0.05, 0.0501, 0.06, 3990.0] {
        let found = luminance(index(cd_m2).unwrap());
        assert!((found / cd_m2 - 1.0).abs() < 1e-10, "{cd_m2}");
    }
}
