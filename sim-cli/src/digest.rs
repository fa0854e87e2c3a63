//! SHA-256 as text.

use sha2::{Digest as _, Sha256};

/// The digest of `bytes`, 64 hexadecimal digits.
pub(crate) fn sha256(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect()
}
