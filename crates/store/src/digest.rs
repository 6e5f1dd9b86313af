//! SHA-256 of bytes: the name by which texts, contents and runs are known.

use std::{fmt, str::FromStr};

use sha2::{Digest as _, Sha256};

use crate::StoreError;

/// A SHA-256, shown and read as 64 lower-case hexadecimal digits.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Digest([u8; 32]);

impl Digest {
    /// The digest of `bytes`.
    pub fn of(bytes: &[u8]) -> Self {
        Self(Sha256::digest(bytes).into())
    }

    /// A digest computed elsewhere.
    pub fn from_bytes(bytes: [u8; 32]) -> Self {
        Self(bytes)
    }

    /// Its 32 bytes.
    pub fn as_bytes(&self) -> &[u8; 32] {
        &self.0
    }
}

impl fmt::Display for Digest {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}

impl fmt::Debug for Digest {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

impl FromStr for Digest {
    type Err = StoreError;

    /// Reads 64 lower-case hexadecimal digits; anything else is [`StoreError::BadName`].
    fn from_str(text: &str) -> Result<Self, StoreError> {
        let bad = || StoreError::BadName { found: text.to_string(), allowed: "64 lower-case hexadecimal digits" };
        let digit = |byte: u8| match byte {
            b'0'..=b'9' => Some(byte - b'0'),
            b'a'..=b'f' => Some(byte - b'a' + 10),
            _ => None,
        };
        let text = text.as_bytes();
        if text.len() != 64 {
            return Err(bad());
        }
        let mut bytes = [0; 32];
        for (byte, pair) in bytes.iter_mut().zip(text.chunks_exact(2)) {
            *byte = digit(pair[0]).zip(digit(pair[1])).map(|(high, low)| high * 16 + low).ok_or_else(bad)?;
        }
        Ok(Self(bytes))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// SHA-256 of "abc". Source: FIPS 180-4, examples of the algorithm published with it.
    #[test]
    fn shown_and_read_as_hexadecimal() {
        let text = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
        assert_eq!(Digest::of(b"abc").to_string(), text);
        assert_eq!(text.parse::<Digest>().unwrap(), Digest::of(b"abc"));
        for wrong in ["", "ba", &text.to_uppercase(), &text.replace('b', "g"), &format!("{text}00"), &"é".repeat(32)] {
            assert!(matches!(wrong.parse::<Digest>(), Err(StoreError::BadName { .. })), "{wrong}");
        }
    }
}
