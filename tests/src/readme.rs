//! Tables of the README that tests keep true.

use std::path::Path;

/// The table between `<!-- MARK: begin -->` and `<!-- MARK: end -->`, or what `MILLIGLOW_WRITE_README=1` writes there.
///
/// # Panics
/// If the README holds another.
pub fn keep(mark: &str, table: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../README.md");
    let readme = std::fs::read_to_string(&path).expect("README.md");
    let (first, last) = (
        format!("<!-- {mark}: begin -->\n"),
        format!("<!-- {mark}: end -->\n"),
    );
    let begin = readme.find(&first).expect("the begin mark") + first.len();
    let end = readme.find(&last).expect("the end mark");
    if std::env::var_os("MILLIGLOW_WRITE_README").is_some() {
        let page = format!("{}{table}{}", &readme[..begin], &readme[end..]);
        std::fs::write(&path, page).expect("README.md");
    } else {
        assert_eq!(
            &readme[begin..end],
            table,
            "see the head of this test for how to write it anew"
        );
    }
}
