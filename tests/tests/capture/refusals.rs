//! Each bad input gives one error that says where and what is allowed, and exit code 2.

use std::fs;

use milliglow_tests::program::Folder;

use crate::capture;

#[track_caller]
fn assert_refused(folder: &Folder, arguments: &[&str], where_and_what: &[&str]) {
    let mut all = vec!["measure"];
    all.extend(arguments);
    let ended = folder.run(&all);
    assert_eq!(
        (ended.code, ended.out.as_str()),
        (2, ""),
        "{arguments:?} {}",
        ended.err
    );
    for part in where_and_what {
        assert!(ended.err.contains(part), "{part}: {}", ended.err);
    }
    assert_eq!(ended.err.trim_end().lines().count(), 1, "{}", ended.err);
    assert!(!folder.path().join("report").exists());
}

#[test]
fn csv() {
    let cases: [(&str, &[&str]); 14] = [
        ("", &["capture.csv: ", "holds no row", "allowed"]),
        ("# only words\n\n", &["holds no row"]),
        (
            "time,light\n",
            &["one row or none", "allowed are two or more"],
        ),
        ("time,light\n0,1\n", &["one row or none"]),
        (
            "time,light\n0,1\n1,NaN\n",
            &["capture.csv:3: ", "\"NaN\"", "allowed"],
        ),
        ("time,light\n0,1\n1,inf\n", &["capture.csv:3: ", "\"inf\""]),
        (
            "time,light\n0,1\n1e999,1\n",
            &["capture.csv:3: ", "\"1e999\""],
        ),
        (
            "time,light\n0,1\n1,2\n0.5,1\n",
            &["capture.csv:4: ", "time runs backwards, from 1 s to 0.5 s"],
        ),
        (
            "time,light\n0,1\n1,2\n1,1\n",
            &["capture.csv:4: ", "time runs backwards"],
        ),
        (
            "time,light\n0,1\n1,2,3\n",
            &["capture.csv:3: ", "3 columns; allowed are 2"],
        ),
        (
            "a,b,c\n0,1,2\n",
            &["capture.csv:1: ", "3 columns; allowed are time and value"],
        ),
        (
            "time,light\n0,1\n1,-0.5\n2,1\n",
            &["negative light: -0.5", "allowed is down to -0.1"],
        ),
        (
            "time,light\n0,1\n1,dark\n",
            &["capture.csv:3: ", "\"dark\" is no finite number"],
        ),
        ("light\n1\n2\n", &["needed is its --rate"]),
    ];
    for (text, parts) in cases {
        let folder = Folder::new();
        folder.write("capture.csv", text);
        assert_refused(&folder, &["capture.csv", "--report", "report"], parts);
    }
}

#[test]
fn csv_options() {
    let folder = Folder::new();
    folder.write("two.csv", "time_ms,light\n0,1\n1,2\n");
    assert_refused(
        &folder,
        &["two.csv", "--rate", "1000"],
        &["allowed is --rate with a column of values alone"],
    );
    assert_refused(
        &folder,
        &["two.csv", "--time-unit", "us"],
        &["two.csv:1: ", "another unit of time"],
    );
    folder.write("one.csv", "1\n2\n");
    assert_refused(
        &folder,
        &["one.csv", "--rate", "0"],
        &["allowed are 1 Hz to 1 GHz"],
    );
    assert_refused(&folder, &["none.csv"], &["none.csv: cannot be read"]);
    folder.write("light.dat", "1\n2\n");
    assert_refused(&folder, &["light.dat"], &["allowed are .csv"]);
}

#[test]
fn wav() {
    let whole = fs::read(capture("sine_pcm16.wav")).unwrap();
    let folder = Folder::new();
    let path = folder.path().join("capture.wav");
    let mut stereo = whole.clone();
    stereo[22] = 2;
    stereo[28..32].copy_from_slice(&80_000_u32.to_le_bytes());
    stereo[32] = 4;
    let mut float = fs::read(capture("sine_float.wav")).unwrap();
    let end = float.len();
    float[end - 400..end - 396].copy_from_slice(&f32::NAN.to_le_bytes());
    for (bytes, part) in [
        (
            whole[..30_000].to_vec(),
            "truncated: it holds 14978 of the 40000 samples",
        ),
        (whole[..20].to_vec(), "no whole WAV"),
        (Vec::new(), "no whole WAV"),
        (stereo, "2 channels; allowed is one"),
        (float, "is NaN; allowed are finite numbers"),
    ] {
        fs::write(&path, bytes).unwrap();
        assert_refused(
            &folder,
            &["capture.wav", "--report", "report"],
            &["capture.wav: ", part],
        );
    }
}

#[test]
fn vcd() {
    let head = "$timescale 1 us $end\n$var wire 1 ! red $end\n$enddefinitions $end\n";
    let bodies: [(&str, &str); 7] = [
        ("#0\n0!\n#10\nx!\n#20\n", "capture.vcd:7: state x"),
        ("#0\n0!\n#10\nz!\n#20\n", "capture.vcd:7: state z"),
        ("#0\n#10\n", "no state yet"),
        (
            "#0\n0!\n#10\n1!\n#5\n0!\n",
            "time runs backwards, from 10 to 5",
        ),
        ("", "no time in it"),
        (
            "#0\n0!\n#1000000000000\n1!\n",
            "no change for 1000000 s; allowed are 600 s",
        ),
        ("#0\n0!\n%\n", "no VCD of IEEE 1364"),
    ];
    for (body, part) in bodies {
        let folder = Folder::new();
        folder.write("capture.vcd", &format!("{head}{body}"));
        assert_refused(&folder, &["capture.vcd"], &[part]);
    }
    let folder = Folder::new();
    folder.write("capture.vcd", &format!("{head}#0\n0!\n#10\n1!\n#2000000\n"));
    assert_refused(
        &folder,
        &["capture.vcd", "--weight", "blue=1"],
        &["no one-bit signal \"blue\"; allowed are red"],
    );
    folder.write(
        "bare.vcd",
        "$var wire 1 ! red $end\n$enddefinitions $end\n#0\n",
    );
    assert_refused(&folder, &["bare.vcd"], &["no $timescale"]);
}

#[test]
fn against() {
    let folder = Folder::new();
    let sine = capture("sine_pcm16.wav");
    let sine = sine.to_str().unwrap();
    folder.write("other.json", "{}");
    assert_refused(
        &folder,
        &[sine, "--against", "other.json"],
        &["other.json: ", "schema_version 1"],
    );
    folder.write(
        "document.json",
        &folder.run(&["measure", sine, "--json"]).out,
    );
    let ended = folder.run(&["measure", sine, "--against", "document.json"]);
    assert!(
        ended
            .out
            .contains("SVM measured 1.951, simulated 1.951 (0 to 2 s)"),
        "{}",
        ended.out
    );
    assert_refused(
        &folder,
        &[sine, "--against", "document.json", "--at", "noon"],
        &["no metric that both have; its places are 0 to 2 s"],
    );
}
