//! The bench sheet driven in process, as a browser drives it: every page, every form, every refusal.

#![expect(clippy::unwrap_used, reason = "a test that cannot go on fails")]

mod client;
mod crawl;
mod door;
mod editing;
mod hostile;
mod html;
mod live;
mod network;
mod orders;
mod rooms;
mod uploads;
