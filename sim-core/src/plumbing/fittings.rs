//! Loss coefficients of fittings by name.

/// A fitting and its loss coefficient on the velocity head of its line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fitting {
    /// What scenario files call it.
    pub name: &'static str,
    /// Loss coefficient.
    pub losses: f64,
    /// Where the figure is from.
    pub source: &'static str,
}

const fn fitting(name: &'static str, losses: f64, source: &'static str) -> Fitting {
    Fitting { name, losses, source }
}

/// The fittings. Handbooks differ by 30 to 40 % on such figures; a measured one is better.
pub const FITTINGS: [Fitting; 11] = [
    fitting("sharp entry", 0.5, "Idelchik (0.51 Miller, 0.57 Rennels & Hudson)"),
    fitting("exit", 1.0, "all of the velocity head"),
    fitting("elbow 90", 0.9, "from memory; threaded, Hooper 1981 has 0.8 in small bore at high Re"),
    fitting("elbow 90 long", 0.4, "Hooper 1981, long radius in small bore at high Re"),
    fitting("elbow 45", 0.4, "Hooper 1981, in small bore at high Re"),
    fitting("barbed elbow", 1.5, "from memory"),
    fitting("tee run", 0.4, "from memory; Perry, along the run of a tee with its arm closed"),
    fitting(
        "tee branch",
        1.4,
        "Hooper 1981, tee as an elbow in small bore at high Re; from memory",
    ),
    fitting("ball valve", 0.05, "from memory; full bore, Munson, Young & Okiishi"),
    fitting("barb", 0.5, "from memory; hose barb as a sudden contraction and enlargement"),
    fitting("coupling", 0.1, "from memory"),
];

/// The fitting called `name`.
pub fn fitting_named(name: &str) -> Option<&'static Fitting> {
    FITTINGS.iter().find(|fitting| fitting.name == name)
}
