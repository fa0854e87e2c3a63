//! Whatever is typed into the live page, its engine answers, and what it shows stays the last valid state.

use checks::root;
use live::Live;
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;
use serde_json::{Value, json};

const EDITS: usize = 10_000;
const PIECES: [&str; 16] = [
    "\"",
    "[",
    "]",
    "=",
    "{",
    "}",
    "0",
    "9",
    "-",
    "bar",
    " mm",
    "true",
    "\n",
    "1e308",
    "\u{e9}",
    "\u{1f4a7}",
];
/// Small machines: what is typed matters here, not how much is computed.
const SCENARIOS: [&str; 3] = ["larkfield-12m", "quill-loop", "larkfield-12m-two-tips"];

fn ask(live: &mut Live, question: &Value) -> Value {
    serde_json::from_str(&live.ask(&question.to_string())).unwrap()
}

/// `text` with a few letters of it replaced by a piece.
fn edited(text: &str, random: &mut ChaCha8Rng) -> String {
    let letters: Vec<char> = text.chars().collect();
    let at = random.random_range(0..=letters.len());
    let upto = (at + random.random_range(0..4)).min(letters.len());
    let piece = PIECES[random.random_range(0..PIECES.len())].chars();
    letters[..at].iter().copied().chain(piece).chain(letters[upto..].iter().copied()).collect()
}

#[test]
fn ten_thousand_edits_leave_the_live_page_alive_and_its_last_valid_state_in_view() {
    let mut random = ChaCha8Rng::seed_from_u64(3);
    let (mut valid, mut faulty) = (0, 0);
    for scenario in SCENARIOS {
        let file = root().join(format!("scenarios/{scenario}.toml"));
        let first = std::fs::read_to_string(file).unwrap();
        let mut live = Live::default();
        let curve = "pumps/larkfield-diaphragm.csv";
        let table = std::fs::read_to_string(root().join("scenarios").join(curve)).unwrap();
        ask(&mut live, &json!({ "do": "files", "files": { curve: table } }));
        let answer = ask(&mut live, &json!({ "do": "text", "text": first }));
        assert!(answer["answer"].is_object(), "{scenario}: {answer}");
        let mut text = first.clone();
        for k in 0..EDITS / SCENARIOS.len() {
            // A text that is spoilt for good teaches nothing.
            let base = if k % 6 == 0 { &first } else { &text };
            text = edited(base, &mut random);
            let before = live.frame().to_vec();
            let answer = ask(&mut live, &json!({ "do": "text", "text": text }));
            if answer["faults"].is_array() || answer["error"].is_string() {
                faulty += 1;
                let same =
                    live.frame().iter().zip(&before).all(|(a, b)| a.to_bits() == b.to_bits());
                assert!(same && live.frame().len() == before.len(), "{text}");
            } else {
                valid += 1;
                assert!(
                    answer["answer"].is_object() || answer["untrusted"].is_string(),
                    "{answer}"
                );
            }
        }
        let again = ask(&mut live, &json!({ "do": "text", "text": first }));
        assert!(again["answer"].is_object(), "{again}");
    }
    assert!(valid > 500 && faulty > 2000, "{valid} valid, {faulty} faulty");
}
