//! The store in memory does what every store must do.

mod suite;

use store::{MemoryStore, Store};

#[test]
fn memory_does_what_every_store_must() {
    suite::store_suite(|| Box::new(MemoryStore::new()));
}

/// One store serves many threads behind a shared pointer.
#[test]
fn a_store_can_be_shared() {
    let shared: std::sync::Arc<dyn Store> = std::sync::Arc::new(MemoryStore::new());
    let other = shared.clone();
    std::thread::spawn(move || other.set_setting("key", Some("value")).unwrap()).join().unwrap();
    assert_eq!(shared.setting("key").unwrap().as_deref(), Some("value"));
}
