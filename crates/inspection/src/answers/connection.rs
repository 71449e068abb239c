//! How the planned decoder gets its connections: by a plug, by wires, or not at all.
//!
//! Source: the socket sheets (NEM 651 to NEM 662) and the decoder's sheet.

use datasheets::SocketSheet;
use documents::Name;

use crate::job::Job;

/// The name that orders write where a model has no socket, and that decoder sheets write for free leads.
const NO_SOCKET: &str = "none";
const FREE_LEADS: &str = "wires";

/// How a decoder and a model come together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Connection {
    /// One of the decoder's plugs goes into the socket.
    PlugsIn {
        /// The plug, by its sheet's name.
        plug: Name,
    },
    /// The model has no socket and the decoder has free leads.
    Soldered,
    /// No plug of the decoder goes into the socket, but its free leads can be soldered instead.
    SolderedPastSocket,
    /// Neither.
    None,
}

impl Connection {
    /// How it is; none while the socket or the decoder is not known.
    pub(super) fn of(job: &Job<'_>) -> Option<Self> {
        let decoder = job.decoder()?;
        let has_leads = decoder.decoder.sockets.iter().any(|socket| socket.as_str() == FREE_LEADS);
        if !has_socket(job)? {
            return Some(if has_leads { Self::Soldered } else { Self::None });
        }
        let socket = job.socket()?;
        let goes_in = |plug: &&SocketSheet| {
            plug.part.name == socket.part.name || socket.socket.takes.contains(&plug.part.name)
        };
        let plugs = decoder.decoder.sockets.iter().filter_map(|name| job.shelf.socket(name));
        Some(match plugs.filter(goes_in).min_by_key(|plug| plug.part.name != socket.part.name) {
            Some(plug) => Self::PlugsIn { plug: plug.part.name.clone() },
            None if has_leads => Self::SolderedPastSocket,
            None => Self::None,
        })
    }

    /// Whether the socket's contacts carry the currents.
    #[must_use]
    pub fn is_plugged(&self) -> bool {
        matches!(self, Self::PlugsIn { .. })
    }
}

/// Whether the model has a socket; none where nobody noted it.
fn has_socket(job: &Job<'_>) -> Option<bool> {
    Some(job.order.survey.as_ref()?.socket.as_ref()?.as_str() != NO_SOCKET)
}
