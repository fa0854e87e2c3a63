//! What a first scenario does.

use super::text::{Starter, section_name};
use crate::args::FeedChoice;
use sim_core::units::Quantity as Q;

/// Turnovers of the liquid on the move for which a machine circulates: the return hoses must be new, too.
const TURNOVERS: f64 = 3.0;
/// Time over which air blows, s.
const PURGE_S: f64 = 60.0;

/// The steps of `starter`'s scenario.
pub(super) fn steps(starter: &Starter<'_>) -> String {
    let mut out = String::from(
        "\n# What happens, in order: `do` is spray, prime, circulate, stand, rinse or purge.\n",
    );
    let answers = starter.answers;
    if !answers.purge {
        match answers.feed {
            FeedChoice::Centre => out.push_str(PRIME),
            FeedChoice::OneEnd => out.push_str(&circulate(starter)),
            FeedChoice::Retrofit => {
                out.push_str(&circulate(starter));
                out.push_str(PRIME_THE_REST);
            }
        }
    }
    out.push_str("[[step]]\nname = \"spray\"\ndo = \"spray\"\n");
    if answers.purge {
        out.push_str(&format!(
            "\n[[step]]\nname = \"purge\"\ndo = \"purge\"\nfor = \"{PURGE_S:.0} s\"\n{}\
             # order = \"one at a time\"  # or all together; `millstream orders` tries them\n",
            open(starter),
        ));
    }
    out
}

const PRIME: &str = "[[step]]\nname = \"prime\"\ndo = \"prime\"  # sprays until the new mix is at every tip, from lines full of water\n\
    for = \"10 min\"  # at most\n\n";
const PRIME_THE_REST: &str = "[[step]]\nname = \"prime\"\ndo = \"prime\"  # sprays until the sections that do not return have the new mix, too\n\
    for = \"10 min\"  # at most\n\n";

fn circulate(starter: &Starter<'_>) -> String {
    let guess = &starter.guess;
    let seconds = (TURNOVERS * guess.turnover_s / 5.0).ceil().max(1.0) * 5.0;
    format!(
        "[[step]]\nname = \"circulate\"\ndo = \"circulate\"  # tips closed: new mix goes through the sections and back to the tank\n\
         for = \"{seconds:.0} s\"\n{}control = {{ hold = \"{}\", at = \"main\", by = \"{}\" }}\n\n",
        open(starter),
        starter.round(guess.circulating_m3_s, Q::Flow),
        starter.actuator(),
    )
}

/// The key that opens the sections that return, where not all do.
fn open(starter: &Starter<'_>) -> String {
    if starter.answers.feed != FeedChoice::Retrofit {
        return String::new();
    }
    let returned = starter.guess.returned.iter().enumerate().filter(|(_, returned)| **returned);
    let names: Vec<String> = returned.map(|(i, _)| format!("\"{}\"", section_name(i))).collect();
    format!("sections = [{}]  # those that return\n", names.join(", "))
}
