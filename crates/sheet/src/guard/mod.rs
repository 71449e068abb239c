//! The door: who may ask, from where, and with what proof that they mean it.
//!
//! What it is: one layer in front of every route. It refuses requests to a foreign name and posts from a
//! foreign page, lets in whoever is paired where the sheet is open to the network, and puts the protecting
//! headers on every answer. SECURITY.md tells the whole story.
//! What it is not: users and rights. Whoever is in may do everything, as at the bench itself.

mod address;
mod headers;
mod pairing;
mod posted;
mod secret;

use std::net::{IpAddr, SocketAddr};
use std::sync::{Mutex, PoisonError};
use std::time::Instant;

use axum::extract::{ConnectInfo, Request, State};
use axum::http::{HeaderMap, Method, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Redirect, Response};

use crate::problem::Problem;
use crate::serve::ServeError;
use crate::state::Sheet;
use address::{Names, is_from_own_page, own_host};
pub(crate) use headers::policy_with_style;
use pairing::Pairing;
pub(crate) use pairing::Tried;
pub(crate) use posted::{Fields, Posted, Upload};

/// Who reaches the sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reach {
    /// Browsers on this machine.
    ThisMachine,
    /// Browsers on the network, once they are paired.
    Network,
}

/// The door's keys.
#[derive(Debug)]
pub(crate) struct Guard {
    port: u16,
    inside: Inside,
}

#[derive(Debug)]
enum Inside {
    /// On one machine a token in every page is proof enough: other sites cannot read it.
    ThisMachine {
        token: String,
    },
    Network {
        pairing: Mutex<Pairing>,
    },
}

/// The person behind a request.
#[derive(Debug, Clone)]
pub(crate) struct Visitor {
    /// What every form and every post of theirs must carry.
    pub(crate) token: String,
    /// The name that goes into histories.
    pub(crate) by: String,
}

/// Who works at the machine itself, in histories.
const AT_THE_BENCH: &str = "the bench";

/// The longest session cookie that is looked at.
const MOST_COOKIE: usize = 4096;

impl Guard {
    /// A guard for a port.
    ///
    /// # Errors
    /// When the operating system gives no random bytes.
    pub(crate) fn new(reach: Reach, port: u16) -> Result<Self, ServeError> {
        let inside = match reach {
            Reach::ThisMachine => Inside::ThisMachine { token: secret::token()? },
            Reach::Network => Inside::Network { pairing: Mutex::new(Pairing::new(Instant::now())?) },
        };
        Ok(Self { port, inside })
    }

    /// The code that lets browsers in from the network; none where only this machine reaches the sheet.
    pub(crate) fn pairing_code(&self) -> Option<String> {
        match &self.inside {
            Inside::ThisMachine { .. } => None,
            Inside::Network { pairing } => Some(lock(pairing).code().to_owned()),
        }
    }

    /// A try to pair a browser.
    ///
    /// # Errors
    /// When the operating system gives no random bytes.
    pub(crate) fn pair(&self, typed: &str, by: &str, from: Option<IpAddr>) -> Result<Tried, ServeError> {
        match &self.inside {
            Inside::ThisMachine { .. } => Ok(Tried::Wrong),
            Inside::Network { pairing } => lock(pairing).attempt(typed, by, from, Instant::now()),
        }
    }

    /// The cookie of a session. Cookies do not tell ports apart, so that the name has to.
    pub(crate) fn cookie(&self, key: &str) -> String {
        format!("{}={key}; Path=/; HttpOnly; SameSite=Strict", self.cookie_name())
    }

    fn cookie_name(&self) -> String {
        format!("backshop-{}", self.port)
    }

    /// Ends the session of a request.
    pub(crate) fn leave(&self, headers: &HeaderMap) {
        if let (Inside::Network { pairing }, Some(key)) = (&self.inside, self.session_key(headers)) {
            lock(pairing).leave(key);
        }
    }

    fn names(&self) -> Names {
        match self.inside {
            Inside::ThisMachine { .. } => Names::Loopback,
            Inside::Network { .. } => Names::Numbers,
        }
    }

    /// Whoever sent a request; none for a browser that is not paired.
    pub(crate) fn visitor(&self, headers: &HeaderMap) -> Option<Visitor> {
        match &self.inside {
            Inside::ThisMachine { token } => {
                Some(Visitor { token: token.clone(), by: AT_THE_BENCH.to_owned() })
            }
            Inside::Network { pairing } => {
                let key = self.session_key(headers)?;
                let (token, by) = lock(pairing).session(key, Instant::now())?;
                Some(Visitor { token, by })
            }
        }
    }

    fn session_key<'h>(&self, headers: &'h HeaderMap) -> Option<&'h str> {
        let name = self.cookie_name();
        headers
            .get_all(header::COOKIE)
            .iter()
            .filter_map(|cookies| cookies.to_str().ok())
            .filter(|cookies| cookies.len() <= MOST_COOKIE)
            .flat_map(|cookies| cookies.split(';'))
            .find_map(|cookie| cookie.trim().strip_prefix(name.as_str())?.strip_prefix('='))
    }
}

/// A panic in another thread leaves the doors as they were; refusing everybody would help nobody.
fn lock(pairing: &Mutex<Pairing>) -> std::sync::MutexGuard<'_, Pairing> {
    pairing.lock().unwrap_or_else(PoisonError::into_inner)
}

/// The layer in front of every route.
pub(crate) async fn guard(State(sheet): State<Sheet>, mut request: Request, next: Next) -> Response {
    let response = match admit(&sheet, &mut request) {
        Ok(()) => next.run(request).await,
        Err(refused) => *refused,
    };
    headers::protect(response)
}

/// Lets a request pass, with its visitor attached where it has one.
fn admit(sheet: &Sheet, request: &mut Request) -> Result<(), Box<Response>> {
    let refused = |problem: Problem| Box::new(problem.into_response());
    let guard = sheet.guard();
    let Some(host) = own_host(request.headers(), guard.names(), guard.port) else {
        return Err(refused(Problem::ForeignHost));
    };
    let is_reading = matches!(*request.method(), Method::GET | Method::HEAD);
    if !is_reading && !is_from_own_page(request.headers(), host) {
        return Err(refused(Problem::ForeignOrigin));
    }
    let path = request.uri().path();
    let is_open_to_all = path == "/pair" || path.starts_with("/assets/");
    match guard.visitor(request.headers()) {
        Some(visitor) => {
            request.extensions_mut().insert(visitor);
            Ok(())
        }
        None if is_open_to_all => Ok(()),
        None if is_reading && wants_page(request.headers()) => {
            Err(Box::new(Redirect::to("/pair").into_response()))
        }
        None => Err(refused(Problem::NotPaired)),
    }
}

fn wants_page(headers: &HeaderMap) -> bool {
    let accepted = headers.get(header::ACCEPT).and_then(|value| value.to_str().ok());
    accepted.is_some_and(|accepted| accepted.contains("text/html"))
}

/// The address that a request came from, where the server knows it.
pub(crate) fn address_of(connected: Option<&ConnectInfo<SocketAddr>>) -> Option<IpAddr> {
    connected.map(|ConnectInfo(address)| address.ip())
}
