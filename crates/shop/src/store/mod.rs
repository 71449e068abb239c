//! The store: one opened shop, with every use case of the bench sheet and the command line.
//!
//! What it is: [`Store`], which can be cloned and used from several threads; plain data in, plain data out. Whatever text a
//! document gets is kept as it is, faults and all, so that nothing that was typed is lost; what cannot be read is shown as
//! faults, answers then stay those of the newest revision without faults, and programming needs a document without any.
//! What it is not: a page, a server or SQL.
//!
//! ```text
//! // opening                                                                                   (every error: ShopError)
//! Store::open(file: &Path) -> Result<Store>             usual_path() -> Result<PathBuf>       Store::in_memory()
//! store.fill_demo(by) -> Result<DemoFilled>             store.is_empty() -> Result<bool>      store.place() -> Option<&Path>
//! store.subscribe() -> Subscription                     store.desk() -> Result<Arc<Desk>>
//!
//! // documents of every kind
//! store.document(&key) -> Result<DocumentView>
//! store.create(&key, text, by) -> Result<RevisionNumber>
//! store.edit(&key, &path, value: &str, expected, by) -> Result<EditOutcome>          an empty value takes the field away
//! store.edit_all(&key, &[(Path, String)], expected, by) -> Result<EditOutcome>       a whole form at once, kept as one
//! store.add_entry(&key, &list, name: Option<&str>, &[(key, value)], expected, by) -> Result<EditOutcome>
//! store.remove_entry(&key, &entry, expected, by) -> Result<EditOutcome>
//! store.rename_entry(&key, &entry, name, expected, by) -> Result<EditOutcome>
//! store.replace_text(&key, text, expected, by) -> Result<EditOutcome>                never Invalid
//! store.undo(&key, by) / redo(&key, by) -> Result<Option<RevisionNumber>>            none: nothing to undo
//! store.go_back_to(&key, revision, by) -> Result<RevisionNumber>
//! store.delete(&key, by) / restore(&key, by) -> Result<RevisionNumber>
//! store.history(&key, limit) -> Result<Vec<HistoryRow>>                              newest first
//! store.revision_text(&key, revision) -> Result<String>
//!
//! // orders
//! store.order(number) -> Result<OrderView>
//! store.create_order(&NewOrder, by) / create_order_from_dossier(dossier, &NewOrder, by) -> Result<String>   its number
//! store.override_stop(number, rule, reason, by) / withdraw_override(number, rule, by) -> Result<RevisionNumber>
//! store.state_waits_for(number, Option<WaitsFor>, because, by) -> Result<RevisionNumber>
//! store.tick_stage(number, stage, is_done, by) -> Result<RevisionNumber>
//! store.board(&BoardQuestion) -> Result<Board>          store.search(text, limit) -> Result<Vec<SearchHit>>
//!
//! // trains, dossiers, parts
//! store.trains() -> Result<Vec<TrainRow>>               store.train(name) -> Result<TrainView>
//! store.create_train(name, title, consist_address, by) -> Result<()>
//! store.dossiers() -> Result<Vec<DossierRow>>           store.dossier(name) -> Result<DossierView>
//! store.create_dossier(order, name, by) -> Result<()>   begun with what the order's survey found
//! store.lessons(order, dossier) -> Result<Vec<String>>  what feeding back would change, in words
//! store.feed_back(order, dossier, lesson, by) -> Result<RevisionNumber>
//! store.parts() -> Result<Vec<PartRow>>                 store.part(name) -> Result<PartView>
//! store.add_part(text, by) -> Result<String>            its name, from the sheet
//! store.move_stock(part, pieces, order: Option<&str>, note, by) -> Result<()>
//!
//! // decoder
//! store.start_run(order, Task, Pace, by) -> Result<RunId>        in a thread of its own; one run per order at a time
//! store.cancel_run(run, by) -> Result<()>               store.wait_for_run(run) -> Result<RunView>
//! store.unfinished_runs() -> Result<Vec<RunView>>       store.take_up_run(run, Pace, by) -> Result<()>
//! store.run(run) -> Result<RunView>                     store.runs(order) -> Result<Vec<RunView>>
//! store.snapshots(order) -> Result<Vec<SnapshotHead>>   store.snapshot(id) -> Result<SnapshotView>
//! store.snapshot_differences(before, after) -> Result<Vec<SnapshotDifference>>
//!
//! // photos, sound, paper
//! store.add_photo(order, stage, caption, &bytes, by) -> Result<PhotoId>    type found from the bytes; location taken out
//! store.photos(order) -> Result<Vec<PhotoView>>         store.photo(id) -> Result<(PhotoView, Vec<u8>)>
//! store.remove_photo(id, by) / bring_back_photo(id, by) -> Result<()>
//! store.sounds(order) -> Result<Vec<RenderedSound>>     store.sound(order, Rendering) -> Result<Arc<[u8]>>    a WAV file
//! store.card_html(order, PaperSize) -> Result<String>   store.card_pdf(order, PaperSize) -> Result<Vec<u8>>
//!
//! // files
//! store.export_folder(folder) -> Result<Vec<PathBuf>>   store.import_folder(folder, by) -> Result<Imported>
//! store.write_archive(file) -> Result<()>               Store::from_archive(archive, new_shop) -> Result<Store>
//! store.back_up(file) -> Result<()>                     Store::restore_backup(backup, new_shop) -> Result<Store>
//! ```

mod event;
mod view;

pub use event::{Closed, Happening, ShopEvent, Subscription};
pub use view::*;
