//! The same answer on any number of threads.

use crate::booms::booms;
use crate::cases::{faulty, noisy};
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use rayon::ThreadPoolBuilder;
use sim_core::diagnosis::{diagnose, next};

#[test]
fn the_answer_is_the_same_to_the_last_digit_on_one_thread_and_on_four() {
    let boom = &booms()[0];
    let case = &faulty(boom, 3, 21)[2];
    let readings = noisy(case, 1.0, &mut ChaCha8Rng::seed_from_u64(4));
    let told = |threads: usize| {
        let pool = ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| {
            let diagnosis = diagnose(&boom.scenario, &readings).unwrap();
            let list = next(&boom.scenario, &readings, &diagnosis).unwrap();
            format!("{diagnosis:?} {list:?}")
        })
    };
    assert_eq!(told(1), told(4));
}
