use crate::booms::{Boom, booms};
use crate::cases::{Case, faulty, healthy, noisy, normal};
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use rayon::prelude::*;
use sim_core::diagnosis::{Diagnosis, diagnose, next, simulate};
use sim_core::scenario::Accuracy;

fn truth_at(d: &Diagnosis, case: &Case) -> Option<usize> {
    d.explanations
        .iter()
        .position(|e| e.faults.len() == 1 && Some(e.faults[0].fault) == case.truth.map(|t| t.0))
}

fn say(boom: &Boom, d: &Diagnosis, case: &Case) -> String {
    let truth = case.truth.unwrap();
    let at = truth_at(d, case);
    let lead = &d.explanations[0];
    let w: Vec<String> = lead
        .faults
        .iter()
        .map(|f| format!("{} {:.3}", f.fault.words(&boom.scenario.plumbing), f.size))
        .collect();
    format!(
        "{} {:.3} -> {:?} p={:.2} misfit {:.1} ; truth at {:?} misfit {:.1} score {:.1} vs {:.1}",
        truth.0.words(&boom.scenario.plumbing),
        truth.1,
        w,
        lead.probability,
        lead.misfit,
        at.map(|i| d.explanations[i].group),
        at.map_or(0.0, |i| d.explanations[i].misfit),
        at.map_or(0.0, |i| d.explanations[i].score),
        lead.score
    )
}

#[test]
#[ignore]
fn trial() {
    let per: usize = std::env::var("PER").ok().and_then(|s| s.parse().ok()).unwrap_or(30);
    for boom in booms() {
        let cases = faulty(&boom, per, 1);
        eprintln!(
            "{}: readings {}",
            boom.name,
            cases[0].exact.states.iter().map(|s| s.readings.len()).sum::<usize>()
        );
        for noise in [0.01, 0.02] {
            let start = std::time::Instant::now();
            let rows: Vec<_> = cases
                .par_iter()
                .enumerate()
                .map(|(i, case)| {
                    let mut rng = ChaCha8Rng::seed_from_u64(1000 + i as u64);
                    let mut readings = noisy(case, noise, &mut rng);
                    let mut d = diagnose(&boom.scenario, &readings).unwrap();
                    let mut lines = Vec::new();
                    let mut groups = Vec::new();
                    let mut strict = Vec::new();
                    for round in 0..4 {
                        let at = truth_at(&d, case);
                        let group = at.map(|i| d.explanations[i].group);
                        groups.push(group);
                        strict.push(at == Some(0));
                        if group != Some(0) {
                            lines.push(format!("  round {round}: {}", say(&boom, &d, case)));
                        }
                        if round == 3 {
                            break;
                        }
                        let list = next(&boom.scenario, &readings, &d).unwrap();
                        let Some(m) = list.first() else { continue };
                        if group != Some(0) {
                            lines.push(format!(
                                "     {} in {} gain {:.2}",
                                m.place.words(&boom.scenario.plumbing),
                                m.state.name,
                                m.gain_bits
                            ));
                        }
                        let with = m.taken(0.0, Accuracy::Share(noise), &readings);
                        let exact =
                            simulate(&boom.scenario, &[case.truth.unwrap()], &with).unwrap();
                        let state = exact.states.iter().find(|s| s.name == m.state.name).unwrap();
                        let value =
                            state.readings.last().unwrap().value * (1.0 + noise * normal(&mut rng));
                        readings = m.taken(value, Accuracy::Share(noise), &readings);
                        d = diagnose(&boom.scenario, &readings).unwrap();
                    }
                    (groups, strict, lines)
                })
                .collect();
            let n = rows.len() as f64;
            let share = |f: &dyn Fn(&(Vec<Option<usize>>, Vec<bool>, Vec<String>)) -> bool| {
                rows.iter().filter(|r| f(r)).count() as f64 / n
            };
            let calm: Vec<bool> = (0..40usize)
                .into_par_iter()
                .map(|i| {
                    let mut rng = ChaCha8Rng::seed_from_u64(5000 + i as u64);
                    diagnose(&boom.scenario, &noisy(&healthy(&boom), noise, &mut rng))
                        .unwrap()
                        .explanations[0]
                        .is_healthy()
                })
                .collect();
            let calm = calm.iter().filter(|c| **c).count() as f64 / 40.0;
            eprintln!(
                "{} noise {noise}: first {:.3} strict {:.3} three {:.3} healthy {calm:.3}; after 1,2,3: {:.3} {:.3} {:.3} strict {:.3}  {:.2} s a case",
                boom.name,
                share(&|r| r.0[0] == Some(0)),
                share(&|r| r.1[0]),
                share(&|r| r.0[0].is_some_and(|g| g < 3)),
                share(&|r| r.0.get(1) == Some(&Some(0))),
                share(&|r| r.0.get(2) == Some(&Some(0))),
                share(&|r| r.0.last() == Some(&Some(0))),
                share(&|r| *r.1.last().unwrap()),
                start.elapsed().as_secs_f64() / (n + 40.0)
            );
            for r in &rows {
                for l in &r.2 {
                    eprintln!("{l}");
                }
            }
        }
    }
}
