//! Which step of one layout is beside which of another?

use crate::results::Finished;
use sim_core::procedure::Action;

/// Steps that are side by side: the number of one step of each layout, where it has one.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Pair {
    pub(super) steps: Vec<Option<usize>>,
}

/// Steps of `runs` by name; of a layout that shares no name with those before it, by their order.
pub(super) fn pairs(runs: &[Finished]) -> Vec<Pair> {
    let shown: Vec<Vec<(usize, &str)>> = runs.iter().map(steps).collect();
    by_name_or_order(&shown)
}

fn steps(run: &Finished) -> Vec<(usize, &str)> {
    let mut purges = 0;
    let called = run.reported_steps().map(|of| {
        purges += usize::from(of.step.action == Action::Purge);
        // A machine's first purges are side by side, whatever their parts are called.
        let first_purge = of.step.action == Action::Purge && purges == 1;
        (of.number, if first_purge { "purge" } else { of.step.name.as_str() })
    });
    called.collect()
}

fn by_name_or_order(shown: &[Vec<(usize, &str)>]) -> Vec<Pair> {
    let mut pairs: Vec<(&str, Pair)> = Vec::new();
    for (layout, own) in shown.iter().enumerate() {
        let known: Vec<&str> = pairs.iter().map(|(name, _)| *name).collect();
        let place_of = |name: &str| known.iter().position(|other| *other == name);
        let share_a_name = own.iter().any(|(_, name)| place_of(name).is_some());
        for (order, (step, name)) in own.iter().enumerate() {
            let place = if share_a_name { place_of(name) } else { Some(order) };
            match place.and_then(|place| pairs.get_mut(place)) {
                // A name that comes twice is beside the other's first.
                Some((_, pair)) if pair.steps[layout].is_none() => pair.steps[layout] = Some(*step),
                _ => {
                    let mut steps = vec![None; shown.len()];
                    steps[layout] = Some(*step);
                    pairs.push((name, Pair { steps }));
                }
            }
        }
    }
    pairs.into_iter().map(|(_, pair)| pair).collect()
}

#[cfg(test)]
mod tests {
    use super::by_name_or_order;

    fn paired(a: &[(usize, &str)], b: &[(usize, &str)]) -> Vec<Vec<Option<usize>>> {
        by_name_or_order(&[a.to_vec(), b.to_vec()]).into_iter().map(|pair| pair.steps).collect()
    }

    #[test]
    fn steps_pair_by_name_or_where_no_name_is_shared_by_order() {
        let by_name = paired(&[(0, "spray"), (1, "stand")], &[(0, "circulate"), (3, "spray")]);
        assert_eq!(by_name, [vec![Some(0), Some(3)], vec![Some(1), None], vec![None, Some(0)]]);
        let by_order = paired(&[(0, "prime")], &[(0, "circulate"), (1, "spray")]);
        assert_eq!(by_order, [vec![Some(0), Some(0)], vec![None, Some(1)]]);
    }

    #[test]
    fn a_step_that_one_of_three_lacks_is_beside_that_of_the_others() {
        let three = by_name_or_order(&[
            vec![(0, "spray"), (1, "stand")],
            vec![(0, "spray"), (1, "purge")],
            vec![(0, "purge"), (1, "spray"), (2, "stand")],
        ]);
        let three: Vec<_> = three.into_iter().map(|pair| pair.steps).collect();
        assert_eq!(
            three,
            [
                vec![Some(0), Some(0), Some(1)],
                vec![Some(1), None, Some(2)],
                vec![None, Some(1), Some(0)]
            ]
        );
    }
}
