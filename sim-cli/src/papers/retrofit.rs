//! From a machine as it is to one as it shall be: what is removed, used again, bought.

use super::parts_list::PartCount;
use super::pieces::CutPiece;

/// Length by which a piece may fall short of the one it takes the place of, m: a tape measure's.
const TAPE_M: f64 = 0.001;

/// What becomes of every piece and part.
#[derive(Debug, Default)]
pub(super) struct RetrofitPlan<'a> {
    /// New pieces, each with the old one that serves.
    pub(super) reuse: Vec<Reused<'a>>,
    pub(super) buy: Vec<&'a CutPiece>,
    pub(super) remove: Vec<&'a CutPiece>,
    pub(super) parts: Vec<PartChange<'a>>,
}

/// A new piece and the old one that it is made of.
#[derive(Debug)]
pub(super) struct Reused<'a> {
    pub(super) new: &'a CutPiece,
    pub(super) old: &'a CutPiece,
}

impl Reused<'_> {
    /// What is done with the old piece.
    pub(super) fn how(&self) -> &'static str {
        match (self.new.name == self.old.name, same_length(self.old, self.new)) {
            (true, true) => "stays",
            (false, true) => "moves",
            _ => "cut shorter",
        }
    }
}

/// Parts of one kind and size, before and after.
#[derive(Debug)]
pub(super) struct PartChange<'a> {
    /// The part, as the machine that has it lists it.
    pub(super) part: &'a PartCount,
    pub(super) had: usize,
    pub(super) needs: usize,
}

impl PartChange<'_> {
    pub(super) fn reuse(&self) -> usize {
        self.had.min(self.needs)
    }

    pub(super) fn buy(&self) -> usize {
        self.needs.saturating_sub(self.had)
    }

    pub(super) fn remove(&self) -> usize {
        self.had.saturating_sub(self.needs)
    }
}

/// What leads from the machine of the `old` pieces and parts to that of the `new` ones.
pub(super) fn retrofit<'a>(
    (old, old_parts): (&'a [CutPiece], &'a [PartCount]),
    (new, new_parts): (&'a [CutPiece], &'a [PartCount]),
) -> RetrofitPlan<'a> {
    let mut left: Vec<&CutPiece> = old.iter().collect();
    let mut reuse = Vec::new();
    // First what stays where it is, then what serves as it is elsewhere, then what is cut from something longer, the longest
    // first: short pieces are found more easily.
    let mut missing: Vec<&CutPiece> = new.iter().collect();
    let stays = |old: &CutPiece, new: &CutPiece| same_length(old, new) && old.name == new.name;
    for fits in [stays, same_length, long_enough] {
        missing.sort_by(|a, b| b.length_m.total_cmp(&a.length_m).then(a.number.cmp(&b.number)));
        missing.retain(|new| {
            let serves =
                left.iter().enumerate().filter(|(_, old)| alike(old, new) && fits(old, new));
            let shortest = serves.min_by(|a, b| a.1.length_m.total_cmp(&b.1.length_m));
            let Some((at, _)) = shortest else { return true };
            reuse.push(Reused { new, old: left.remove(at) });
            false
        });
    }
    missing.sort_by_key(|piece| piece.number);
    reuse.sort_by_key(|reused| reused.new.number);
    RetrofitPlan { reuse, buy: missing, remove: left, parts: changes(old_parts, new_parts) }
}

/// Whether `old` can be what `new` is: of the same bore and material, and rated for as much.
fn alike(old: &CutPiece, new: &CutPiece) -> bool {
    let bears = match (old.rating_pa, new.rating_pa) {
        (_, None) => true,
        (Some(old), Some(new)) => old >= new,
        (None, Some(_)) => false,
    };
    bears && old.material == new.material && (old.bore_m / new.bore_m - 1.0).abs() < 1e-6
}

/// Whether `old` serves as it is. A tube that carries bodies is drilled for them.
fn same_length(old: &CutPiece, new: &CutPiece) -> bool {
    old.tips.len() == new.tips.len() && (old.length_m - new.length_m).abs() <= TAPE_M
}

/// Whether `new` can be cut from `old`.
fn long_enough(old: &CutPiece, new: &CutPiece) -> bool {
    old.tips.is_empty() && new.tips.is_empty() && old.length_m + TAPE_M >= new.length_m
}

fn changes<'a>(old: &'a [PartCount], new: &'a [PartCount]) -> Vec<PartChange<'a>> {
    let count_in = |list: &[PartCount], part: &PartCount| {
        let same = list.iter().find(|o| (&o.kind, &o.words) == (&part.kind, &part.words));
        same.map_or(0, |same| same.count)
    };
    let needed = new.iter().map(|part| (part, count_in(old, part), part.count));
    let gone = old.iter().filter(|part| count_in(new, part) == 0);
    let gone = gone.map(|part| (part, part.count, 0));
    needed.chain(gone).map(|(part, had, needs)| PartChange { part, had, needs }).collect()
}
