//! What is lent for a while or kept for good.

use std::ops::Deref;
use std::sync::Arc;

/// Something that many look at and nobody changes: lent by whoever has it, or kept by all that look at it.
#[derive(Clone, Debug)]
pub(crate) enum Shared<'a, T> {
    /// Lent: its owner outlives whoever looks at it.
    Lent(&'a T),
    /// Kept until the last that looks at it is gone.
    Kept(Arc<T>),
}

impl<T> Deref for Shared<'_, T> {
    type Target = T;

    fn deref(&self) -> &T {
        match self {
            Self::Lent(it) => it,
            Self::Kept(it) => it,
        }
    }
}

impl<'a, T> From<&'a T> for Shared<'a, T> {
    fn from(it: &'a T) -> Self {
        Self::Lent(it)
    }
}

impl<T> From<Arc<T>> for Shared<'_, T> {
    fn from(it: Arc<T>) -> Self {
        Self::Kept(it)
    }
}
