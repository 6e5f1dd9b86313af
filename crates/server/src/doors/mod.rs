//! Who may come in: which names the server answers to, which pages may write, and who has signed in.

mod guard;
mod lockout;
mod password;
mod sessions;

pub use guard::{Peer, guard, token};
pub use password::{hash, least_length};
pub use sessions::{COOKIE, IDLE};

use lockout::Lockout;
use sessions::Sessions;
use std::net::IpAddr;

/// The rules of a server.
#[derive(Debug)]
pub struct Doors {
    /// Whether only this machine can reach it.
    pub loopback: bool,
    /// Host names it answers to besides addresses and `localhost`.
    pub names: Vec<String>,
    /// Whether the page comes over TLS, by ourselves or by a proxy.
    pub secure: bool,
    /// Whether a proxy stands in front, which says in `X-Forwarded-For` who asks.
    pub behind_proxy: bool,
    /// Password and who has said it; `None` when none is needed.
    pub keys: Option<Keys>,
}

/// A password and those who have said it.
#[derive(Debug)]
pub struct Keys {
    hash: String,
    pub(crate) sessions: Sessions,
    pub(crate) lockout: Lockout,
    /// One check at a time: each takes a good deal of memory on purpose.
    pub(crate) turn: tokio::sync::Semaphore,
}

impl Keys {
    /// Keys from the hash of a password.
    pub fn new(hash: String) -> Self {
        Self { hash, sessions: Sessions::default(), lockout: Lockout::default(), turn: tokio::sync::Semaphore::new(1) }
    }

    /// Whether this is the password.
    pub fn fits(&self, password: &str) -> bool {
        password::fits(&self.hash, password)
    }
}

impl Doors {
    /// A server for this machine alone, without a password.
    pub fn local() -> Self {
        Self { loopback: true, names: Vec::new(), secure: false, behind_proxy: false, keys: None }
    }

    /// Whether a `Host` header names this server. A name that somebody else's DNS points here is refused; addresses are
    /// nobody's.
    pub fn answers_to(&self, host: &str) -> bool {
        let name = match host.strip_prefix('[') {
            Some(rest) => match rest.split_once(']') {
                Some((address, port)) if port.is_empty() || is_port(port) => address,
                _ => return false,
            },
            None => match host.rsplit_once(':') {
                Some((name, port)) if port.bytes().all(|b| b.is_ascii_digit()) => name,
                Some(_) => return false,
                None => host,
            },
        };
        match name.parse::<IpAddr>() {
            Ok(address) => !self.loopback || address.is_loopback(),
            Err(_) => {
                name.eq_ignore_ascii_case("localhost") || self.names.iter().any(|own| own.eq_ignore_ascii_case(name))
            }
        }
    }
}

fn is_port(text: &str) -> bool {
    text.strip_prefix(':').is_some_and(|port| port.bytes().all(|b| b.is_ascii_digit()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn answers_to_its_own_names_only() {
        let local = Doors::local();
        for own in ["localhost", "localhost:8080", "LOCALHOST:1", "127.0.0.1:80", "127.0.0.1", "[::1]:99", "[::1]"] {
            assert!(local.answers_to(own), "{own}");
        }
        let foreign = [
            "",
            "evil.example",
            "localhost.evil.example:80",
            "192.168.1.5:80",
            "[::1",
            "[::1]x",
            "a:b",
            "127.0.0.1.nip.example",
        ];
        for foreign in foreign {
            assert!(!local.answers_to(foreign), "{foreign}");
        }
        let open = Doors { loopback: false, names: vec!["bins.example".into()], ..Doors::local() };
        for own in ["192.168.1.5:80", "Bins.Example", "bins.example:443", "localhost"] {
            assert!(open.answers_to(own), "{own}");
        }
        assert!(!open.answers_to("evil.example:443"));
    }
}
