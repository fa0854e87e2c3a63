//! One row of the table: a quantity, what is published of it, and how near the product comes.

use super::source::Source;
use std::panic::Location;

/// How a published value came here.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Standing {
    /// Read in the source.
    Printed,
    /// Computed from the source's equation, apart from the product.
    Computed,
    /// Remembered of the source, not read in it.
    FromMemory,
}

/// How far off a value may be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Tolerance {
    /// By a share of the published value.
    Share(f64),
    /// By so much, in the row's unit.
    By(f64),
    /// By a share or by so much, whichever allows more: for tables printed to so many decimals.
    Either(f64, f64),
    /// Anywhere within the published range.
    Within,
}

/// What a tolerance rests on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Basis {
    /// The source's own uncertainty: its printed digits, the error or the scatter that it states. The row claims
    /// that accuracy.
    Source,
    /// A limit near what the product gives: it notices a change and claims nothing.
    Guard,
}

/// What is published.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Published {
    Value(f64),
    Range(f64, f64),
}

/// A value compared.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Point {
    pub(crate) published: Published,
    pub(crate) ours: f64,
    pub(crate) tolerance: Tolerance,
    /// Share of the tolerance used, 0 to 1.
    used: f64,
}

impl Point {
    /// How far off the published value, in its unit; none for a range.
    pub(crate) fn off(&self) -> Option<f64> {
        match self.published {
            Published::Value(value) => Some(self.ours - value),
            Published::Range(..) => None,
        }
    }

    /// How far off as a share of the published value, where that means something.
    pub(crate) fn share_off(&self) -> Option<f64> {
        match (self.published, self.tolerance) {
            (Published::Value(value), Tolerance::Share(_) | Tolerance::Either(..))
                if value != 0.0 =>
            {
                Some(self.ours / value - 1.0)
            }
            _ => None,
        }
    }
}

/// One row. Comparing asserts at once; of several values the one that uses most of its tolerance is shown.
#[derive(Clone, Debug)]
pub(crate) struct Row {
    pub(crate) quantity: &'static str,
    pub(crate) conditions: &'static str,
    pub(crate) sources: &'static [Source],
    pub(crate) unit: &'static str,
    pub(crate) standing: Standing,
    pub(crate) basis: Basis,
    pub(crate) why: &'static str,
    /// Whether published figure and ours differ by more than rounding, for the reason in `why`.
    pub(crate) disagrees: bool,
    pub(crate) points: usize,
    pub(crate) worst: Option<Point>,
    /// File the check stands in.
    pub(crate) file: &'static str,
}

impl Row {
    /// A row without a value yet.
    #[track_caller]
    pub(crate) fn new(
        quantity: &'static str,
        conditions: &'static str,
        sources: &'static [Source],
    ) -> Self {
        Self {
            quantity,
            conditions,
            sources,
            unit: "",
            standing: Standing::Printed,
            basis: Basis::Guard,
            why: "",
            disagrees: false,
            points: 0,
            worst: None,
            file: Location::caller().file(),
        }
    }

    pub(crate) fn unit(self, unit: &'static str) -> Self {
        Self { unit, ..self }
    }

    /// The values are computed from the source's equation, apart from the product.
    pub(crate) fn computed(self) -> Self {
        Self { standing: Standing::Computed, ..self }
    }

    /// The values, or the formula they come from, are remembered.
    pub(crate) fn remembered(self) -> Self {
        Self { standing: Standing::FromMemory, ..self }
    }

    /// Why this tolerance, a guard unless [`Row::within_source`] says otherwise.
    pub(crate) fn because(self, why: &'static str) -> Self {
        Self { why, ..self }
    }

    /// The tolerance is the source's own uncertainty, which is `why`: printed digits, a stated error or scatter.
    pub(crate) fn within_source(self, why: &'static str) -> Self {
        Self { why, basis: Basis::Source, disagrees: false, ..self }
    }

    /// Published figure and ours differ by more than the source's uncertainty, and why; the tolerance is a guard.
    pub(crate) fn differs_because(self, why: &'static str) -> Self {
        Self { why, basis: Basis::Guard, disagrees: true, ..self }
    }

    /// The row with one value.
    #[track_caller]
    pub(crate) fn with(mut self, ours: f64, published: f64, tolerance: Tolerance) -> Self {
        self.near(ours, published, tolerance);
        self
    }

    /// Asserts that `ours` is `published` within `tolerance`.
    #[track_caller]
    pub(crate) fn near(&mut self, ours: f64, published: f64, tolerance: Tolerance) {
        let allowed = match tolerance {
            Tolerance::Share(share) => share * published.abs(),
            Tolerance::By(by) => by,
            Tolerance::Either(share, by) => by.max(share * published.abs()),
            Tolerance::Within => 0.0,
        };
        // A tolerance below rounding would ask for more than numbers hold.
        let allowed = allowed.max(f64::EPSILON * published.abs()).max(f64::MIN_POSITIVE);
        let used = (ours - published).abs() / allowed;
        self.note(Point { published: Published::Value(published), ours, tolerance, used });
    }

    /// Asserts that `ours` lies between `low` and `high`, which may be infinite.
    #[track_caller]
    pub(crate) fn between(&mut self, ours: f64, low: f64, high: f64) {
        let used = if high.is_finite() {
            (2.0 * ours - low - high).abs() / (high - low)
        } else if ours >= low {
            low / ours
        } else {
            f64::INFINITY
        };
        let published = Published::Range(low, high);
        self.note(Point { published, ours, tolerance: Tolerance::Within, used });
    }

    #[track_caller]
    fn note(&mut self, point: Point) {
        assert!(
            point.used <= 1.0,
            "{}: published {:?}, ours {}, allowed {:?}",
            self.quantity,
            point.published,
            point.ours,
            point.tolerance
        );
        self.points += 1;
        if self.worst.is_none_or(|worst| point.used > worst.used) {
            self.worst = Some(point);
        }
    }
}
