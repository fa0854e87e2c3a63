//! What a run has to say, piece by piece: printed as text here, set as a page elsewhere.

use super::Piece;
use crate::columns::{Table, WIDTH, broken};

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
    /// A table, and what it can be asked for by.
    Table(Option<Piece>, Table),
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
        self.add(None, table);
    }

    /// Adds a table that can be asked for as `piece`; none where it has no rows.
    pub(crate) fn piece(&mut self, piece: Piece, table: Table) {
        self.add(Some(piece), table);
    }

    fn add(&mut self, piece: Option<Piece>, table: Table) {
        if !table.rows.is_empty() {
            self.blocks.push(Block::Table(piece, table));
        }
    }

    /// The pieces as text in lines of `width` columns.
    pub(crate) fn to_text(&self, width: usize) -> String {
        let mut out = String::new();
        for block in &self.blocks {
            match block {
                Block::Step(heading) => out.push_str(&format!("\n{}", underlined(heading, "-"))),
                Block::Answer(text) | Block::Sentences(text) => {
                    out.push_str(&broken(text, "", width))
                }
                Block::Warning(text) => out.push_str(&broken(&format!("! {text}"), "  ", width)),
                Block::Table(_, table) => out.push_str(&table.within(width)),
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
