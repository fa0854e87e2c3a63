//! Chances in words.

use sim_core::study::Chance;

/// A chance, and between what it is with a confidence of 95 %, in percent. What was so in some draws only is neither 0 nor 100 %.
pub(crate) fn chance_words(chance: Chance) -> (String, String) {
    let (low, high) = chance.within();
    let share = match (chance.met, 100.0 * chance.share()) {
        (met, share) if met < chance.of && share >= 99.5 => "> 99 %".to_owned(),
        (1.., share) if share < 0.5 => "< 1 %".to_owned(),
        (_, share) => format!("{share:.0} %"),
    };
    let within = if chance.met == chance.of {
        format!("at least {:.1} %", 100.0 * low)
    } else {
        format!("{:.0} to {:.0} %", 100.0 * low, 100.0 * high)
    };
    (share, within)
}

#[cfg(test)]
mod tests {
    use super::chance_words;
    use sim_core::study::Chance;

    #[test]
    fn a_chance_comes_with_its_own_confidence() {
        let words = |met: usize, of: usize| chance_words(Chance { met, of });
        assert_eq!(words(250, 256), ("98 %".into(), "95 to 99 %".into()));
        assert_eq!(words(256, 256), ("100 %".into(), "at least 98.5 %".into()));
        assert_eq!(words(1023, 1024).0, "> 99 %");
        assert_eq!(words(1, 1024).0, "< 1 %");
        assert_eq!(words(0, 64).0, "0 %");
    }
}
