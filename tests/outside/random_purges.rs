//! Purges that no person would plan.

use crate::boom_purges::{Recipe, recipe};
use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use sim_core::simulation::{AirRecord, MovedRecord, Record, RunError, run};
use sim_core::transport::Amount;
use std::sync::mpsc;
use std::time::{Duration, Instant};

/// The purge of number `seed`, always the same.
fn planned(seed: u64) -> Recipe {
    let mut bytes = [0; 32];
    bytes[..8].copy_from_slice(&seed.to_le_bytes());
    let rng = TestRng::from_seed(RngAlgorithm::ChaCha, &bytes);
    let mut runner = TestRunner::new_with_rng(Config::default(), rng);
    recipe().new_tree(&mut runner).unwrap().current()
}

/// What is wrong with the record of a purge, if anything.
fn fault(record: Result<Record, RunError>) -> Option<String> {
    let record = match record {
        Ok(record) => record,
        Err(error) => return Some(error.to_string()),
    };
    let steps = record.steps.iter().filter_map(|step| step.moved.as_ref());
    let moved: Vec<&MovedRecord> = steps.collect();
    moved.iter().find_map(|moved| out_of_balance(moved)).or_else(|| made(&moved))
}

/// By how much liquid, product or air does not balance, if by more than 1e-9.
fn out_of_balance(moved: &MovedRecord) -> Option<String> {
    let air = moved.air.as_ref().map_or(0.0, |air| air.error);
    let worst = moved.liquid_error.max(moved.product_error).max(air);
    (worst.is_nan() || worst > 1e-9).then(|| format!("out of balance by {worst:.1e}"))
}

/// Whether more came back, was lost and is left than was in the lines before: liquid, and product, of which lines were
/// full and the tank had none. Less by below a ten-thousandth waits in fittings between two moves.
fn made(moved: &[&MovedRecord]) -> Option<String> {
    let airs: Vec<&AirRecord> = moved.iter().filter_map(|moved| moved.air.as_ref()).collect();
    let (first, last) = (airs.first()?, airs.last()?);
    let gone = |of: fn(&Amount) -> f64| -> f64 {
        airs.iter().map(|air| of(&air.returned) + of(&air.lost)).sum()
    };
    let left: f64 = last.left.iter().map(|left| left.liquid_m3()).sum();
    let product: f64 = last.left.iter().map(|left| left.product_m3).sum();
    let off = [gone(|amount| amount.liquid_m3) + left, gone(|amount| amount.product_m3) + product];
    let off = off.map(|amount| amount / first.at_start_m3 - 1.0);
    let counts = off.into_iter().find(|off| !(-1e-4..1e-9).contains(off));
    counts.map(|off| format!("what was there and what became of it differ by {off:.1e}"))
}

/// Runs the purge of number `seed` for at most `longest`; what is wrong with it, and how long it took.
fn purged(seed: u64, longest: Duration) -> (Option<String>, Duration) {
    let (tell, told) = mpsc::channel();
    let start = Instant::now();
    std::thread::spawn(move || {
        let fault = std::panic::catch_unwind(|| {
            let (machine, course) = planned(seed).purge();
            fault(run(&machine, &course))
        });
        // Nobody listens any more where it took too long.
        tell.send(fault.unwrap_or_else(|_| Some("panicked".into()))).ok();
    });
    let fault = told.recv_timeout(longest);
    let fault = fault.unwrap_or_else(|_| Some(format!("not done after {longest:?}")));
    (fault, start.elapsed())
}

fn all_run(seeds: std::ops::Range<u64>) {
    let (mut faults, mut slowest) = (Vec::new(), (Duration::ZERO, 0));
    for seed in seeds {
        let (fault, took) = purged(seed, Duration::from_secs(20));
        slowest = slowest.max((took, seed));
        if let Some(fault) = fault {
            println!("purge {seed}: {fault} ({took:.1?})");
            faults.push(seed);
        }
    }
    println!("slowest: {slowest:?}");
    assert!(faults.is_empty(), "{} purges fail: {faults:?}", faults.len());
}

#[test]
fn a_few_random_purges_run_through() {
    all_run(2..8);
}

/// `cargo test -p checks --test outside -- --ignored random_purges` takes a few minutes.
#[test]
#[ignore = "takes minutes; the command is beside it"]
fn five_hundred_random_purges_run_through() {
    all_run(0..500);
}
