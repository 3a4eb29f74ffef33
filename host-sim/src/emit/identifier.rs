//! From names that people gave to names that a compiler takes.

/// Longest made of a name, so that no line gets too long.
const LONGEST: usize = 30;

/// A name's ASCII letters and digits in lower case, each run of anything else one `_`; `else_named` where there are none.
pub(super) fn plain(name: &str, else_named: &str) -> String {
    let words = name.split(|c: char| !c.is_ascii_alphanumeric());
    let words: Vec<_> = words.filter(|word| !word.is_empty()).collect();
    let mut joined = words.join("_").to_ascii_lowercase();
    joined.truncate(LONGEST);
    match joined.trim_end_matches('_') {
        "" => else_named.to_owned(),
        kept => kept.to_owned(),
    }
}

/// What a luminaire's files, and in C its functions, are called: begins with a letter, and with no word of the library's.
pub(super) fn of_luminaire(name: &str) -> String {
    let plain = plain(name, "luminaire");
    if plain.starts_with(|c: char| c.is_ascii_digit()) || plain.starts_with("milliglow") {
        return format!("luminaire_{plain}");
    }
    plain
}

/// One a name, in upper case, no two the same.
pub(super) fn distinct<'n>(names: impl IntoIterator<Item = &'n str>) -> Vec<String> {
    let mut taken: Vec<String> = Vec::new();
    for name in names {
        let wanted = plain(name, "unnamed").to_ascii_uppercase();
        let numbered = (2..).map(|number| format!("{wanted}_{number}"));
        let mut choices = std::iter::once(wanted.clone()).chain(numbered);
        let free = choices.find(|choice| !taken.contains(choice));
        taken.push(free.unwrap_or(wanted));
    }
    taken
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_become_identifiers() {
        assert_eq!(
            plain("Cove light, first draft", "x"),
            "cove_light_first_draft"
        );
        assert_eq!(plain("../\u{591c}", "x"), "x");
        assert_eq!(plain(&"long ".repeat(20), "x").len(), 29);
        assert_eq!(of_luminaire("3 whites"), "luminaire_3_whites");
        assert_eq!(of_luminaire("Milliglow"), "luminaire_milliglow");
        assert_eq!(of_luminaire("!"), "luminaire");
    }

    #[test]
    fn no_two_are_the_same() {
        let names = ["a-b", "a b", "A_B 2", "", "?"];
        let made = distinct(names);
        assert_eq!(made, ["A_B", "A_B_2", "A_B_2_2", "UNNAMED", "UNNAMED_2"]);
    }
}
