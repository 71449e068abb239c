//! Everybody who wants to hear what happens.

use std::sync::mpsc::{Sender, channel};
use std::sync::{Mutex, PoisonError};

use super::event::{ShopEvent, Subscription};

/// The senders' ends.
#[derive(Debug, Default)]
pub(super) struct Listeners {
    senders: Mutex<Vec<Sender<ShopEvent>>>,
}

impl Listeners {
    pub(super) fn subscribe(&self) -> Subscription {
        let (sender, receiver) = channel();
        self.senders.lock().unwrap_or_else(PoisonError::into_inner).push(sender);
        Subscription { receiver }
    }

    /// Tells an event to all who still listen.
    pub(super) fn tell(&self, event: &ShopEvent) {
        let mut senders = self.senders.lock().unwrap_or_else(PoisonError::into_inner);
        senders.retain(|sender| sender.send(event.clone()).is_ok());
    }
}
