//! Time and instructions of a case.

use crate::cases::work;
use std::process::Command;
use std::time::{Duration, Instant};

/// Argument with which this program does one case so many times and nothing else.
pub(crate) const ONCE: &str = "--once";

/// Shortest of several times, s: what else the machine does only adds.
pub(crate) fn seconds(name: &str) -> f64 {
    let mut work = work(name);
    let (began, mut shortest, mut done) = (Instant::now(), Duration::MAX, 0);
    while done < 3 || (done < 200 && began.elapsed() < Duration::from_secs(1)) {
        let start = Instant::now();
        work();
        shortest = shortest.min(start.elapsed());
        done += 1;
    }
    shortest.as_secs_f64()
}

/// Instructions of the case: those of a process that does it once, less those of one that only gets ready. `None`
/// without valgrind.
pub(crate) fn instructions(name: &str) -> Option<f64> {
    let own = std::env::current_exe().unwrap();
    let count = |times: &str| {
        let output = Command::new("valgrind")
            .args(["--tool=cachegrind", "--cache-sim=no", "--cachegrind-out-file=/dev/null"])
            .arg(&own)
            .args([ONCE, name, times])
            .env("RAYON_NUM_THREADS", "1")
            .output()
            .ok()?;
        let said = String::from_utf8_lossy(&output.stderr);
        let line =
            said.lines().find(|line| line.contains("I   refs") || line.contains("I refs"))?;
        let digits: String =
            line.rsplit(':').next()?.chars().filter(char::is_ascii_digit).collect();
        digits.parse::<f64>().ok()
    };
    Some(count("1")? - count("0")?)
}

/// Exponent b of the curve y = a x^b nearest to `points` by least squares of logarithms.
pub(crate) fn exponent(points: &[(f64, f64)]) -> f64 {
    let logs: Vec<(f64, f64)> = points.iter().map(|(x, y)| (x.ln(), y.ln())).collect();
    let count = logs.len() as f64;
    let mean = |of: fn(&(f64, f64)) -> f64| logs.iter().map(of).sum::<f64>() / count;
    let (x, y) = (mean(|p| p.0), mean(|p| p.1));
    let (mut rise, mut run) = (0.0, 0.0);
    for (a, b) in &logs {
        rise += (a - x) * (b - y);
        run += (a - x) * (a - x);
    }
    rise / run
}
