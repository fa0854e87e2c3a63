//! Stretches of a machine in words.

use sim_core::plumbing::Side;

/// What lies on `side`.
pub fn side_words(side: Side) -> &'static str {
    match side {
        Side::Suction => "suction",
        Side::Feed => "feed side",
        Side::Boom => "tubes",
        Side::Return => "return side",
        Side::Tank => "agitation and bypass",
        Side::Other => "other lines",
    }
}
