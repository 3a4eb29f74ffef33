//! What the command prints, writes and refuses.

use milliglow_tests::program::Folder;
use serde_json::Value;

#[test]
fn its_help() {
    let ended = Folder::new().run(&["emit", "--help"]);
    assert_eq!(ended.code, 0);
    insta::assert_snapshot!("emit_help", ended.out);
}

#[test]
fn c_of_the_built_in_luminaire() {
    let ended = Folder::new().run(&["emit", "--language", "c"]);
    assert_eq!((ended.code, ended.err.as_str()), (0, ""));
    insta::assert_snapshot!("emit_c", ended.out);
}

#[test]
fn it_writes_over_its_own_files_only() {
    let folder = Folder::new();
    let arguments = ["emit", "--language", "c", "--output", "made/here"];
    let ended = folder.run(&arguments);
    assert_eq!(
        (ended.code, ended.out.as_str()),
        (
            0,
            "made/here/cove_light.h written\nmade/here/cove_light.c written\n"
        )
    );
    let first = folder.read("made/here/cove_light.c");
    assert_eq!(folder.run(&arguments).code, 0);
    assert_eq!(folder.read("made/here/cove_light.c"), first);
    folder.write("made/here/cove_light.c", "mine");
    let header = folder.read("made/here/cove_light.h") + "// older\n";
    folder.write("made/here/cove_light.h", &header);
    let ended = folder.run(&arguments);
    assert_eq!((ended.code, ended.out.as_str()), (2, ""));
    assert!(
        ended
            .err
            .starts_with("error: made/here/cove_light.c: not written, since it exists and"),
        "{}",
        ended.err
    );
    assert_eq!(folder.read("made/here/cove_light.c"), "mine");
    assert_eq!(folder.read("made/here/cove_light.h"), header);
}

#[test]
fn what_it_cannot_do_is_refused() {
    let folder = Folder::new();
    folder.write("bad.toml", "schema = 1\ntick_hx = 1");
    folder.write("file", "mine");
    let cases: [(&[&str], &str); 5] = [
        (&["emit", "bad.toml"], "did you mean `tick_hz`?"),
        (&["emit", "none.toml"], "cannot read the luminaire"),
        (&["emit", "--language", "ada"], "possible values: rust, c"),
        (&["emit", "--output", "file"], "file: cannot be written"),
        (&["emit", "--quiet"], "--output"),
    ];
    for (arguments, said) in cases {
        let ended = folder.run(arguments);
        assert_eq!((ended.code, ended.out.as_str()), (2, ""), "{arguments:?}");
        assert!(ended.err.contains(said), "{arguments:?}: {}", ended.err);
        assert_eq!(folder.names(), ["bad.toml", "file"], "{arguments:?}");
    }
}

#[test]
fn one_document() {
    let folder = Folder::new();
    let json = |arguments: &[&str]| -> Value {
        let ended = folder.run(arguments);
        assert_eq!((ended.code, ended.err.as_str()), (0, ""));
        serde_json::from_str(&ended.out).unwrap()
    };
    let printed = json(&["emit", "--json"]);
    assert_eq!(printed["schema_version"], 1);
    assert_eq!(printed["language"], "rust");
    assert_eq!(printed["files"][0]["name"], "cove_light.rs");
    assert_eq!(printed["files"][0]["path"], Value::Null);
    let text = printed["files"][0]["text"].as_str().unwrap();
    assert!(text.contains(printed["input"]["sha256"].as_str().unwrap()));
    assert!(folder.names().is_empty());
    let written = json(&["emit", "--json", "--language", "c", "--output", "."]);
    assert_eq!(written["files"][1]["path"], "./cove_light.c");
    assert_eq!(written["files"][1]["text"], folder.read("cove_light.c"));
}
