//! A zip archive of a few files, stored as they are, so that what is taken out is byte for byte what was put in.

use flate2::Crc;

/// A file to pack.
pub struct Entry {
    /// Name inside the archive; our own, never a user's path.
    pub name: String,
    /// Content.
    pub bytes: Vec<u8>,
}

/// 1980-01-01 in the archive's form: archives of the same content are the same.
const DATE: u16 = 1 << 5 | 1;
/// Names are UTF-8.
const UTF8: u16 = 1 << 11;

/// Packs files. `None` when they are too large for the plain form (4 GiB).
pub fn pack(entries: &[Entry]) -> Option<Vec<u8>> {
    let mut out = Vec::new();
    let mut directory = Vec::new();
    for entry in entries {
        let mut crc = Crc::new();
        crc.update(&entry.bytes);
        let size = u32::try_from(entry.bytes.len()).ok()?;
        let offset = u32::try_from(out.len()).ok()?;
        let name = entry.name.as_bytes();
        let name_length = u16::try_from(name.len()).ok()?;
        let mut shared = Vec::new();
        // Version needed, flags, stored, time, date, CRC, both sizes, lengths of name and extra field.
        for short in [10_u16, UTF8, 0, 0, DATE] {
            shared.extend(short.to_le_bytes());
        }
        for long in [crc.sum(), size, size] {
            shared.extend(long.to_le_bytes());
        }
        shared.extend(name_length.to_le_bytes());
        shared.extend(0_u16.to_le_bytes());
        out.extend(b"PK\x03\x04");
        out.extend(&shared);
        out.extend(name);
        out.extend(&entry.bytes);
        directory.extend(b"PK\x01\x02");
        directory.extend(10_u16.to_le_bytes());
        directory.extend(&shared);
        // Comment, disk, attributes inside and outside.
        directory.extend([0; 10]);
        directory.extend(offset.to_le_bytes());
        directory.extend(name);
    }
    let offset = u32::try_from(out.len()).ok()?;
    let size = u32::try_from(directory.len()).ok()?;
    let count = u16::try_from(entries.len()).ok()?;
    out.extend(directory);
    out.extend(b"PK\x05\x06\0\0\0\0");
    out.extend(count.to_le_bytes());
    out.extend(count.to_le_bytes());
    out.extend(size.to_le_bytes());
    out.extend(offset.to_le_bytes());
    out.extend(0_u16.to_le_bytes());
    Some(out)
}
