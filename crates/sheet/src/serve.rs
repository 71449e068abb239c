//! Opening the sheet: binding an address, serving until somebody ends it, and ending gracefully.

use std::net::{IpAddr, Ipv4Addr, SocketAddr, UdpSocket};
use std::time::Duration;

use shop::Store;
use thiserror::Error;

use crate::guard::Reach;
use crate::router;
use crate::state::Sheet;

/// What is served, and where.
#[derive(Debug)]
pub struct Config {
    /// The opened shop.
    pub store: Store,
    /// The port; 0 takes any free one.
    pub port: u16,
    /// Who reaches it.
    pub reach: Reach,
}

/// What the person at the terminal has to know.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Opened {
    /// Where browsers find the sheet, the best first.
    pub addresses: Vec<String>,
    /// The code that lets browsers in from the network.
    pub pairing_code: Option<String>,
}

/// Why the sheet cannot be served.
#[derive(Debug, Error)]
pub enum ServeError {
    /// The address cannot be had.
    #[error("cannot listen at {address}: {cause}")]
    Listen {
        /// The address.
        address: SocketAddr,
        /// Why.
        cause: std::io::Error,
    },
    /// The operating system gives no random bytes, without which there are no secrets.
    #[error("the operating system gives no random bytes: {cause}")]
    NoRandomness {
        /// Why.
        cause: String,
    },
    /// Serving broke off.
    #[error("serving broke off: {cause}")]
    Broken {
        /// Why.
        cause: std::io::Error,
    },
}

impl ServeError {
    /// What the person can do about it.
    #[must_use]
    pub fn help(&self) -> &'static str {
        match self {
            Self::Listen { cause, .. } if cause.kind() == std::io::ErrorKind::AddrInUse => {
                "something else listens there, perhaps another Backshop: use its page, or choose another port with `--port`"
            }
            Self::Listen { .. } => "choose another port with `--port`",
            Self::NoRandomness { .. } => "see to the operating system's random device",
            Self::Broken { .. } => "start it again; nothing that was saved is lost",
        }
    }
}

/// How long open connections have to end by themselves once the sheet is being closed.
const PATIENCE: Duration = Duration::from_secs(2);

/// Serves the sheet until the program is interrupted. `opened` hears where it is as soon as it is there.
///
/// # Errors
/// An address that cannot be had, an operating system without random bytes, a server that breaks off.
pub async fn serve(config: Config, opened: impl FnOnce(&Opened)) -> Result<(), ServeError> {
    let ip = match config.reach {
        Reach::ThisMachine => Ipv4Addr::LOCALHOST,
        Reach::Network => Ipv4Addr::UNSPECIFIED,
    };
    let address = SocketAddr::new(IpAddr::V4(ip), config.port);
    let failed = |cause| ServeError::Listen { address, cause };
    let listener = tokio::net::TcpListener::bind(address).await.map_err(failed)?;
    let port = listener.local_addr().map_err(failed)?.port();
    let sheet = Sheet::new(config.store, config.reach, port)?;
    opened(&Opened { addresses: addresses(config.reach, port), pairing_code: sheet.pairing_code() });

    let service = router(sheet.clone()).into_make_service_with_connect_info::<SocketAddr>();
    let closing = sheet.clone();
    let until_interrupted = async move {
        interrupted().await;
        // Streams of events would hold their connections open for ever.
        closing.close();
    };
    let server = axum::serve(listener, service).with_graceful_shutdown(until_interrupted);
    let hurried = async {
        sheet.closed().await;
        tokio::time::sleep(PATIENCE).await;
    };
    tokio::select! {
        ended = server.into_future() => ended.map_err(|cause| ServeError::Broken { cause }),
        () = hurried => Ok(()),
    }
}

/// Serves the sheet from a program that has no runtime of its own.
///
/// # Errors
/// As [`serve`].
pub fn serve_here(config: Config, opened: impl FnOnce(&Opened)) -> Result<(), ServeError> {
    let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build();
    runtime.map_err(|cause| ServeError::Broken { cause })?.block_on(serve(config, opened))
}

/// Ends when the program is asked to stop, by the keyboard or by whoever started it.
async fn interrupted() {
    let by_keyboard = async {
        // Without a handler the program simply ends at the keyboard's wish, and nothing that was saved is lost
        // by that.
        if tokio::signal::ctrl_c().await.is_err() {
            std::future::pending::<()>().await;
        }
    };
    #[cfg(unix)]
    let by_signal = async {
        match tokio::signal::unix::signal(tokio::signal::unix::SignalKind::terminate()) {
            Ok(mut signal) => {
                signal.recv().await;
            }
            Err(_) => std::future::pending::<()>().await,
        }
    };
    #[cfg(not(unix))]
    let by_signal = std::future::pending::<()>();
    tokio::select! {
        () = by_keyboard => {}
        () = by_signal => {}
    }
}

fn addresses(reach: Reach, port: u16) -> Vec<String> {
    let here = format!("http://127.0.0.1:{port}/");
    match (reach, network_address()) {
        (Reach::Network, Some(ip)) => vec![format!("http://{ip}:{port}/"), here],
        _ => vec![here],
    }
}

/// This machine's own address on the network it would use to reach others. Nothing is sent: connecting a
/// datagram socket only asks for the route. 192.0.2.1 belongs to nobody (RFC 5737).
fn network_address() -> Option<IpAddr> {
    let socket = UdpSocket::bind((Ipv4Addr::UNSPECIFIED, 0)).ok()?;
    socket.connect((Ipv4Addr::new(192, 0, 2, 1), 9)).ok()?;
    let ip = socket.local_addr().ok()?.ip();
    (!ip.is_unspecified() && !ip.is_loopback()).then_some(ip)
}
