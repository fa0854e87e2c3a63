//! What a run has to say, piece by piece: printed as text here, set as a page elsewhere.

use crate::columns::{Table, WIDTH, wrapped};

/// One piece.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Block {
    /// A step begins.
    Step(String),
    /// The step in a few sentences.
    Answer(String),
    /// Sentences.
    Sentences(String),
    /// Something the user must know.
    Warning(String),
    Table(Table),
    /// What follows belongs to the run as a whole.
    Whole,
}

/// The pieces in order.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Page {
    pub(crate) blocks: Vec<Block>,
}

impl Page {
    /// Adds sentences; none where `text` is empty.
    pub(crate) fn paragraph(&mut self, text: impl Into<String>) {
        let text = text.into();
        if !text.is_empty() {
            self.blocks.push(Block::Sentences(text));
        }
    }

    /// Adds a table; none where it has no rows.
    pub(crate) fn table(&mut self, table: Table) {
        if !table.rows.is_empty() {
            self.blocks.push(Block::Table(table));
        }
    }

    /// The pieces as text of at most a terminal's width.
    pub(crate) fn to_text(&self) -> String {
        let mut out = String::new();
        for block in &self.blocks {
            match block {
                Block::Step(heading) => out.push_str(&format!("\n{}", underlined(heading, "-"))),
                Block::Answer(text) | Block::Sentences(text) => out.push_str(&wrapped(text, "")),
                Block::Warning(text) => out.push_str(&wrapped(&format!("! {text}"), "  ")),
                Block::Table(table) => out.push_str(&table.to_text()),
                Block::Whole => out.push('\n'),
            }
        }
        out
    }
}

/// `heading` over a rule of `rule`.
pub(super) fn underlined(heading: &str, rule: &str) -> String {
    format!("{heading}\n{}\n", rule.repeat(heading.chars().count().min(WIDTH)))
}
