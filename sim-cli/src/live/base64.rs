//! Bytes as letters, by RFC 4648.

const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";

/// `bytes` in base 64, padded.
pub(super) fn base64(bytes: &[u8]) -> String {
    let mut text = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for group in bytes.chunks(3) {
        let at = |i: usize| u32::from(group.get(i).copied().unwrap_or(0));
        let bits = at(0) << 16 | at(1) << 8 | at(2);
        for place in 0..4 {
            let letter = LETTERS[(bits >> (18 - 6 * place)) as usize & 63] as char;
            text.push(if place <= group.len() { letter } else { '=' });
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::base64;

    /// The test vectors of RFC 4648, section 10.
    #[test]
    fn the_test_vectors_of_the_standard_come_out() {
        let vectors =
            [("", ""), ("f", "Zg=="), ("fo", "Zm8="), ("foo", "Zm9v"), ("foob", "Zm9vYg==")];
        for (bytes, text) in
            vectors.into_iter().chain([("fooba", "Zm9vYmE="), ("foobar", "Zm9vYmFy")])
        {
            assert_eq!(base64(bytes.as_bytes()), text);
        }
    }
}
