use milliglow_sim::metrics::flicker::{
    Line,
    temporal_visibility::{Barten, Model, Watson, visibility},
};
use milliglow_tests::Agreement;
use milliglow_tests::data::{Row, rows};

#[test]
fn barten_is_as_tabulated() {
    let mut agreement = Agreement::with("eye_tcsf_barten1999.csv");
    for row in rows("eye_tcsf_barten1999.csv") {
        let barten = Barten::new(row.number("luminance_cd_m2"), row.number("field_deg"));
        let what = format!(
            "{} cd/m2 at {} Hz",
            row.text("luminance_cd_m2"),
            row.text("f_hz")
        );
        let expected = row.number("sensitivity");
        let found = barten.sensitivity(row.number("f_hz"));
        agreement.see(&what, found, expected, 0.005 * expected);
    }
}

/// The parameter sets of the table; those of 1986 as its rows give them.
fn watson(row: &Row) -> Watson {
    let of_1986 = |zeta| Watson {
        gain: 1.0,
        tau_s: 0.004_94,
        kappa: 1.33,
        zeta,
        n1: 9,
        n2: 10,
    };
    match row.text("parameter_set") {
        set if set.starts_with("Watson 1986, sustained") => of_1986(0.9),
        set if set.starts_with("Watson 1986, fully transient") => of_1986(1.0),
        _ => Watson::IDMS,
    }
}

#[test]
fn watsons_form_is_as_tabulated() {
    let mut agreement = Agreement::with("eye_tcsf_watson.csv");
    for row in rows("eye_tcsf_watson.csv") {
        let what = format!("{} at {} Hz", row.text("parameter_set"), row.text("f_hz"));
        let expected = row.number("abs_H");
        let found = watson(&row).sensitivity(row.number("f_hz"));
        agreement.see(&what, found, expected, 0.005 * expected);
    }
}

/// RMS misfits of a column in a data set, at luminances where the model with this name is used.
fn misfits(dataset: &str, column: &str, name: &str) -> (f64, f64) {
    let rows = rows("eye_tcsf_model_errors.csv");
    let used = rows.iter().filter(|row| {
        let model = Model::at(row.number("luminance_cd_m2"));
        row.text("dataset") == dataset && model.name() == name
    });
    used.map(|row| row.number(column))
        .fold((f64::INFINITY, 0.0), |(least, most): (f64, f64), value| {
            (least.min(value), most.max(value))
        })
}

#[test]
fn models_are_used_where_their_misfit_is_stated() {
    for (model, column) in [
        (Model::at(10.0), "rms_log10_barten1999"),
        (Model::at(150.0), "rms_log10_idms_form"),
    ] {
        let misfit = model.misfit();
        assert_eq!(
            misfits("deLange1958", column, model.name()),
            misfit.small_field
        );
        assert_eq!(
            misfits("kelly1961", column, model.name()),
            misfit.large_field
        );
    }
    assert_eq!(Model::at(150.0), Model::Idms);
    assert!(matches!(Model::at(20.0), Model::Barten(_)));
}

#[test]
fn lines_add_by_squares_and_the_bound_is_never_below_the_model() {
    let lines = [(4.0, 0.001), (10.0, 0.002), (60.0, 0.5)].map(|(frequency_hz, amplitude)| Line {
        frequency_hz,
        amplitude,
    });
    let found = visibility(&lines, &Model::Idms);
    let expected = 0.121_893_f64.powi(2) + 0.3386_f64.powi(2) + 0.390_7_f64.powi(2);
    assert!((found.sum / expected - 1.0).abs() < 1e-3, "{found:?}");
    assert!((found.bound_sum - 1.25).abs() < 1e-12, "{found:?}");
    for luminance in [0.01, 0.1, 1.0, 10.0, 50.0, 51.0, 1e4] {
        let bounded = visibility(&lines[..2], &Model::at(luminance));
        assert!(bounded.sum < bounded.bound_sum, "{luminance} {bounded:?}");
    }
}
