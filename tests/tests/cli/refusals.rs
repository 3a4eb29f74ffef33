//! Bad input: one clear error with its place, exit code 2, nothing written.

use milliglow_sim::description::BUILT_IN;
use milliglow_tests::program::Folder;

/// A fault in the built-in luminaire's file, and what the error must hold.
struct Fault {
    right: &'static str,
    wrong: &'static str,
    said: &'static [&'static str],
}

const FAULTS: [Fault; 14] = [
    Fault {
        right: "[requirements]",
        wrong: "[hardware]\ntick_hz_max = 700_000\n\n[requirements]",
        said: &["tick_hz_max", "at least 750_000 Hz"],
    },
    Fault {
        right: "tick_hz = 750_000",
        wrong: "tick_hx = 3_000_000",
        said: &["7:1", "tick_hx", "did you mean `tick_hz`?"],
    },
    Fault {
        right: "tick_hz = 750_000\n",
        wrong: "",
        said: &["tick_hz", "help", "tick_hz = "],
    },
    Fault {
        right: "control_hz = 1_000",
        wrong: "control_hz = \"fast\"",
        said: &["9:14", "control_hz"],
    },
    Fault {
        right: "depth = 1_000",
        wrong: "depth = 5",
        said: &["22:9", "depth", "10"],
    },
    Fault {
        right: "tick_hz = 750_000",
        wrong: "tick_hz = 30_000",
        said: &["9:14", "control_hz", "937"],
    },
    Fault {
        right: "name = \"green\"",
        wrong: "name = \"red\"",
        said: &["56:8", "red"],
    },
    Fault {
        right: "x = 0.6950",
        wrong: "x = 0.9",
        said: &["47:", "x"],
    },
    Fault {
        right: "x = 0.6950",
        wrong: "x = nan",
        said: &["47:", "x"],
    },
    Fault {
        right: "recipe = \"daylight\"",
        wrong: "recipe = \"daylite\"",
        said: &["daylite", "daylight"],
    },
    Fault {
        right: "seats = { red",
        wrong: "seats = { rad",
        said: &["rad", "red"],
    },
    Fault {
        right: "schema = 1",
        wrong: "schema = 2",
        said: &["4:10", "schema"],
    },
    Fault {
        right: "light_percent = 0.0",
        wrong: "light_percent = 0.0\nlevel = 3",
        said: &["level", "light_percent"],
    },
    Fault {
        right: "[recipes]",
        wrong: "[recipes",
        said: &[":109:"],
    },
];

#[test]
fn a_fault_in_the_file_gives_one_error_and_nothing_else() {
    for Fault { right, wrong, said } in FAULTS {
        let folder = Folder::new();
        assert!(BUILT_IN.contains(right), "{right}");
        folder.write("bad.toml", &BUILT_IN.replacen(right, wrong, 1));
        let ended = folder.run(&["check", "bad.toml"]);
        assert_eq!((ended.code, ended.out.as_str()), (2, ""), "{wrong}");
        for word in said {
            assert!(
                ended.err.contains(word),
                "{wrong}: no {word} in\n{}",
                ended.err
            );
        }
        assert_eq!(ended.err.matches("error:").count(), 1, "{}", ended.err);
        assert!(ended.err.contains("bad.toml:"), "{}", ended.err);
        assert_eq!(folder.names(), ["bad.toml"], "{wrong}");
    }
}

#[test]
fn files_that_are_none_are_refused() {
    let folder = Folder::new();
    std::fs::write(folder.path().join("bytes.toml"), [0xff, 0xfe, 0x00]).unwrap();
    folder.write("empty.toml", "");
    for (file, said) in [
        ("missing.toml", "missing.toml"),
        (".", "."),
        ("bytes.toml", "UTF-8"),
        ("empty.toml", "schema"),
    ] {
        let ended = folder.run(&["check", file]);
        assert_eq!((ended.code, ended.out.as_str()), (2, ""), "{file}");
        assert!(ended.err.contains(said), "{file}: {}", ended.err);
    }
    assert_eq!(folder.names(), ["bytes.toml", "empty.toml"]);
}

#[test]
fn a_folder_of_somebody_else_is_left_alone() {
    let folder = Folder::new();
    std::fs::create_dir(folder.path().join("mine")).unwrap();
    folder.write("mine/letter.txt", "dear");
    let ended = folder.run(&["check", "--report", "mine"]);
    assert_eq!((ended.code, ended.out.as_str()), (2, ""));
    assert!(ended.err.contains("mine: not written"), "{}", ended.err);
    assert_eq!(folder.read("mine/letter.txt"), "dear");
}

#[test]
fn usage_errors_end_with_2() {
    for arguments in [
        &["check", "--nonsense"][..],
        &["frobnicate"],
        &[],
        &["check", "--json", "--all"],
    ] {
        let ended = Folder::new().run(arguments);
        assert_eq!((ended.code, ended.out.as_str()), (2, ""), "{arguments:?}");
    }
}
