//! Pairing: who knows the code in the terminal may come in, and nobody may try for long.

use std::collections::HashMap;
use std::net::IpAddr;
use std::time::{Duration, Instant};

use super::secret;
use crate::serve::ServeError;

/// Tries that one address has within [`WINDOW`].
const TRIES_EACH: u32 = 8;
/// Tries that all addresses have together within [`WINDOW`]. At this rate a code of 30 bits lasts centuries.
const TRIES_ALL: u32 = 30;
/// The time after which tries are forgotten.
const WINDOW: Duration = Duration::from_secs(60);
/// Browsers that can be paired at one time; the one that was here longest ago goes.
const MOST_SESSIONS: usize = 64;
/// The longest name that a person gives themselves.
const MOST_NAME: usize = 40;

/// Somebody who was let in.
#[derive(Debug, Clone)]
struct Session {
    key: String,
    token: String,
    by: String,
    seen: Instant,
}

/// The code, the tries and who was let in.
#[derive(Debug)]
pub(crate) struct Pairing {
    code: String,
    sessions: Vec<Session>,
    window_began: Instant,
    tries: HashMap<Option<IpAddr>, u32>,
}

/// What became of a try.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Tried {
    /// The code was right; this is the session's key.
    LetIn(String),
    /// It was not.
    Wrong,
    /// Too many tries; the next is heard after this time.
    TooMany(Duration),
}

impl Pairing {
    /// A new code, and nobody in yet.
    ///
    /// # Errors
    /// When the operating system gives no random bytes.
    pub(crate) fn new(now: Instant) -> Result<Self, ServeError> {
        Ok(Self { code: secret::code()?, sessions: Vec::new(), window_began: now, tries: HashMap::new() })
    }

    /// The code, as the terminal shows it.
    pub(crate) fn code(&self) -> &str {
        &self.code
    }

    /// A try to come in. Right codes count as tries too, so that the answer to a flood tells nothing.
    ///
    /// # Errors
    /// When the operating system gives no random bytes for a session.
    pub(crate) fn attempt(
        &mut self,
        typed: &str,
        by: &str,
        from: Option<IpAddr>,
        now: Instant,
    ) -> Result<Tried, ServeError> {
        if now.duration_since(self.window_began) >= WINDOW {
            self.window_began = now;
            self.tries.clear();
        }
        let of_all: u32 = self.tries.values().sum();
        let of_this = self.tries.entry(from).or_default();
        if of_all >= TRIES_ALL || *of_this >= TRIES_EACH {
            return Ok(Tried::TooMany(WINDOW.saturating_sub(now.duration_since(self.window_began))));
        }
        *of_this += 1;
        if !secret::is_same(&secret::code_as_typed(typed), &self.code) {
            return Ok(Tried::Wrong);
        }
        if self.sessions.len() >= MOST_SESSIONS {
            self.sessions.sort_by_key(|session| session.seen);
            self.sessions.remove(0);
        }
        let name: String = by.trim().chars().filter(|c| !c.is_control()).take(MOST_NAME).collect();
        let session = Session {
            key: secret::token()?,
            token: secret::token()?,
            by: if name.is_empty() { "somebody on the network".to_owned() } else { name },
            seen: now,
        };
        let key = session.key.clone();
        self.sessions.push(session);
        Ok(Tried::LetIn(key))
    }

    /// The form token and the name that go with a session's key; none where it is not known.
    pub(crate) fn session(&mut self, key: &str, now: Instant) -> Option<(String, String)> {
        let session = self.sessions.iter_mut().find(|session| secret::is_same(&session.key, key))?;
        session.seen = now;
        Some((session.token.clone(), session.by.clone()))
    }

    /// Ends a session.
    pub(crate) fn leave(&mut self, key: &str) {
        self.sessions.retain(|session| !secret::is_same(&session.key, key));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn from(last: u8) -> Option<IpAddr> {
        Some(IpAddr::from([192, 168, 1, last]))
    }

    #[test]
    fn the_right_code_lets_in_and_the_session_has_a_token_of_its_own() {
        let now = Instant::now();
        let mut pairing = Pairing::new(now).unwrap();
        let code = pairing.code().to_owned();
        let Tried::LetIn(key) = pairing.attempt(&code.to_lowercase(), " Ada ", from(5), now).unwrap() else {
            panic!("the right code was refused")
        };
        let (token, by) = pairing.session(&key, now).unwrap();
        assert_eq!(by, "Ada");
        assert_ne!(token, key);
        assert_eq!(pairing.session("something else", now), None);
        pairing.leave(&key);
        assert_eq!(pairing.session(&key, now), None);
    }

    #[test]
    fn nobody_may_try_for_long_and_others_still_may() {
        let now = Instant::now();
        let mut pairing = Pairing::new(now).unwrap();
        let code = pairing.code().to_owned();
        for _ in 0..TRIES_EACH {
            assert_eq!(pairing.attempt("wrong", "", from(5), now).unwrap(), Tried::Wrong);
        }
        // Now not even the right one is heard.
        assert!(matches!(pairing.attempt(&code, "", from(5), now).unwrap(), Tried::TooMany(_)));
        assert!(matches!(pairing.attempt(&code, "", from(6), now).unwrap(), Tried::LetIn(_)));
        assert!(matches!(pairing.attempt(&code, "", from(5), now + WINDOW).unwrap(), Tried::LetIn(_)));
    }

    #[test]
    fn many_addresses_together_are_held_up_too() {
        let now = Instant::now();
        let mut pairing = Pairing::new(now).unwrap();
        let heard = (0..200u8)
            .filter(|last| pairing.attempt("wrong", "", from(*last), now).unwrap() == Tried::Wrong)
            .count();
        assert_eq!(heard, 30);
    }

    #[test]
    fn the_browser_that_was_here_longest_ago_goes() {
        let begin = Instant::now();
        let mut pairing = Pairing::new(begin).unwrap();
        let code = pairing.code().to_owned();
        let mut keys = Vec::new();
        for index in 0..=u32::try_from(MOST_SESSIONS).unwrap() {
            let now = begin + WINDOW * index;
            let Tried::LetIn(key) = pairing.attempt(&code, "", from(1), now).unwrap() else { panic!() };
            keys.push(key);
        }
        let now = begin + WINDOW * 100;
        assert_eq!(pairing.session(&keys[0], now), None);
        assert!(pairing.session(&keys[1], now).is_some());
    }
}
