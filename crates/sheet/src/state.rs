//! What every request shares: the opened shop, the door, and whether the sheet is being closed.

use std::sync::Arc;

use shop::{ShopEvent, Store};
use tokio::sync::{broadcast, watch};

use crate::events::{MOST_BEHIND, listen};
use crate::guard::{Guard, Reach};
use crate::problem::Problem;
use crate::serve::ServeError;

/// The sheet's state; clones are one and the same.
#[derive(Debug, Clone)]
pub struct Sheet(Arc<Inner>);

#[derive(Debug)]
struct Inner {
    store: Store,
    guard: Guard,
    closing: watch::Sender<bool>,
    events: broadcast::Sender<ShopEvent>,
    /// The listener ends when this is gone.
    _listening: Arc<()>,
}

impl Sheet {
    /// The sheet of a shop that is served at a port.
    ///
    /// # Errors
    /// When the operating system gives no random bytes.
    pub fn new(store: Store, reach: Reach, port: u16) -> Result<Self, ServeError> {
        let guard = Guard::new(reach, port)?;
        let events = broadcast::Sender::new(MOST_BEHIND);
        let listening = Arc::new(());
        listen(&store, events.clone(), Arc::downgrade(&listening));
        let closing = watch::Sender::new(false);
        Ok(Self(Arc::new(Inner { store, guard, closing, events, _listening: listening })))
    }

    /// The code that lets browsers in from the network; none where only this machine reaches the sheet.
    #[must_use]
    pub fn pairing_code(&self) -> Option<String> {
        self.guard().pairing_code()
    }

    pub(crate) fn guard(&self) -> &Guard {
        &self.0.guard
    }

    /// What happens in the shop from now on.
    pub(crate) fn events(&self) -> broadcast::Receiver<ShopEvent> {
        self.0.events.subscribe()
    }

    /// Asks the shop something, on a thread that may wait for the disk.
    pub(crate) async fn ask<T: Send + 'static, E: Send + 'static>(
        &self,
        question: impl FnOnce(&Store) -> Result<T, E> + Send + 'static,
    ) -> Result<T, Problem>
    where
        Problem: From<E>,
    {
        let store = self.0.store.clone();
        match tokio::task::spawn_blocking(move || question(&store)).await {
            Ok(answer) => answer.map_err(Problem::from),
            Err(cause) => Err(Problem::Broken { cause: cause.to_string() }),
        }
    }

    /// Begins to close: runs stop between two acts, to be taken up later, and whatever waits for
    /// [`Self::closed`] goes on.
    pub fn close(&self) {
        self.0.store.stop_runs();
        self.0.closing.send_replace(true);
    }

    /// Waits until the sheet is being closed.
    pub(crate) async fn closed(&self) {
        let mut closing = self.0.closing.subscribe();
        // The sender lives as long as the state, so that this only ends with the wish to close.
        let _ = closing.wait_for(|is_closing| *is_closing).await;
    }
}
