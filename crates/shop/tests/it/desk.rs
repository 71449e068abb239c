//! A folder and a store judge alike.

use shop::{Desk, Store};

#[test]
fn a_folder_and_a_store_find_the_same() {
    let folder = tempfile::tempdir().unwrap();
    shop::lay_out_demo(folder.path()).unwrap();
    let desk = Desk::open(folder.path(), &[]).unwrap();
    let store = Store::in_memory().unwrap();
    store.import_folder(folder.path(), "test").unwrap();
    let files = desk.order_files().unwrap();
    assert_eq!(files.len(), 7);
    for file in files {
        let checked = desk.check(&file).unwrap();
        let number = checked.document.value.order.number.to_string();
        let other = store.order(&number).unwrap().checked.unwrap();
        assert_eq!(checked.inspection.findings, other.inspection.findings, "{number}");
        assert_eq!(checked.train.is_some(), other.train.is_some());
    }
}
