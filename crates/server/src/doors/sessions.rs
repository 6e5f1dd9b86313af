//! Who has signed in. Kept in memory: a restart asks everybody for the password again.

use sha2::{Digest, Sha256};
use std::collections::HashMap;
use std::fmt::Write as _;
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};

/// Name of the cookie.
pub const COOKIE: &str = "binwright_session";
/// How long a session lives without a request.
pub const IDLE: Duration = Duration::from_secs(12 * 60 * 60);
/// Sessions at once.
const MOST: usize = 256;

/// Sessions by the digest of their token, so that what leaks from memory opens nothing.
#[derive(Debug, Default)]
pub struct Sessions(Mutex<HashMap<[u8; 32], Instant>>);

fn digest(token: &str) -> [u8; 32] {
    Sha256::digest(token.as_bytes()).into()
}

impl Sessions {
    /// Begins a session and returns its token.
    ///
    /// # Errors
    /// When the system gives no random bytes.
    pub fn begin(&self, now: Instant) -> Result<String, getrandom::Error> {
        let mut bytes = [0; 32];
        getrandom::fill(&mut bytes)?;
        let token = bytes.iter().fold(String::with_capacity(64), |mut text, byte| {
            let _ = write!(text, "{byte:02x}");
            text
        });
        let mut all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        all.retain(|_, seen| now.duration_since(*seen) < IDLE);
        if all.len() >= MOST
            && let Some(oldest) = all.iter().min_by_key(|(_, seen)| **seen).map(|(key, _)| *key)
        {
            all.remove(&oldest);
        }
        all.insert(digest(&token), now);
        Ok(token)
    }

    /// Whether a token belongs to a session that still lives; it lives on from now.
    pub fn lives(&self, token: &str, now: Instant) -> bool {
        let mut all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        match all.get_mut(&digest(token)) {
            Some(seen) if now.saturating_duration_since(*seen) < IDLE => {
                *seen = now;
                true
            }
            _ => false,
        }
    }

    /// Ends a session.
    pub fn end(&self, token: &str) {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).remove(&digest(token));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_session_lives_while_it_is_used() {
        let sessions = Sessions::default();
        let start = Instant::now();
        let token = sessions.begin(start).unwrap();
        assert!(sessions.lives(&token, start + IDLE / 2));
        assert!(sessions.lives(&token, start + IDLE));
        assert!(!sessions.lives(&token, start + 3 * IDLE));
        assert!(!sessions.lives("", start) && !sessions.lives(&"0".repeat(64), start));
        let token = sessions.begin(start).unwrap();
        sessions.end(&token);
        assert!(!sessions.lives(&token, start));
    }

    #[test]
    fn so_many_at_once() {
        let sessions = Sessions::default();
        let first = sessions.begin(Instant::now()).unwrap();
        (0..MOST).for_each(|_| drop(sessions.begin(Instant::now()).unwrap()));
        assert!(!sessions.lives(&first, Instant::now()));
    }
}
