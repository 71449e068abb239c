//! Sounds of an order, rendered when they are first asked for.

use std::collections::VecDeque;
use std::sync::{Arc, Mutex, PoisonError};

use acoustics::sound::to_wav;
use speakers::{Wiring, WiringState};

use super::open::Store;
use super::view::RenderedSound;
use crate::desk::{CheckedOrder, Desk};
use crate::error::ShopError;
use crate::sound::{Rendering, rendered};

/// Sounds that were rendered lately. A sound of a few seconds has about a megabyte.
#[derive(Debug, Default)]
pub(super) struct Sounds(Mutex<VecDeque<Known>>);

#[derive(Debug)]
struct Known {
    /// What decides how it sounds: the order judged on a desk of this shelf. Held, so that its address stays its own.
    checked: Arc<CheckedOrder>,
    rendering: Rendering,
    wav: Arc<[u8]>,
}

/// How many sounds are kept in mind: those of two orders.
const MOST_KNOWN: usize = 8;

impl Store {
    /// What an order can be listened to, and why a sound cannot be made.
    ///
    /// # Errors
    /// No such order, an order with faults, or the shop cannot be read.
    pub fn sounds(&self, order: &str) -> Result<Vec<RenderedSound>, ShopError> {
        let (_, checked, desk) = self.sound_order(order, "its sound")?;
        let sound = |rendering: Rendering| RenderedSound {
            rendering,
            title: rendering.title(),
            silent_because: silent(&desk, &checked, rendering.wiring),
        };
        Ok(Rendering::ALL.into_iter().map(sound).collect())
    }

    /// A sound of an order as a WAV file. Rendering takes a moment the first time.
    ///
    /// # Errors
    /// As [`Self::sounds`]; [`ShopError::Silent`] where it cannot be made.
    pub fn sound(&self, order: &str, rendering: Rendering) -> Result<Arc<[u8]>, ShopError> {
        let (_, checked, desk) = self.sound_order(order, "its sound")?;
        if let Some(wav) = self.inner.sounds.get(&checked, rendering) {
            return Ok(wav);
        }
        let silent =
            |why: String| ShopError::Silent { order: order.to_owned(), title: rendering.title(), why };
        let made = rendered(&checked.document.value, &desk.shelf, rendering);
        let made = made.ok_or_else(|| silent(NO_SPEAKERS.to_owned()))?.map_err(silent)?;
        let wav: Arc<[u8]> = to_wav(&made.sound).into();
        self.inner.sounds.keep(Known { checked, rendering, wav: Arc::clone(&wav) });
        Ok(wav)
    }
}

const NO_SPEAKERS: &str = "the order has no speakers there";

impl Sounds {
    fn get(&self, checked: &Arc<CheckedOrder>, rendering: Rendering) -> Option<Arc<[u8]>> {
        let sounds = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let is_it = |known: &&Known| known.rendering == rendering && Arc::ptr_eq(&known.checked, checked);
        sounds.iter().find(is_it).map(|known| Arc::clone(&known.wav))
    }

    fn keep(&self, known: Known) {
        let mut sounds = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if sounds.len() >= MOST_KNOWN {
            sounds.pop_front();
        }
        sounds.push_back(known);
    }
}

/// Why a wiring cannot be heard, as far as that is known without rendering it.
fn silent(desk: &Desk, checked: &CheckedOrder, state: WiringState) -> Option<String> {
    let order = &checked.document.value;
    let wiring = match state {
        WiringState::Found => Wiring::found(order, &desk.shelf),
        WiringState::Planned => Wiring::planned(order, &desk.shelf),
    };
    match wiring {
        None => Some(NO_SPEAKERS.to_owned()),
        Some(Err(error)) => Some(error.to_string()),
        Some(Ok(wiring)) => speakers::response(&wiring).err().map(|error| error.to_string()),
    }
}
