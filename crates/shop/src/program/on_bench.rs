//! A locomotive on the virtual bench whose memory is kept somewhere safe.

use bench::Locomotive;
use track::Rails;

use crate::error::ShopError;

/// Somewhere safe for the memory of a virtual decoder.
pub(crate) trait Keep {
    /// Keeps what the locomotive's decoders hold now.
    fn keep(&mut self, locomotive: &Locomotive) -> Result<(), ShopError>;
}

/// A locomotive whose memory is kept as soon as its decoder has written it: before the programmer hears the acknowledgement, and so
/// before any journal can say that the write was done.
#[derive(Debug)]
pub(crate) struct Kept<K> {
    locomotive: Locomotive,
    keeper: K,
    failed: Option<ShopError>,
}

impl<K: Keep> Kept<K> {
    /// A locomotive whose memory is kept by `keeper` from now on.
    pub(crate) fn new(locomotive: Locomotive, keeper: K) -> Self {
        Self { locomotive, keeper, failed: None }
    }

    /// The first time that the memory could not be kept.
    ///
    /// # Errors
    /// That error, once.
    pub(crate) fn check(&mut self) -> Result<(), ShopError> {
        self.failed.take().map_or(Ok(()), Err)
    }

    fn keep_changes(&mut self) {
        if self.locomotive.take_memory_changed()
            && let Err(error) = self.keeper.keep(&self.locomotive)
        {
            self.failed.get_or_insert(error);
        }
    }
}

impl<K: Keep> Rails for Kept<K> {
    fn set_power(&mut self, is_on: bool) {
        self.locomotive.set_power(is_on);
        self.keep_changes();
    }

    fn drive(&mut self, half_bits: &[u32], milliamperes: &mut Vec<f32>) {
        self.locomotive.drive(half_bits, milliamperes);
        self.keep_changes();
    }

    fn wait(&mut self, microseconds: u64) {
        self.locomotive.wait(microseconds);
        self.keep_changes();
    }
}
