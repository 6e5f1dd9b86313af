//! Sites: a text, all its versions, and which of them stands.
//!
//! The versions of a site form one line with undo: a save makes a new version whose parent is the head; undo moves the head
//! to its parent; redo moves it to its newest child. What was undone before a save stays among the versions and can be
//! brought back with restore, which makes a new version with the old text. So no text is ever lost, and no text ever changes.

use std::{fmt, str::FromStr};

use crate::{Digest, StoreError};

/// An instant, in milliseconds since 1970-01-01T00:00Z.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Moment(pub i64);

/// The id of a site: 1 to 64 of `A-Z a-z 0-9 - _`, so that it can stand in an address.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SiteId(String);

impl SiteId {
    /// An id from 16 random bytes, drawn by the caller: 32 hexadecimal digits.
    pub fn from_random(bytes: [u8; 16]) -> Self {
        Self(bytes.iter().map(|byte| format!("{byte:02x}")).collect())
    }

    /// The id as text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for SiteId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl FromStr for SiteId {
    type Err = StoreError;

    /// Takes an id as it stands in an address; anything else is [`StoreError::BadName`].
    fn from_str(text: &str) -> Result<Self, StoreError> {
        let fits = |c: u8| c.is_ascii_alphanumeric() || c == b'-' || c == b'_';
        if (1..=64).contains(&text.len()) && text.bytes().all(fits) {
            Ok(Self(text.to_string()))
        } else {
            Err(StoreError::BadName { found: text.to_string(), allowed: "1 to 64 letters, digits, - or _" })
        }
    }
}

/// The version that stands: its number and the digest of its text. Shown and read as `3-<64 hexadecimal digits>`, so that it
/// can serve as an entity tag.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Head {
    /// Number of the version within the site, from 1.
    pub seq: u32,
    /// SHA-256 of its text.
    pub digest: Digest,
}

impl fmt::Display for Head {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}-{}", self.seq, self.digest)
    }
}

impl FromStr for Head {
    type Err = StoreError;

    fn from_str(text: &str) -> Result<Self, StoreError> {
        let bad = || StoreError::BadName { found: text.to_string(), allowed: "a number, - and 64 hexadecimal digits" };
        let (seq, digest) = text.split_once('-').ok_or_else(bad)?;
        let head = Self { seq: seq.parse().map_err(|_| bad())?, digest: digest.parse().map_err(|_| bad())? };
        // One spelling for one head: "03-…" and "+3-…" are none.
        if head.to_string() == text { Ok(head) } else { Err(bad()) }
    }
}

/// A site as it stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Site {
    /// Its id.
    pub id: SiteId,
    /// Its name, as the user wrote it.
    pub name: String,
    /// The version that stands.
    pub head: Head,
    /// The text of that version, byte for byte.
    pub text: String,
    /// When it was made.
    pub created_at: Moment,
    /// When its text, its head or its name was last changed.
    pub updated_at: Moment,
    /// Whether there is an earlier version to go back to.
    pub can_undo: bool,
    /// Whether there is a later version to go forward to.
    pub can_redo: bool,
}

/// A site in a list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SiteLine {
    /// Its id.
    pub id: SiteId,
    /// Its name.
    pub name: String,
    /// The version that stands.
    pub head: Head,
    /// How many versions are kept.
    pub versions: u32,
    /// How many readings are kept.
    pub readings: u32,
    /// When it was made.
    pub created_at: Moment,
    /// When its text, its head or its name was last changed.
    pub updated_at: Moment,
    /// When it was deleted, if it is.
    pub deleted_at: Option<Moment>,
}

/// A version of a site's text, without the text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Version {
    /// Its number within the site, from 1.
    pub seq: u32,
    /// The version it was made from; `None` for the first.
    pub parent: Option<u32>,
    /// SHA-256 of its text.
    pub digest: Digest,
    /// Length of its text in bytes.
    pub bytes: u64,
    /// When it was made.
    pub at: Moment,
    /// What the caller noted.
    pub note: String,
}

impl Version {
    /// Number and digest of this version.
    pub fn head(&self) -> Head {
        Head { seq: self.seq, digest: self.digest }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ids_stand_in_addresses() {
        assert_eq!(SiteId::from_random([0xab; 16]).as_str(), "ab".repeat(16));
        assert_eq!("north-bin_2".parse::<SiteId>().unwrap().to_string(), "north-bin_2");
        for wrong in ["", "a/b", "a b", "..", "é", &"x".repeat(65)] {
            assert!(matches!(wrong.parse::<SiteId>(), Err(StoreError::BadName { .. })), "{wrong}");
        }
    }

    #[test]
    fn heads_have_one_spelling() {
        let head = Head { seq: 12, digest: Digest::of(b"abc") };
        assert_eq!(head.to_string().parse::<Head>().unwrap(), head);
        let digest = head.digest;
        for wrong in ["12", &format!("012-{digest}"), &format!("+12-{digest}"), &format!("-12-{digest}"), "12-ab", "-"]
        {
            assert!(matches!(wrong.parse::<Head>(), Err(StoreError::BadName { .. })), "{wrong}");
        }
    }
}
