//! The page, in Markdown.

/// A figure beside its aim and its peer's.
#[derive(Clone, Debug, Default)]
pub(super) struct Figure {
    pub(super) what: String,
    pub(super) ours: String,
    pub(super) aim: String,
    pub(super) error: String,
    pub(super) peer: String,
    pub(super) theirs: String,
    pub(super) ratio: String,
    pub(super) peer_error: String,
}

/// The page in the making.
pub(super) struct Page {
    head: String,
    sections: String,
    /// What the README quotes: what, and its figure.
    matters: Vec<(String, String)>,
}

const HEAD: &str = "\
# How fast

Written by `cargo run --release -p milliglow-benches`; do not edit. Every figure is of this one run, ratios too. Times move with the
machine and gate nothing: what gates are counted instructions, `tests/m0/ledger.csv` of a Cortex-M0 and `benches/counts.csv` of a PC.
";

impl Page {
    pub(super) fn new(machine: &[String]) -> Self {
        Self {
            head: format!("{HEAD}\n{}\n", machine.join("\n")),
            sections: String::new(),
            matters: Vec::new(),
        }
    }

    /// A line that the README quotes.
    pub(super) fn matters(&mut self, what: &str, figure: String) {
        self.matters.push((what.to_owned(), figure));
    }

    /// A section: what it is about, the command that does it alone, and what it found.
    pub(super) fn section(&mut self, title: &str, words: &str, command: &str, found: &str) {
        println!("{title}\n{found}");
        self.sections += &format!("\n## {title}\n\n{words}\n");
        if !command.is_empty() {
            self.sections += &format!("\n```sh norun\n{command}\n```\n");
        }
        self.sections += &format!("\n{found}");
    }

    pub(super) fn text(&self) -> String {
        let lines = self.matters.iter();
        let lines: String = lines
            .map(|(what, figure)| format!("| {what} | {figure} |\n"))
            .collect();
        format!(
            "{}\n<!-- results: begin -->\n| what matters | measured |\n|---|---|\n{lines}<!-- results: end -->\n{}",
            self.head,
            self.sections.trim_end().to_owned() + "\n"
        )
    }
}

/// A table of figures.
pub(super) fn figures(figures: &[Figure]) -> String {
    let head = "| what | ours | aim | error | peer | peer's | ratio | error of peer |\n|---|---:|---:|---|---|---:|---:|---|\n";
    let line = |figure: &Figure| {
        let cells = [
            &figure.what,
            &figure.ours,
            &figure.aim,
            &figure.error,
            &figure.peer,
            &figure.theirs,
            &figure.ratio,
            &figure.peer_error,
        ];
        let cells: Vec<_> = cells.into_iter().map(String::as_str).collect();
        format!("| {} |\n", cells.join(" | "))
    };
    head.to_owned() + &figures.iter().map(line).collect::<String>()
}

/// A table of other columns; all but the first to the right.
pub(super) fn table(head: &[&str], rows: &[Vec<String>]) -> String {
    let mut text = format!("| {} |\n|---|", head.join(" | "));
    text += &"---:|".repeat(head.len() - 1);
    text += "\n";
    for row in rows {
        text += &format!("| {} |\n", row.join(" | "));
    }
    text
}
