//! Bytes as they lie in a store: deflated where that makes them smaller.

use std::io::{Read, Write};

use flate2::{Compression, read::DeflateDecoder, write::DeflateEncoder};

use crate::{Digest, StoreError};

/// Bytes below this length are kept as they are: the saving would be lost in the row around them.
const SHORT: usize = 256;

/// Bytes ready to be kept.
pub(crate) struct Packed {
    /// SHA-256 of the bytes as they were put.
    pub digest: Digest,
    /// Their length.
    pub size: u64,
    /// Whether `data` is deflated.
    pub deflated: bool,
    /// What to keep.
    pub data: Vec<u8>,
}

impl Packed {
    /// Packs bytes. A fast level: an hourly weather file of many years shrinks to about a fifth at several times the speed
    /// of the default.
    pub fn of(bytes: &[u8]) -> Self {
        let (digest, size) = (Digest::of(bytes), bytes.len() as u64);
        let plain = || Self { digest, size, deflated: false, data: bytes.to_vec() };
        if bytes.len() < SHORT {
            return plain();
        }
        let mut encoder = DeflateEncoder::new(Vec::with_capacity(bytes.len() / 3), Compression::new(3));
        let data = encoder.write_all(bytes).and_then(|()| encoder.finish()).expect("writing to memory does not fail");
        if data.len() < bytes.len() { Self { digest, size, deflated: true, data } } else { plain() }
    }

    /// Gives the bytes back, and only if they are the ones that were put.
    pub fn open(self) -> Result<Vec<u8>, StoreError> {
        let corrupt = |how: &str| StoreError::Corrupt { detail: format!("content {} {how}", self.digest) };
        let bytes = if self.deflated {
            let mut bytes = Vec::with_capacity(self.size as usize);
            // One byte more than it should be is enough to see that it is too long.
            let mut reader = DeflateDecoder::new(&self.data[..]).take(self.size + 1);
            reader.read_to_end(&mut bytes).map_err(|_| corrupt("cannot be unpacked"))?;
            bytes
        } else {
            self.data
        };
        if bytes.len() as u64 != self.size || Digest::of(&bytes) != self.digest {
            return Err(StoreError::Corrupt { detail: format!("content {} has changed", self.digest) });
        }
        Ok(bytes)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn comes_back_as_it_was() {
        let noise: Vec<u8> = (0u32..5000).map(|i| (i.wrapping_mul(2_654_435_761) >> 13) as u8).collect();
        for bytes in [vec![], b"short".to_vec(), vec![7; 100_000], noise] {
            assert_eq!(Packed::of(&bytes).open().unwrap(), bytes);
        }
        let even = Packed::of(&[7; 100_000]);
        assert!(even.deflated && even.data.len() < 2_000);
    }

    #[test]
    fn a_changed_byte_is_seen() {
        for bytes in [vec![1; 100], vec![1; 10_000]] {
            for change in [0usize, 1, 5] {
                let mut packed = Packed::of(&bytes);
                let at = change % packed.data.len();
                packed.data[at] ^= 0x10;
                assert!(matches!(packed.open(), Err(StoreError::Corrupt { .. })));
            }
            let mut shorter = Packed::of(&bytes);
            shorter.size -= 1;
            assert!(matches!(shorter.open(), Err(StoreError::Corrupt { .. })));
        }
    }
}
