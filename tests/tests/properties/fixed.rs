//! That the cases of every property are the same in each run.

use std::fs;
use std::path::Path;

/// How many properties' blocks a folder has, and those of them that name no fixed cases.
fn blocks(folder: &Path) -> (usize, Vec<String>) {
    let (mut count, mut random) = (0, Vec::new());
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            let (more, of_them) = blocks(&path);
            count += more;
            random.extend(of_them);
        } else if path.extension().is_some_and(|extension| extension == "rs") {
            let text = fs::read_to_string(&path).unwrap();
            for block in text.split("\nproptest! {\n").skip(1) {
                let settings = block.lines().next().unwrap_or_default();
                count += 1;
                if !["cases()", "RngSeed::Fixed"]
                    .iter()
                    .any(|fixed| settings.contains(fixed))
                {
                    random.push(path.display().to_string());
                }
            }
        }
    }
    (count, random)
}

#[test]
fn every_property_draws_from_a_fixed_seed() {
    let (count, random) = blocks(Path::new("tests"));
    assert!(count > 40, "{count}");
    assert!(random.is_empty(), "{random:?}");
}
