//! The answer on one screen: what is not met, the figures that matter, what to watch out for.

mod figures;
mod unmet;
mod warnings;

pub(crate) use unmet::not_met;
pub(crate) use warnings::each_once;

use crate::columns::broken;
use crate::results::Finished;
use crate::tables;
use clap::ValueEnum as _;

/// Lines of a screen: what a terminal shows at once, or somewhat more.
const MOST_LINES: usize = 44;

/// What a run comes to, in lines of `width` columns.
pub(crate) fn screen(finished: &Finished, width: usize) -> String {
    let mut out = broken(&finished.scenario().title, "", width);
    out.push_str(&unmet::lines(finished, width));
    out.push_str(&figures::table(finished, width));
    let rest = rest(finished, width);
    let left = MOST_LINES.saturating_sub(out.lines().count() + rest.lines().count());
    out.push_str(&warnings::list(finished, left, width));
    out + &rest
}

/// How to see the rest.
fn rest(finished: &Finished, width: usize) -> String {
    let pieces = tables::pieces(finished).into_iter();
    let names = pieces.filter_map(|piece| Some(piece.to_possible_value()?.get_name().to_owned()));
    let names: Vec<String> = names.collect();
    broken(&format!("The rest: --full, or --show with some of {}", names.join(", ")), "  ", width)
}
