//! What is compared.

use crate::results::Finished;

/// A layout with its letter.
pub(in crate::compare) type Lettered<'a> = (char, &'a Finished);
