//! How a reading is taken, step by step.

use sim_core::plumbing::Plumbing;
use sim_core::scenario::ReadingPlace;

/// What to do to read at `place` once the machine is in its state, in order.
pub(crate) fn how_to_read(plumbing: &Plumbing, place: ReadingPlace) -> Vec<String> {
    let name = place.name(plumbing);
    match place {
        ReadingPlace::OwnGauge(_) => {
            vec![format!(
                "Read the gauge \"{name}\" straight from the front when its needle is steady."
            )]
        }
        ReadingPlace::TestGauge(_) => vec![
            "Stop the pump and let the pressure fall to nothing.".into(),
            format!("Fit a {}.", place.words(plumbing)),
            "Start again, set the state, wait until the needle is steady, read.".into(),
        ],
        ReadingPlace::Catch(_) => vec![
            format!("Hold a measuring jug under tip {name} for 30 s or longer, out of the wind."),
            "Write down the volume, read at eye level, and the time.".into(),
        ],
        ReadingPlace::Meter(_) => {
            vec![format!("Watch the flow meter \"{name}\" for half a minute and take the middle.")]
        }
        ReadingPlace::Speed(_) => {
            vec![format!("Read the speed that is shown of \"{name}\" once it is steady.")]
        }
    }
}
