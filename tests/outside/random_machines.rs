//! Machines that a person might describe, drawn at random, as text.

use proptest::prelude::Rng;
use proptest::test_runner::{RngAlgorithm, TestRng};

/// Draws of number `seed`, always the same.
pub struct Draw(TestRng);

impl Draw {
    /// Those of `seed`.
    pub fn new(seed: u64) -> Self {
        let mut bytes = [3; 32];
        bytes[..8].copy_from_slice(&seed.to_le_bytes());
        Self(TestRng::from_seed(RngAlgorithm::ChaCha, &bytes))
    }

    /// A number from 0 to below `most`.
    pub fn below(&mut self, most: usize) -> usize {
        (self.0.next_u64() % most as u64) as usize
    }

    /// A number between `low` and `high`, to four digits behind the point.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        let share = (self.0.next_u64() >> 11) as f64 / (1u64 << 53) as f64;
        (1e4 * (low + share * (high - low))).round() / 1e4
    }

    /// One of `these`.
    pub fn of<T: Copy>(&mut self, these: &[T]) -> T {
        these[self.below(these.len())]
    }

    /// Puts `these` into another order.
    pub fn shuffle<T>(&mut self, these: &mut [T]) {
        (1..these.len()).rev().for_each(|last| these.swap(last, self.below(last + 1)));
    }
}

/// A scenario in the short form that primes, sprays and, `with_air`, purges.
pub fn scenario(draw: &mut Draw, with_air: bool) -> String {
    let (sections, tips) = (1 + draw.below(5), 2 + draw.below(8));
    let centre = draw.below(5) < 2;
    let returns = !centre && draw.below(5) < 4;
    let mut text = format!(
        "title = \"random\"\n[liquid]\ntemperature = \"{} degC\"\n[tank]\ncapacity = \"3000 L\"\nholds = \"{} L\"\n\
         surface_above_boom = \"{} m\"\ninlet_above_boom = \"{} m\"\n",
        draw.between(2.0, 30.0),
        draw.between(50.0, 2500.0),
        draw.between(-0.5, 0.8),
        draw.between(0.8, 1.5)
    );
    let (flow, head) =
        ((sections * tips) as f64 * 3.5 + draw.between(20.0, 80.0), draw.between(5.0, 9.0));
    text += &format!(
        "[pump]\npoints = [[\"0 L/min\", \"{head} bar\"], [\"{flow} L/min\", \"{} bar\"], [\"{} L/min\", \"{} bar\"]]\n\
         above_boom = \"{} m\"\nsuction = {{ bore = \"{} mm\", length = \"{} m\", losses = {} }}\n",
        0.8 * head,
        2.0 * flow,
        0.35 * head,
        draw.between(-0.8, 0.0),
        draw.of(&[40, 50, 63]),
        draw.between(0.5, 3.0),
        draw.between(1.0, 4.0)
    );
    text += &boom(draw, (sections, tips), centre, returns);
    text += &format!(
        "[tips]\nsize = \"{}\"\nshut_off = \"{}\"\nbody_kv = \"0.35 m3/h\"\n",
        draw.of(&["02", "03", "04"]),
        draw.of(&["each", "check valve"])
    );
    if with_air {
        text += &format!(
            "[air]\nregulated = \"{} bar\"\nreceiver = \"{} L\"\ncharged_to = \"8 bar\"\ncompressor = \"{} L/min\"\n\
             valve = {{ conductance = \"2 L/(s bar)\", critical_ratio = 0.3 }}\n\
             check = {{ kv = \"60 m3/h\", opens_at = \"0.05 bar\" }}\n[start]\nlines_hold = \"100 %\"\n",
            draw.between(0.8, 2.5),
            draw.between(10.0, 40.0),
            draw.between(50.0, 200.0)
        );
    }
    text + &steps(draw, returns, with_air)
}

fn boom(draw: &mut Draw, (sections, tips): (usize, usize), centre: bool, returns: bool) -> String {
    let end = draw.of(&["outer", "inner", "left", "right"]);
    let feed = if centre { "centre\"".into() } else { format!("one end\"\nfeed_end = \"{end}\"") };
    let mut text = format!(
        "[boom]\nspacing = \"0.5 m\"\nwidth = \"{} m\"\nfeed = {feed}\n{}tube = {{ bore = \"{} mm\", material = \"{}\" }}\n\
         sections = {sections}\ntips_per_section = {tips}\n\
         [supply]\nmain = {{ bore = \"{} mm\", length = \"{} m\", losses = {} }}\nhose = {{ bore = \"{} mm\", losses = {} }}\n\
         strainer = {{ kv = \"{} m3/h\" }}\nsection_valve = {{ kv = \"{} m3/h\" }}\nagitation = {{ orifice = \"{} mm\" }}\n",
        0.5 * (sections * tips) as f64,
        if returns { "return = true\n" } else { "" },
        draw.of(&[12.7, 16.0, 19.0, 22.0, 25.0]),
        draw.of(&["hose", "stainless", "polyethylene"]),
        draw.of(&[32, 40, 50]),
        draw.between(1.0, 8.0),
        draw.between(0.0, 5.0),
        draw.of(&[19, 25]),
        draw.between(0.5, 3.0),
        draw.between(8.0, 30.0),
        draw.between(4.0, 12.0),
        draw.between(3.0, 7.0),
        feed = format_args!("\"{feed}"),
    );
    if returns {
        text += &format!(
            "[return_path]\nhose = {{ bore = \"{} mm\", losses = {} }}\nmain = {{ bore = \"{} mm\", length = \"{} m\", \
             losses = {} }}\nvalve = {{ kv = \"{} m3/h\" }}\n",
            draw.of(&[12.7, 16.0, 19.0]),
            draw.between(0.5, 4.0),
            draw.of(&[25, 32, 45]),
            draw.between(1.0, 8.0),
            draw.between(1.0, 4.0),
            draw.between(5.0, 20.0)
        );
    }
    text
}

fn steps(draw: &mut Draw, returns: bool, with_air: bool) -> String {
    let step = |what: &str, seconds: f64| {
        format!("[[step]]\nname = \"{what}\"\ndo = \"{what}\"\nfor = \"{seconds} s\"\n")
    };
    let mut text = String::new();
    if returns {
        text += &step("prime", draw.between(5.0, 20.0));
    }
    text += &step("spray", draw.between(5.0, 25.0));
    if returns && with_air {
        text += &step("purge", draw.between(10.0, 40.0));
    }
    text
}
