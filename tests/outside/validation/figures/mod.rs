//! Pictures of the page: the product's curves under published points.

mod air;
mod concentration;
mod liquid;

use super::Subject;
use sim_cli::plots::{Axis, Compared, PublishedPlot};

/// A picture and what is said below it.
pub(super) struct Figure {
    pub(super) subject: Subject,
    pub(super) name: &'static str,
    pub(super) caption: &'static str,
    pub(super) plot: PublishedPlot,
}

type Points = Vec<(f64, f64)>;

/// Every picture, in the order of the page.
pub(super) fn all() -> Vec<Figure> {
    vec![
        liquid::water(),
        liquid::friction(),
        liquid::transition(),
        liquid::tee("tee-dividing", true),
        liquid::tee("tee-combining", false),
        liquid::christiansen(),
        liquid::density(),
        liquid::from_rest(),
        concentration::arrivals(),
        concentration::breakthrough(),
        air::choking(),
        air::layers(),
        air::films(),
        air::noses(),
        air::drying(),
    ]
}

fn range(title: &str, from: f64, to: f64) -> Axis {
    Axis { title: title.into(), from, to }
}

fn compared(name: &str, ours: Points, published: Points) -> Compared {
    Compared { name: name.into(), ours, published }
}

/// `count` places from `from` to `to`, evenly apart, or in even ratios.
fn places(from: f64, to: f64, count: u32, by_ratio: bool) -> impl Iterator<Item = f64> {
    (0..=count).map(move |k| {
        let share = f64::from(k) / f64::from(count);
        if by_ratio { from * (to / from).powf(share) } else { from + share * (to - from) }
    })
}

fn curve(places: impl Iterator<Item = f64>, law: impl Fn(f64) -> f64) -> Points {
    places.map(|x| (x, law(x))).collect()
}
