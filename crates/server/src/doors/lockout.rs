//! Wrong passwords: after a few of them an address waits, each time longer.

use std::collections::HashMap;
use std::net::{IpAddr, Ipv6Addr};
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};

/// Wrong passwords that cost nothing.
const FREE: u32 = 5;
/// First wait; each further wrong password doubles it.
const FIRST_WAIT: Duration = Duration::from_secs(30);
/// Longest wait.
const LONGEST_WAIT: Duration = Duration::from_secs(15 * 60);
/// A quiet time after which old mistakes are forgotten.
const FORGIVEN: Duration = Duration::from_secs(60 * 60);
/// Addresses remembered.
const MOST_ADDRESSES: usize = 1024;

#[derive(Debug, Clone, Copy)]
struct Wrong {
    count: u32,
    last: Instant,
    until: Option<Instant>,
}

/// Wrong passwords by address.
#[derive(Debug, Default)]
pub struct Lockout(Mutex<HashMap<IpAddr, Wrong>>);

impl Lockout {
    /// How long an address has to wait still.
    pub fn wait(&self, who: IpAddr, now: Instant) -> Option<Duration> {
        let wrong = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let until = wrong.get(&counted(who))?.until?;
        until.checked_duration_since(now).filter(|left| !left.is_zero())
    }

    /// Counts a wrong password.
    pub fn wrong(&self, who: IpAddr, now: Instant) {
        let mut all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if all.len() >= MOST_ADDRESSES {
            all.retain(|_, w| now.duration_since(w.last) < FORGIVEN);
            // Still full: whoever was quiet longest is forgotten.
            if all.len() >= MOST_ADDRESSES
                && let Some(oldest) = all.iter().min_by_key(|(_, w)| w.last).map(|(who, _)| *who)
            {
                all.remove(&oldest);
            }
        }
        let entry = all.entry(counted(who)).or_insert(Wrong { count: 0, last: now, until: None });
        if now.duration_since(entry.last) > FORGIVEN {
            entry.count = 0;
        }
        entry.count += 1;
        entry.last = now;
        entry.until = entry.count.checked_sub(FREE).map(|over| {
            let wait = FIRST_WAIT.saturating_mul(1 << over.min(10));
            now + wait.min(LONGEST_WAIT)
        });
    }

    /// Forgets the mistakes of an address that knew the password after all.
    pub fn right(&self, who: IpAddr) {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).remove(&counted(who));
    }
}

/// Whom an address stands for: one of version 4 in the dress of version 6 is itself, and a network of version 6 hands whoever
/// lives in it 2⁶⁴ addresses, so the network is counted.
fn counted(who: IpAddr) -> IpAddr {
    match who.to_canonical() {
        IpAddr::V6(v6) => Ipv6Addr::from_bits(v6.to_bits() >> 64 << 64).into(),
        v4 => v4,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn waits_grow_and_end() {
        let lockout = Lockout::default();
        let (who, other) = (IpAddr::from([10, 0, 0, 1]), IpAddr::from([10, 0, 0, 2]));
        let start = Instant::now();
        for _ in 1..FREE {
            lockout.wrong(who, start);
        }
        assert_eq!(lockout.wait(who, start), None);
        lockout.wrong(who, start);
        assert_eq!(lockout.wait(who, start), Some(FIRST_WAIT));
        assert_eq!(lockout.wait(other, start), None);
        lockout.wrong(who, start + FIRST_WAIT);
        assert_eq!(lockout.wait(who, start + FIRST_WAIT), Some(2 * FIRST_WAIT));
        for _ in 0..40 {
            lockout.wrong(who, start);
        }
        assert_eq!(lockout.wait(who, start), Some(LONGEST_WAIT));
        assert_eq!(lockout.wait(who, start + LONGEST_WAIT), None);
        lockout.right(who);
        lockout.wrong(who, start);
        assert_eq!(lockout.wait(who, start), None);
    }

    #[test]
    fn an_address_in_another_dress_is_the_same_visitor() {
        let lockout = Lockout::default();
        let now = Instant::now();
        let address = |text: &str| -> IpAddr { text.parse().unwrap() };
        for k in 0..FREE {
            lockout.wrong(address(&format!("2001:db8:1:2:{k}::{k}")), now);
            lockout.wrong(address(if k % 2 == 0 { "::ffff:10.0.0.1" } else { "10.0.0.1" }), now);
        }
        assert_eq!(lockout.wait(address("2001:db8:1:2:ffff::9"), now), Some(FIRST_WAIT));
        assert_eq!(lockout.wait(address("2001:db8:1:3::1"), now), None, "the neighbour's network");
        assert_eq!(lockout.wait(address("10.0.0.1"), now), Some(FIRST_WAIT));
        assert_eq!(lockout.wait(address("::ffff:10.0.0.1"), now), Some(FIRST_WAIT));
        assert_eq!(lockout.wait(address("::ffff:10.0.0.2"), now), None);
    }

    #[test]
    fn remembers_so_many_addresses() {
        let lockout = Lockout::default();
        for k in 0..5000_u32 {
            lockout.wrong(IpAddr::from(k.to_be_bytes()), Instant::now());
        }
        assert!(lockout.0.lock().unwrap().len() <= MOST_ADDRESSES);
    }
}
