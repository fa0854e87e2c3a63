use crate::booms::booms;
use crate::cases::{faulty, healthy, noisy};
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use rayon::prelude::*;
use sim_core::diagnosis::diagnose;

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
            let rows: Vec<_> = cases.par_iter().enumerate().map(|(i, case)| {
                let mut rng = ChaCha8Rng::seed_from_u64(1000 + i as u64);
                let readings = noisy(case, noise, &mut rng);
                let d = diagnose(&boom.scenario, &readings).unwrap();
                let truth = case.truth.unwrap();
                let at = d.explanations.iter().position(|e| e.faults.len() == 1 && e.faults[0].fault == truth.0);
                let group = at.map(|i| d.explanations[i].group);
                let say = if group != Some(0) {
                    let lead = &d.explanations[0];
                    let w: Vec<String> = lead.faults.iter().map(|f| format!("{} {:.3}", f.fault.words(&boom.scenario.plumbing), f.size)).collect();
                    Some(format!("   {} {:.3} -> {:?} p={:.2} misfit {:.1} ; truth at {:?} misfit {:.1} score {:.1} vs {:.1}", truth.0.words(&boom.scenario.plumbing), truth.1, w, lead.probability, lead.misfit, group, at.map_or(0.0, |i| d.explanations[i].misfit), at.map_or(0.0, |i| d.explanations[i].score), lead.score))
                } else { None };
                (group, at == Some(0), say, d.explanations.iter().filter(|e| e.group == 0 && e.faults.len()==1).count())
            }).collect();
            let n = rows.len() as f64;
            let first = rows.iter().filter(|r| r.0 == Some(0)).count() as f64 / n;
            let strict = rows.iter().filter(|r| r.1).count() as f64 / n;
            let three = rows.iter().filter(|r| r.0.is_some_and(|g| g < 3)).count() as f64 / n;
            let ties = rows.iter().map(|r| r.3).sum::<usize>() as f64 / n;
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
                "{} noise {noise}: first {first:.3} strict {strict:.3} three {three:.3} tie size {ties:.1} healthy {calm:.3}; {:.2} s a case",
                boom.name,
                start.elapsed().as_secs_f64() / (n + 40.0)
            );
            for r in rows.iter().filter_map(|r| r.2.as_ref()) {
                eprintln!("{r}");
            }
        }
    }
}
