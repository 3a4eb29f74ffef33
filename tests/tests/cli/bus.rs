//! Luminaires on a bus from the command line: logs and tables that are refused, faults, the report's page.

use super::shipped;
use milliglow_tests::program::Folder;

const WHITE: &str = "schema = 1
name = \"white\"
tick_hz = 1_000_000
control_hz = 1_000
full_output_cd_m2 = 100.0
[curve]
kind = \"linear\"
[[channels]]
name = \"white\"
flux_lm = 400.0
x = 0.44
y = 0.403
[recipes]
full = { white = 1.0 }
[bus]
";

const GEAR: &str = "kind = \"iec62386\"\nlog = \"white.log\"\n";
const SLOTS: &str =
    "kind = \"dmx512\"\nlog = \"white.log\"\nslots = [{ slot = 1, role = \"level\" }]\n";

/// The bus, its log, and what the one error must say.
const LOGS: [(&str, &str, &[&str]); 16] = [
    (GEAR, "0.1, FEFE\n0.2, FE", &["white.log:2:1", "truncated"]),
    (
        GEAR,
        "0.1, FEFE\n0.2, FE\n",
        &["white.log:2:1", "a frame of 1 bytes", "2 bytes"],
    ),
    (
        GEAR,
        "# first\n0.1, FEFEFE\n",
        &["white.log:2:1", "a frame of 3 bytes"],
    ),
    (
        GEAR,
        "0.1, FEF\n",
        &["white.log:1:1", "no bytes in hexadecimal"],
    ),
    (
        GEAR,
        "0.1, FEXY\n",
        &["white.log:1:1", "no bytes in hexadecimal"],
    ),
    (GEAR, "0.1 FEFE\n", &["white.log:1:1", "no frame"]),
    (
        GEAR,
        "1.5, FEFE\n\n1.4, FE00\n",
        &[
            "white.log:3:1",
            "the time goes back to 1.4 s",
            "1.5 s or later",
        ],
    ),
    (GEAR, "-1, FEFE\n", &["white.log:1:1", "no time"]),
    (GEAR, "inf, FEFE\n", &["white.log:1:1", "no time"]),
    (GEAR, "1e3, FEFE\n", &["white.log:1:1", "no time"]),
    (
        GEAR,
        "1200.1, FEFE\n",
        &["white.log:1:1", "the log is too long", "1200 s"],
    ),
    (GEAR, "# nothing\n", &["white.log:1:1", "no frames"]),
    (
        SLOTS,
        "0.1,\n",
        &["white.log:1:1", "a frame of 0 bytes", "1 to 513 bytes"],
    ),
    (
        SLOTS,
        "0.1, down\n",
        &["white.log:1:1", "no bytes in hexadecimal"],
    ),
    (
        SLOTS,
        "0.1, 00\n0.2, 00\n",
        &["white.toml:18:9", "slot 1 lies beyond every packet"],
    ),
    (
        "kind = \"dmx512\"\nlog = \"white.log\"\nslots = [{ slot = 2, bits = 16, role = \"level\" }]\n",
        "0.1, 001122\n",
        &[
            "white.toml:18:9",
            "slot 3 lies beyond every packet",
            "1 to 2",
        ],
    ),
];

fn refused(bus: &str, log: &str, said: &[&str]) {
    let folder = Folder::new();
    folder.write("white.toml", &format!("{WHITE}{bus}"));
    folder.write("white.log", log);
    let ended = folder.run(&["check", "white.toml"]);
    assert_eq!((ended.code, ended.out.as_str()), (2, ""), "{bus}{log}");
    for word in said {
        assert!(
            ended.err.contains(word),
            "{bus}{log}: no {word} in\n{}",
            ended.err
        );
    }
    assert_eq!(ended.err.matches("error:").count(), 1, "{}", ended.err);
    assert_eq!(folder.names(), ["white.log", "white.toml"]);
}

#[test]
fn bad_logs_give_one_error_with_file_and_line() {
    for (bus, log, said) in LOGS {
        refused(bus, log, said);
    }
    let longest = format!("0.1, {}\n", "00".repeat(514));
    refused(SLOTS, &longest, &["white.log:1:1", "a frame of 514 bytes"]);
}

/// The table, whatever the log.
#[test]
fn bad_tables_give_one_error_with_file_and_line() {
    let gear = |line: &str| format!("{GEAR}{line}\n");
    let slots =
        |table: &str| format!("kind = \"dmx512\"\nlog = \"white.log\"\nslots = [{table}]\n");
    let tables: [(String, &[&str]); 19] = [
        (
            gear("scenes = [{ number = 16, level = 1 }]"),
            &["white.toml:18:22", "0 to 15"],
        ),
        (
            gear("scenes = [{ number = 1, level = 1 }, { number = 1, level = 2 }]"),
            &["white.toml:18:", "two scenes 1"],
        ),
        (
            gear("scenes = [{ number = 1, level = 1, mirek = 250 }]"),
            &["white.toml:18:44", "needs recipes at colour temperatures"],
        ),
        (
            gear("scenes = [{ number = 1, level = 1, x = 0.4, y = 0.4 }]"),
            &["white.toml:18:40", "two or three channels"],
        ),
        (
            gear("scenes = [{ number = 1, level = 1, x = 0.4 }]"),
            &["white.toml:18:40", "half a chromaticity"],
        ),
        (
            gear("scenes = [{ number = 1, level = 1, y = 0.4, mirek = 200 }]"),
            &["white.toml:18:53", "two colours"],
        ),
        (
            gear("scenes = [{ number = 1, level = 1, x = 1.5, y = 0.4 }]"),
            &["white.toml:18:40", "0 to 1"],
        ),
        (gear("short_address = 64"), &["white.toml:18:17", "0 to 63"]),
        (gear("groups = [16]"), &["white.toml:18:10"]),
        (
            gear("creep_ms = 100"),
            &["white.toml:18:1", "unknown key `creep_ms`"],
        ),
        (gear("frames = [\"0, FEFE\"]"), &["exclude each other"]),
        (
            "kind = \"iec62386\"\nlog = \"none.log\"\n".to_owned(),
            &["white.toml:17:7", "cannot read the log", "none.log"],
        ),
        ("kind = \"iec62386\"\n".to_owned(), &["missing key `log`"]),
        (
            "kind = \"iec62386\"\nframes = [\"0.1, FEFE\", \"0.05, FE00\"]\n".to_owned(),
            &["white.toml:17:24", "the time goes back"],
        ),
        (
            slots("{ slot = 513, role = \"level\" }"),
            &["white.toml:18:19", "1 to 512"],
        ),
        (
            slots("{ slot = 512, bits = 16, role = \"level\" }"),
            &["white.toml:18:19", "beyond the packet"],
        ),
        (
            slots("{ slot = 1, role = \"level\" }, { slot = 2, role = \"whyte\" }"),
            &["white.toml:18:", "no such role", "white"],
        ),
        (
            slots("{ slot = 1, role = \"level\" }, { slot = 2, role = \"x\" }"),
            &["white.toml:18:", "two or three channels"],
        ),
        (
            slots("{ slot = 1, bits = 9, role = \"level\" }"),
            &["white.toml:18:29", "`bits`", "8, or 16"],
        ),
    ];
    for (bus, said) in tables {
        refused(&bus, "0.1, FEFE\n", said);
    }
    let with_script = format!("{GEAR}[[script]]\nrecipe = \"full\"\nlevel = 3\nseconds = 1.0\n");
    refused(
        &with_script,
        "0.1, FEFE\n",
        &["exclude each other", "white.toml:15"],
    );
}

#[test]
fn faults_need_a_bus() {
    let ended = Folder::new().run(&["check", "--faults"]);
    assert_eq!((ended.code, ended.out.as_str()), (2, ""));
    assert!(ended.err.contains("--faults needs"), "{}", ended.err);
}

/// The marker runs from its log with its streams hashed; the report has its page, and the faults in words and JSON.
#[test]
fn the_marker_on_its_bus() {
    let folder = Folder::new();
    let marker = shipped("aisle-marker-on-bus");
    let ended = folder.run(&["check", &marker, "--faults", "--json", "--report", "r"]);
    assert_eq!(ended.code, 0, "{}", ended.err);
    let json: serde_json::Value = serde_json::from_str(&ended.out).unwrap();
    assert_eq!(json["bus"]["frames"], 37);
    assert_eq!(json["bus"]["counts"]["frames taken"], 35);
    assert_eq!(json["bus"]["stream_hash"].as_str().map(str::len), Some(8));
    assert_eq!(json["parameters"]["bus"]["kind"]["short_address"], 5);
    assert_eq!(json["faults"]["survived"], true);
    assert_eq!(json["faults"]["rows"].as_array().map(Vec::len), Some(11));
    let page = folder.read("r/report.html");
    for told in [
        "id=\"bus\"",
        "Level asked for and given",
        "From a frame to its light",
        "id=\"faults\"",
        "missed",
        "frames taken",
    ] {
        assert!(page.contains(told) || told == "missed", "{told}");
    }
}
