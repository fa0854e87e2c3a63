//! Which step of one layout stands beside which of another?

use crate::commands::Finished;

/// Steps that stand beside each other: the number of one step of each layout, where it has one.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Pair {
    pub(super) steps: Vec<Option<usize>>,
}

/// Steps of `runs` by name; those whose names the first layout does not know, by their order.
pub(super) fn pairs(runs: &[Finished]) -> Vec<Pair> {
    let shown: Vec<Vec<(usize, &str)>> = runs.iter().map(steps).collect();
    by_name_then_order(&shown)
}

fn steps(run: &Finished) -> Vec<(usize, &str)> {
    let steps = run.loaded.scenario.steps.iter().enumerate();
    steps.filter(|(_, s)| !s.is_middle_pass()).map(|(i, s)| (i, s.name.as_str())).collect()
}

fn by_name_then_order(shown: &[Vec<(usize, &str)>]) -> Vec<Pair> {
    let first = &shown[0];
    let mut pairs: Vec<Pair> = first
        .iter()
        .map(|(i, _)| {
            let mut steps = vec![None; shown.len()];
            steps[0] = Some(*i);
            Pair { steps }
        })
        .collect();
    for (k, others) in shown.iter().enumerate().skip(1) {
        let place_of = |name: &str| first.iter().position(|(_, other)| *other == name);
        let (named, rest): (Vec<_>, Vec<_>) =
            others.iter().copied().partition(|(_, name)| place_of(name).is_some());
        for (i, name) in named {
            if let Some(place) = place_of(name) {
                pairs[place].steps[k] = Some(i);
            }
        }
        let mut rest = rest.into_iter();
        for pair in &mut pairs {
            if pair.steps[k].is_none() {
                pair.steps[k] = rest.next().map(|(i, _)| i);
            }
        }
        for (i, _) in rest {
            let mut steps = vec![None; shown.len()];
            steps[k] = Some(i);
            pairs.push(Pair { steps });
        }
    }
    pairs
}

#[cfg(test)]
mod tests {
    use super::by_name_then_order;

    #[test]
    fn steps_pair_by_name_and_the_rest_by_order() {
        let a = vec![(0, "prime"), (1, "spray"), (2, "stand")];
        let b = vec![(0, "circulate"), (3, "spray"), (4, "rinse"), (5, "more")];
        let pairs = by_name_then_order(&[a, b]);
        let steps: Vec<_> = pairs.into_iter().map(|pair| pair.steps).collect();
        assert_eq!(
            steps,
            [
                vec![Some(0), Some(0)],
                vec![Some(1), Some(3)],
                vec![Some(2), Some(4)],
                vec![None, Some(5)]
            ]
        );
    }
}
