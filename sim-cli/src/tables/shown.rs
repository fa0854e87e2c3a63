//! What was asked for by name.

use super::{Block, Page, Piece, figures, lists, page};
use crate::results::{Finished, FinishedStep};
use clap::ValueEnum as _;

/// Those pieces of a run that were asked for: tables of the whole run first, then step by step, then long lists.
pub(crate) fn shown(finished: &Finished, pieces: &[Piece]) -> Page {
    let asked = |piece: Piece| pieces.contains(&piece);
    let mut out = Page::default();
    if asked(Piece::Figures) {
        let steps: Vec<FinishedStep<'_>> = finished.reported_steps().collect();
        figures::tables(&steps, finished.units).into_iter().for_each(|table| out.table(table));
    }
    let mut steps: Vec<Block> = page(finished).blocks;
    let whole = steps.iter().position(|block| *block == Block::Whole).unwrap_or(steps.len());
    steps.truncate(whole);
    steps.retain(|block| match block {
        Block::Step(_) => true,
        Block::Answer(_) | Block::Sentences(_) => asked(Piece::Sentences),
        Block::Warning(_) => asked(Piece::Warnings),
        Block::Table(piece, _) => piece.is_some_and(asked),
        Block::Whole => false,
    });
    out.blocks.extend(with_content(steps));
    if asked(Piece::Tips) {
        lists::tip_tables(finished).for_each(|table| out.table(table));
    }
    if asked(Piece::Lines) {
        lists::line_tables(finished).for_each(|table| out.table(table));
    }
    if out.blocks.is_empty() {
        out.paragraph("Nothing of that is in this run: no step has such a table.");
    }
    out
}

/// The pieces that `finished` has.
pub(crate) fn pieces(finished: &Finished) -> Vec<Piece> {
    let blocks = page(finished).blocks;
    let has = |piece: &Piece| {
        *piece == Piece::Figures
            || blocks.iter().any(|block| match block {
                Block::Table(of, _) => *of == Some(*piece),
                Block::Warning(_) => *piece == Piece::Warnings,
                Block::Answer(_) => *piece == Piece::Sentences,
                _ => false,
            })
            || matches!(piece, Piece::Tips | Piece::Lines)
    };
    Piece::value_variants().iter().copied().filter(has).collect()
}

/// `blocks` without headings that nothing follows.
fn with_content(blocks: Vec<Block>) -> Vec<Block> {
    let mut kept: Vec<Block> = Vec::new();
    let heads = |block: Option<&Block>| matches!(block, Some(Block::Step(_)));
    for block in blocks {
        if heads(Some(&block)) && heads(kept.last()) {
            kept.pop();
        }
        kept.push(block);
    }
    if heads(kept.last()) {
        kept.pop();
    }
    kept
}
