//! The store in a file does what every store must do, and what is expected of a file.

mod suite;
mod support;

use std::cell::RefCell;

use store::{Moment, SqliteStore, Store};
use support::Scratch;

#[test]
fn sqlite_does_what_every_store_must() {
    let folders = RefCell::new(Vec::new());
    suite::store_suite(|| {
        let folder = Scratch::new();
        let store = SqliteStore::open(folder.path(), Moment(0)).expect("opens");
        folders.borrow_mut().push(folder);
        Box::new(store) as Box<dyn Store>
    });
}
