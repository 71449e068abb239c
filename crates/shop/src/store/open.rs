//! Opening a shop.

use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use ledger::{Document, DocumentId, Kind, Ledger, Stamp};

use super::answers::Answers;
use super::circumstances::EndedRuns;
use super::clock::now;
use super::event::{ShopEvent, Subscription};
use super::listeners::Listeners;
use super::live::LiveRuns;
use super::noticing::Noticed;
use super::sounds::Sounds;
use super::teller::Teller;
use super::view::DocumentKey;
use crate::desk::Desk;
use crate::error::ShopError;

/// One opened shop. Clones are the same shop; use them from as many threads as you like.
#[derive(Debug, Clone)]
pub struct Store {
    pub(super) inner: Arc<Inner>,
}

/// What all clones share. Locks are taken in the order of the fields, and none is held while a run acts.
#[derive(Debug)]
pub(super) struct Inner {
    pub(super) answers: Mutex<Answers>,
    pub(super) ledger: Mutex<Ledger>,
    pub(super) live: LiveRuns,
    pub(super) ended_runs: EndedRuns,
    pub(super) sounds: Sounds,
    pub(super) teller: Teller,
    pub(super) noticed: Noticed,
    listeners: Listeners,
    place: Option<PathBuf>,
}

/// Where the shop's file lies when nobody names another: `backshop/shop.backshop` in the user's data folder.
///
/// # Errors
/// A system that does not tell where that is, or a folder that cannot be made.
pub fn usual_path() -> Result<PathBuf, ShopError> {
    let folder = dirs::data_dir().ok_or(ShopError::NoDataFolder)?.join("backshop");
    crate::files::make_folder(&folder)?;
    Ok(folder.join("shop.backshop"))
}

impl Store {
    /// Opens a shop's file, or begins a new shop where there is none. What an earlier program left half computed (titles and
    /// lines of the work board) is computed in the background.
    ///
    /// # Errors
    /// A file that is no shop, cannot be read or written, is damaged, or was written by a newer program.
    pub fn open(file: &Path) -> Result<Self, ShopError> {
        Self::of(Ledger::open(file)?)
    }

    /// Begins a shop that lives only as long as this value and its clones: for tests and trials.
    ///
    /// # Errors
    /// When there is no memory for it.
    pub fn in_memory() -> Result<Self, ShopError> {
        Self::of(Ledger::in_memory()?)
    }

    pub(super) fn of(ledger: Ledger) -> Result<Self, ShopError> {
        let place = ledger.place().map(Path::to_owned);
        let newest = ledger.newest_change()?;
        let store = Self {
            inner: Arc::new(Inner {
                answers: Mutex::default(),
                ledger: Mutex::new(ledger),
                live: LiveRuns::default(),
                ended_runs: EndedRuns::default(),
                sounds: Sounds::default(),
                teller: Teller::default(),
                noticed: Noticed::up_to(newest),
                listeners: Listeners::default(),
                place,
            }),
        };
        store.tell_what_is_untold()?;
        Ok(store)
    }

    /// The shop's file; none for a shop in memory.
    #[must_use]
    pub fn place(&self) -> Option<&Path> {
        self.inner.place.as_deref()
    }

    /// Whether there is no document yet: the first start.
    ///
    /// # Errors
    /// When the shop cannot be read.
    pub fn is_empty(&self) -> Result<bool, ShopError> {
        let ledger = self.ledger();
        Ok(ledger.newest_change()? == ledger::Sequence::START)
    }

    /// Everything that happens from now on through this store: changes and the progress of runs.
    #[must_use]
    pub fn subscribe(&self) -> Subscription {
        self.inner.listeners.subscribe()
    }

    /// The desk with the part sheets and trains as they are now. Sheets and trains with faults are left out of it.
    ///
    /// # Errors
    /// When the shop cannot be read.
    pub fn desk(&self) -> Result<Arc<Desk>, ShopError> {
        Ok(self.current_desk()?.0)
    }

    pub(super) fn ledger(&self) -> MutexGuard<'_, Ledger> {
        // A panic takes its transaction back, so that the ledger is whole whatever happened to another thread.
        self.inner.ledger.lock().unwrap_or_else(PoisonError::into_inner)
    }

    pub(super) fn tell(&self, event: &ShopEvent) {
        self.inner.listeners.tell(event);
    }
}

/// A stamp of now.
pub(super) fn stamp(by: &str) -> Stamp<'_> {
    Stamp::new(now(), by)
}

/// The document of a key, also where it is deleted.
pub(super) fn find(ledger: &Ledger, key: &DocumentKey) -> Result<Document, ShopError> {
    if let Some(document) = ledger.find(key.kind, &key.name)? {
        return Ok(document);
    }
    let known = ledger.documents(key.kind)?;
    let near = documents::nearest(&key.name, known.iter().map(|document| document.name.as_str()));
    Err(ShopError::Unknown {
        what: kind_words(key.kind),
        name: key.name.clone(),
        near: near.map(str::to_owned),
    })
}

/// The number of an order's document.
pub(super) fn order_id(ledger: &Ledger, number: &str) -> Result<DocumentId, ShopError> {
    Ok(find(ledger, &DocumentKey::order(number))?.id)
}

/// A kind, as messages say it.
pub(super) fn kind_words(kind: Kind) -> &'static str {
    match kind {
        Kind::Order => "work order",
        Kind::Train => "train",
        Kind::Part => "part sheet",
        Kind::Dossier => "dossier",
        Kind::BenchTruth => "locomotive on the virtual bench",
    }
}
