//! Events for live pages: one thread listens to the shop, every open page hears of what concerns it.
//!
//! Source: the HTML standard's section on server-sent events (from memory).

use std::convert::Infallible;
use std::sync::Weak;
use std::time::Duration;

use axum::response::IntoResponse;
use axum::response::sse::{Event, KeepAlive, Sse};
use serde_json::json;
use shop::{DocumentKey, Happening, Kind, ShopEvent, Store, Subscription};
use tokio::sync::broadcast::error::RecvError;
use tokio::sync::{broadcast, mpsc};
use tokio_stream::StreamExt;
use tokio_stream::wrappers::ReceiverStream;

use crate::state::Sheet;

/// How many events a slow page may be behind before it is simply told to look at everything anew.
pub(crate) const MOST_BEHIND: usize = 256;
/// How often changes by another program are looked for, and how soon the listening ends with the sheet.
const PATIENCE: Duration = Duration::from_secs(2);
/// The least time between two tellings of one page: an eye sees no more, and a run makes hundreds of steps a
/// second.
const REST: Duration = Duration::from_millis(200);

/// What a page wants to hear of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Interest {
    /// Whatever may change a document's page.
    Document(DocumentKey),
    /// Whatever may change the lists of the shop.
    Lists,
}

/// What a page is told.
#[derive(Debug, Clone, PartialEq, Eq)]
enum News {
    /// Look at everything anew; with the revision and the words where they are known.
    Changed { revision: Option<i64>, told: String },
    /// A run is further.
    Progress,
}

/// Listens to the shop for all open pages, until the sheet is gone.
pub(crate) fn listen(store: &Store, tell: broadcast::Sender<ShopEvent>, is_wanted: Weak<()>) {
    let (store, subscription): (Store, Subscription) = (store.clone(), store.subscribe());
    std::thread::spawn(move || {
        while is_wanted.strong_count() > 0 {
            match subscription.next_within(PATIENCE) {
                // Nobody listens where no page is open.
                Ok(Some(event)) => drop(tell.send(event)),
                // What another program changes is found by looking. A shop that cannot be read now may be
                // readable later.
                Ok(None) => drop(store.notice_changes()),
                Err(_) => return,
            }
        }
    });
}

/// The stream of a page.
pub(crate) fn stream(sheet: &Sheet, interest: Interest) -> impl IntoResponse + use<> {
    let (send, receive) = mpsc::channel(8);
    let events = sheet.events();
    let sheet = sheet.clone();
    tokio::spawn(async move {
        tokio::select! {
            () = pass_on(events, &interest, &send) => {}
            () = sheet.closed() => {}
            () = send.closed() => {}
        }
    });
    let stream = ReceiverStream::new(receive).map(|news| Ok::<Event, Infallible>(event(&news)));
    Sse::new(stream).keep_alive(KeepAlive::new().interval(Duration::from_secs(20)))
}

/// Passes on what concerns a page, as fast as an eye can follow: what comes in between is put together.
async fn pass_on(mut events: broadcast::Receiver<ShopEvent>, interest: &Interest, send: &mpsc::Sender<News>) {
    loop {
        let Some(mut news) = next(&mut events, interest).await else { return };
        // What is waiting already is told along.
        while let Ok(event) = events.try_recv() {
            if let Some(more) = concerning(&event, interest) {
                news = together(news, more);
            }
        }
        if send.send(news).await.is_err() {
            return;
        }
        tokio::time::sleep(REST).await;
    }
}

async fn next(events: &mut broadcast::Receiver<ShopEvent>, interest: &Interest) -> Option<News> {
    loop {
        match events.recv().await {
            Ok(event) => {
                if let Some(news) = concerning(&event, interest) {
                    return Some(news);
                }
            }
            Err(RecvError::Lagged(_)) => return Some(News::Changed { revision: None, told: String::new() }),
            Err(RecvError::Closed) => return None,
        }
    }
}

/// The later news with what of the earlier must not be lost.
fn together(earlier: News, later: News) -> News {
    match (earlier, later) {
        (changed @ News::Changed { .. }, News::Progress) => changed,
        (_, later) => later,
    }
}

/// What an event means for a page; none where it means nothing.
fn concerning(event: &ShopEvent, interest: &Interest) -> Option<News> {
    let by = &event.by;
    let silent = || Some(News::Changed { revision: None, told: String::new() });
    let Interest::Document(page) = interest else {
        return match &event.what {
            Happening::RunProgress { .. } => None,
            _ => silent(),
        };
    };
    let is_ours = |order: &str| page.kind == Kind::Order && page.name == order;
    match &event.what {
        Happening::DocumentChanged { key, revision } if key == page => {
            Some(News::Changed { revision: Some(revision.get()), told: format!("Changed by {by}.") })
        }
        // Parts, trains and the orders of one train reach into each other's answers.
        Happening::DocumentChanged { .. } => silent(),
        Happening::RunProgress { order, .. } => is_ours(order).then_some(News::Progress),
        Happening::RunChanged { order, .. }
        | Happening::SnapshotTaken { order, .. }
        | Happening::PhotosChanged { order, .. } => {
            if is_ours(order) {
                silent()
            } else {
                None
            }
        }
        Happening::StockMoved { part } => {
            if page.kind == Kind::Part && page.name == *part {
                silent()
            } else {
                None
            }
        }
    }
}

fn event(news: &News) -> Event {
    match news {
        News::Progress => Event::default().event("progress").data("{}"),
        News::Changed { revision, told } => {
            Event::default().event("changed").data(json!({ "revision": revision, "told": told }).to_string())
        }
    }
}
