//! Pieces to cut: every line of a machine as it is built, a tube whole from end to end.

use sim_core::plumbing::{Branch, BranchId, Line, NodeId, Part, Plumbing};

/// What a line is made of where the scenario does not say.
const UNKNOWN: &str = "line";

/// One piece of hose or tube.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct CutPiece {
    /// Its number on the cut list and on the sketch, from 1.
    pub(super) number: usize,
    pub(super) name: String,
    /// What it is made of, in the words of scenario files.
    pub(super) material: &'static str,
    pub(super) from: String,
    pub(super) to: String,
    pub(super) bore_m: f64,
    pub(super) length_m: f64,
    pub(super) rating_pa: Option<f64>,
    /// The tips whose bodies sit on it, in order.
    pub(super) tips: Vec<String>,
    /// How far each body sits from the end that the piece comes from, m.
    pub(super) bodies_m: Vec<f64>,
    pub(super) note: Option<String>,
    /// The lines of the plumbing that it is, in order.
    pub(super) branches: Vec<BranchId>,
    /// The nodes at its two ends.
    pub(super) ends: [NodeId; 2],
}

impl CutPiece {
    /// Liquid it holds, m3, over its length without allowance.
    pub(super) fn volume_m3(&self) -> f64 {
        Line::plain(self.bore_m, self.length_m).volume_m3()
    }

    /// The bodies on it in words: for which tips.
    pub(super) fn carries(&self) -> Option<String> {
        match &self.tips[..] {
            [] => None,
            [one] => Some(one.clone()),
            [first, .., last] => Some(format!("{first} to {last}")),
        }
    }

    /// How far apart its bodies sit, m, where all are equally far.
    pub(super) fn bodies_apart_m(&self) -> Option<f64> {
        let mut apart = self.bodies_m.windows(2).map(|pair| pair[1] - pair[0]);
        let first = apart.next()?;
        apart.all(|gap| (gap - first).abs() < 1e-6).then_some(first)
    }
}

/// Every piece of `plumbing`, the widest first; of one bore, by what it is made of, then in the order of the plumbing.
pub(super) fn pieces(plumbing: &Plumbing) -> Vec<CutPiece> {
    let joints = Joints::of(plumbing);
    let mut done = vec![false; plumbing.branches.len()];
    let mut pieces = Vec::new();
    for (i, branch) in plumbing.branches.iter().enumerate() {
        let is_cut = branch.part.line().is_some_and(|line| line.length_m > 0.0);
        if is_cut && !done[i] {
            let chain = joints.chain(i);
            chain.branches.iter().for_each(|member| done[*member] = true);
            pieces.push(joints.piece(&chain));
        }
    }
    tell_apart(plumbing, &mut pieces);
    pieces.sort_by(|a, b| b.bore_m.total_cmp(&a.bore_m).then(a.material.cmp(b.material)));
    for (i, piece) in pieces.iter_mut().enumerate() {
        piece.number = i + 1;
    }
    pieces
}

/// Where one tube runs on past a nozzle body.
struct Joints<'a> {
    plumbing: &'a Plumbing,
    /// Branches at each node.
    at: Vec<Vec<usize>>,
    /// Tips at each node.
    tips: Vec<Vec<usize>>,
}

/// Lines one after the other, and the node each of them begins at, and the last ends at.
struct Chain {
    branches: Vec<usize>,
    nodes: Vec<NodeId>,
}

impl<'a> Joints<'a> {
    fn of(plumbing: &'a Plumbing) -> Self {
        let mut at = vec![Vec::new(); plumbing.nodes.len()];
        for (i, branch) in plumbing.branches.iter().enumerate() {
            at[branch.from.index()].push(i);
            at[branch.to.index()].push(i);
        }
        let mut tips = vec![Vec::new(); plumbing.nodes.len()];
        for (i, tip) in plumbing.tips.iter().enumerate() {
            // One body, however many tips it carries.
            if tips[tip.node.index()].is_empty() {
                tips[tip.node.index()].push(i);
            }
        }
        Self { plumbing, at, tips }
    }

    /// The line that goes on from line `i` past `node`: two alike that meet at a body are one tube.
    fn next(&self, i: usize, node: NodeId) -> Option<usize> {
        let [a, b] = self.at[node.index()][..] else { return None };
        let other = if a == i { b } else { a };
        let (one, two) = (&self.plumbing.branches[i], &self.plumbing.branches[other]);
        let body = !self.tips[node.index()].is_empty();
        (body && other != i && alike(one, two)).then_some(other)
    }

    /// The whole tube that line `i` is part of, from the end that its flow comes from.
    fn chain(&self, i: usize) -> Chain {
        let branch = &self.plumbing.branches[i];
        let mut chain = Chain { branches: vec![i], nodes: vec![branch.from, branch.to] };
        for _ in 0..2 {
            chain.branches.reverse();
            chain.nodes.reverse();
            self.extend(&mut chain);
        }
        chain
    }

    /// Adds to the end of `chain` what goes on from there.
    fn extend(&self, chain: &mut Chain) {
        while let (Some(&last), Some(&node)) = (chain.branches.last(), chain.nodes.last()) {
            let Some(next) = self.next(last, node) else { break };
            if chain.branches.contains(&next) {
                break;
            }
            let Branch { from, to, .. } = self.plumbing.branches[next];
            chain.branches.push(next);
            chain.nodes.push(if from == node { to } else { from });
        }
    }

    fn piece(&self, chain: &Chain) -> CutPiece {
        let branches: Vec<&Branch> =
            chain.branches.iter().map(|i| &self.plumbing.branches[*i]).collect();
        let lines: Vec<&Line> = branches.iter().filter_map(|b| b.part.line()).collect();
        let starts_m = lines.iter().scan(0.0, |at, line| {
            *at += line.length_m;
            Some(*at)
        });
        let starts_m: Vec<f64> = std::iter::once(0.0).chain(starts_m).collect();
        // A body where other lines meet too sits on none of them.
        let alone = |at: &usize| {
            self.at[chain.nodes[*at].index()].iter().all(|i| chain.branches.contains(i))
        };
        let tips_at = |at: usize| self.tips[chain.nodes[at].index()].iter().map(move |i| (at, *i));
        let on_it: Vec<(usize, usize)> =
            (0..chain.nodes.len()).filter(alone).flat_map(tips_at).collect();
        let ends = [chain.nodes[0], chain.nodes[chain.nodes.len() - 1]];
        let [from, to] = ends.map(|end| self.end_words(end, &chain.branches));
        CutPiece {
            number: 0,
            name: match &branches[..] {
                [one] => one.name.clone(),
                several => stem(&several[0].name),
            },
            material: lines[0].material.map_or(UNKNOWN, |material| material.name),
            from,
            to,
            bore_m: lines[0].bore_m,
            length_m: lines.iter().map(|line| line.length_m).sum(),
            rating_pa: lines[0].rating_pa,
            tips: on_it.iter().map(|(_, i)| self.plumbing.tips[*i].name.clone()).collect(),
            bodies_m: on_it.iter().map(|(at, _)| starts_m[*at]).collect(),
            note: lines[0].note.clone(),
            branches: chain.branches.iter().map(|i| BranchId::at(*i)).collect(),
            ends,
        }
    }

    /// What the end of a piece at `node` is joined to.
    fn end_words(&self, node: NodeId, own: &[usize]) -> String {
        let at = self.plumbing.node(node);
        if let Some(tank) = at.tank {
            return self.plumbing.tank(tank.tank).name.clone();
        }
        let fed = self.plumbing.sections.iter().find(|section| section.feed_end == Some(node));
        if let Some(section) = fed {
            return format!("feed of section {}", section.name);
        }
        let others = || self.at[node.index()].iter().filter(|i| !own.contains(i));
        let others: Vec<&Branch> = others().map(|i| &self.plumbing.branches[*i]).collect();
        match &others[..] {
            [] if self.tips[node.index()].is_empty() => "cap".into(),
            [part] if !matches!(part.part, Part::Line(_)) => part.name.clone(),
            _ => at.name.clone(),
        }
    }
}

/// Whether two lines that meet at a body are of one tube.
fn alike(a: &Branch, b: &Branch) -> bool {
    let (Some(one), Some(two)) = (a.part.line(), b.part.line()) else { return false };
    let of = |line: &Line| (line.bore_m, line.material.map(|made| made.name), line.rating_pa);
    (a.section, a.side) == (b.section, b.side) && of(one) == of(two)
}

/// The name of a tube by that of one of its lines: without the number at its end.
fn stem(name: &str) -> String {
    let stem = name.trim_end_matches(|c: char| c.is_ascii_digit()).trim_end_matches(['-', '_']);
    if stem.is_empty() { name.to_owned() } else { stem.to_owned() }
}

/// Adds to names that several pieces share where each is along the boom, or its number among them.
fn tell_apart(plumbing: &Plumbing, pieces: &mut [CutPiece]) {
    let names: Vec<String> = pieces.iter().map(|piece| piece.name.clone()).collect();
    let middle = |piece: &CutPiece| {
        let [a, b] = piece.ends.map(|end| plumbing.node(end).x_m.unwrap_or_default());
        0.5 * (a + b)
    };
    for name in &names {
        let mut same: Vec<usize> = (0..pieces.len()).filter(|i| pieces[*i].name == *name).collect();
        same.sort_by(|a, b| middle(&pieces[*a]).total_cmp(&middle(&pieces[*b])));
        match same[..] {
            [] | [_] => {}
            [left, right] => {
                pieces[left].name = format!("{name} left");
                pieces[right].name = format!("{name} right");
            }
            _ => same.iter().enumerate().for_each(|(k, i)| {
                pieces[*i].name = format!("{name} {}", k + 1);
            }),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::pieces;
    use sim_core::plumbing::boom::{Feed, build, example};

    #[test]
    fn a_tube_is_one_piece_from_end_to_end_and_a_feed_in_its_middle_cuts_it() {
        let of = |feed| pieces(&build(&example(2, 6, feed, false)).plumbing);
        let tubes = |feed| -> Vec<(String, usize)> {
            let tubes = of(feed).into_iter().filter(|piece| !piece.tips.is_empty());
            tubes.map(|piece| (piece.name, piece.tips.len())).collect()
        };
        let whole = |name: &str| (name.to_owned(), 6);
        assert_eq!(tubes(Feed::OuterEnd), [whole("1-tube"), whole("2-tube")]);
        let halves = ["1-tube left", "1-tube right", "2-tube left", "2-tube right"];
        assert_eq!(tubes(Feed::Centre), halves.map(|name| (name.to_owned(), 3)));
    }
}
