use milliglow_sim::metrics::flicker::pst_lm::{PstLm, SETTLING_SECONDS, Severity};
use milliglow_tests::data::rows;
use milliglow_tests::{Agreement, Series, flickermeter_light};

fn read(rate_hz: f64, values: &[f64]) -> Severity {
    let mut meter = PstLm::new(rate_hz).unwrap();
    meter.feed(values);
    meter.severity().unwrap()
}

#[test]
fn reference_waveforms_read_one() {
    let mut agreement = Agreement::with("pstlm_reference_waveforms.csv");
    for row in rows("pstlm_reference_waveforms.csv") {
        let hz = row.number("changes_per_minute") / 120.0;
        let depth = row.number("dE_over_E_percent_peak_to_peak") / 100.0;
        for rate in [2e3, 5e3, 1e4, 2e4] {
            let light = flickermeter_light(hz, depth, rate, (100.0 * rate) as usize);
            let what = format!("{hz} Hz at {rate} Hz");
            agreement.see(
                &what,
                read(rate, &light).pst_lm,
                row.number("expected_pstlm"),
                0.01,
            );
        }
    }
}

#[test]
fn sines_read_as_the_analogue_chain_does() {
    let mut severity = Agreement::with("pstlm_sine_response.csv PstLM");
    let mut pinst = Agreement::with("pstlm_sine_response.csv Pinst");
    for row in rows("pstlm_sine_response.csv") {
        let hz = row.number("frequency_hz");
        for rate in [2e3, 4e3, 1e4, 2e4] {
            // The bilinear transform shifts what is far above the corner.
            if rate == 2e3 && hz > 80.0 {
                continue;
            }
            let light = Series::tones(&[(hz, 0.01)]).sampled(rate, (60.0 * rate) as usize);
            let found = read(rate, &light);
            let what = format!("{hz} Hz at {rate} Hz");
            let relative = if hz > 40.0 { 0.03 } else { 0.01 };
            let expected = row.number("pstlm_for_m_0.01");
            severity.see(&what, found.pst_lm, expected, relative * expected);
            let expected = row.number("pinst_max_for_m_0.01");
            pinst.see(&what, found.pinst_max, expected, 2.0 * relative * expected);
        }
    }
}

#[test]
fn blocks_and_units_do_not_matter() {
    let light = flickermeter_light(8.8, 0.01, 2e3, 90_000);
    let whole = read(2e3, &light);
    let mut meter = PstLm::new(2e3).unwrap();
    light.chunks(777).for_each(|block| meter.feed(block));
    assert_eq!(meter.severity().unwrap(), whole);
    let lux: Vec<f64> = light.iter().map(|value| 0.037 * value).collect();
    let scaled = read(2e3, &lux);
    assert!((scaled.pst_lm / whole.pst_lm - 1.0).abs() < 1e-9);
}

#[test]
fn light_is_taken_over_the_mean_of_all_of_it() {
    let mut light = flickermeter_light(8.8, 0.01, 2e3, 90_000);
    let even = read(2e3, &light);
    light[..2000].iter_mut().for_each(|value| *value *= 2.0);
    let expected = even.pst_lm / (1.0 + 2000.0 / 90_000.0);
    let found = read(2e3, &light).pst_lm;
    assert!((found / expected - 1.0).abs() < 0.005, "{found} {expected}");
}

#[test]
fn the_trace_shows_when_it_flickered() {
    let mut light = vec![1.0; 160_000];
    light[120_000..120_200].fill(1.1);
    let found = read(2e3, &light);
    let (place, _) = found
        .pinst
        .iter()
        .enumerate()
        .max_by(|one, other| one.1.total_cmp(other.1))
        .unwrap();
    let seconds = SETTLING_SECONDS + place as f64 * found.interval_s;
    assert!((60.0..60.3).contains(&seconds), "{seconds}");
    assert!(
        found.pinst_max > 1.0 && found.pinst[0] < 1e-6,
        "{}",
        found.pinst[0]
    );
}

#[test]
fn darkness_short_light_and_other_rates_give_nothing() {
    let mut meter = PstLm::new(2e3).unwrap();
    meter.feed(&[1.0; 79_999]);
    assert_eq!(meter.severity(), None);
    meter.feed(&[1.0]);
    assert!(meter.severity().unwrap().pst_lm < 1e-3);
    let mut dark = PstLm::new(2e3).unwrap();
    dark.feed(&[0.0; 90_000]);
    assert_eq!(dark.severity(), None);
    assert!(PstLm::new(1999.0).is_none() && PstLm::new(20_001.0).is_none());
}
