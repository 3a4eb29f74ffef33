//! Tables of the README that tests keep true.

use std::path::Path;

/// Holds what stands between two marks against `table`, or writes it there if `MILLIGLOW_WRITE_README` is set.
///
/// # Panics
/// If a mark is missing, or the README says something else.
pub fn keep(name: &str, table: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../README.md");
    let readme = std::fs::read_to_string(&path).expect("a README");
    let begin_mark = format!("<!-- {name}: begin -->\n");
    let begin = readme.find(&begin_mark).expect("the begin mark") + begin_mark.len();
    let end = readme
        .find(&format!("<!-- {name}: end -->\n"))
        .expect("the end mark");
    if std::env::var_os("MILLIGLOW_WRITE_README").is_some() {
        let text = format!("{}{table}{}", &readme[..begin], &readme[end..]);
        std::fs::write(&path, text).expect("a README that can be written");
    } else {
        let head = "see the head of this test's file for how to write it anew";
        assert_eq!(&readme[begin..end], table, "{head}");
    }
}
