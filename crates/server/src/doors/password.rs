//! The password: kept as an argon2id hash, never as it is.

use argon2::password_hash::phc::PasswordHash;
use argon2::{Argon2, PasswordHasher, PasswordVerifier};

/// Shortest password that is taken, in characters.
pub const fn least_length() -> usize {
    10
}

/// The argon2id hash of a password, with a salt of its own, in the usual text form.
///
/// # Errors
/// In words, when it is too short, too long, or the system gives no random bytes.
pub fn hash(password: &str) -> Result<String, String> {
    let length = password.chars().count();
    if length < least_length() {
        return Err(format!("password of {length} characters, must have {} or more", least_length()));
    }
    if password.len() > 1000 {
        return Err("password of more than 1000 bytes".into());
    }
    Argon2::default().hash_password(password.as_bytes()).map(|hash| hash.to_string()).map_err(|error| error.to_string())
}

/// Whether a password belongs to a hash.
pub(super) fn fits(hash: &str, password: &str) -> bool {
    match PasswordHash::new(hash) {
        Ok(hash) => Argon2::default().verify_password(password.as_bytes(), &hash).is_ok(),
        Err(_) => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fits_its_own_hash_only() {
        let one = hash("correct horse").unwrap();
        assert!(one.starts_with("$argon2id$"), "{one}");
        assert_ne!(one, hash("correct horse").unwrap(), "a salt of its own");
        assert!(fits(&one, "correct horse") && !fits(&one, "correct horsf") && !fits("nonsense", "correct horse"));
        assert!(hash("short").is_err() && hash(&"x".repeat(1001)).is_err());
    }
}
