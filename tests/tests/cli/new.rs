//! `milliglow new`.

use milliglow_tests::program::Folder;

#[test]
fn what_it_writes_passes_check_unchanged() {
    for channels in ["1", "2", "5", "16"] {
        let folder = Folder::new();
        let ended = folder.run(&["new", "hall.toml", "--channels", channels]);
        assert_eq!(ended.code, 0, "{}", ended.err);
        let ended = folder.run(&["check", "hall.toml"]);
        assert_eq!(
            ended.code, 0,
            "{channels} channels:\n{}{}",
            ended.out, ended.err
        );
        assert!(
            ended
                .out
                .ends_with("report: milliglow-report/hall/report.html\n")
        );
    }
}

#[test]
fn it_never_writes_over_a_file() {
    let folder = Folder::new();
    folder.write("hall.toml", "mine");
    let ended = folder.run(&["new", "hall.toml"]);
    assert_eq!((ended.code, ended.out.as_str()), (2, ""));
    assert_eq!(
        ended.err,
        "error: hall.toml: not written, since it exists; give another name\n"
    );
    assert_eq!(folder.read("hall.toml"), "mine");
}

#[test]
fn it_refuses_what_it_cannot_write() {
    let cases: [(&[&str], &str); 4] = [
        (&["new", "hall.toml", "--channels", "0"], "1..=16"),
        (&["new", "hall.toml", "--channels", "17"], "1..=16"),
        (
            &["new", "nowhere/hall.toml"],
            "nowhere/hall.toml: cannot be written",
        ),
        (&["new", ".."], "names no file"),
    ];
    for (arguments, said) in cases {
        let folder = Folder::new();
        let ended = folder.run(arguments);
        assert_eq!(ended.code, 2, "{arguments:?}");
        assert!(ended.err.contains(said), "{arguments:?}: {}", ended.err);
        assert!(folder.names().is_empty(), "{arguments:?}");
    }
}
