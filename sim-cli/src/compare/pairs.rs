//! Which step of one layout is beside which of another?

use crate::results::Finished;
use sim_core::procedure::Action;

/// Steps that are side by side: the number of one step of each layout, where it has one.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Pair {
    pub(super) steps: Vec<Option<usize>>,
}

/// Steps of `runs` by name; of a layout that shares no name with the first, by their order.
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
    let first = &shown[0];
    let alone = |layout: usize, step: usize| {
        let mut steps = vec![None; shown.len()];
        steps[layout] = Some(step);
        Pair { steps }
    };
    let mut pairs: Vec<Pair> = first.iter().map(|(step, _)| alone(0, *step)).collect();
    for (layout, others) in shown.iter().enumerate().skip(1) {
        let named = |name: &str| first.iter().position(|(_, other)| *other == name);
        let share_a_name = others.iter().any(|(_, name)| named(name).is_some());
        for (order, (step, name)) in others.iter().enumerate() {
            let place = if share_a_name { named(name) } else { Some(order) };
            match place.filter(|place| *place < first.len()) {
                Some(place) => pairs[place].steps[layout] = Some(*step),
                None => pairs.push(alone(layout, *step)),
            }
        }
    }
    pairs
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
}
