//! What every store must do: the same checks for each that stands behind the trait.

mod contents;
mod history;
mod readings;
mod runs;
mod sites;

use store::{Head, Moment, SiteId, Store};

/// An id.
pub fn id(text: &str) -> SiteId {
    text.parse().expect("an id")
}

/// Runs every check, each on a store of its own.
pub fn store_suite(make: impl Fn() -> Box<dyn Store>) {
    let checks = [sites::CHECKS, contents::CHECKS, runs::CHECKS, readings::CHECKS];
    for (name, check) in checks.into_iter().flatten() {
        // Printed only when something fails: the last line names the check.
        println!("check: {name}");
        let store = make();
        check(store.as_ref());
        assert_eq!(store.check().expect("checks"), Vec::<String>::new(), "faults after {name}");
    }
    history::follows_its_model(&make);
    together(make().as_ref());
}

/// A check and its name.
pub type Check = (&'static str, fn(&dyn Store));

/// Several threads save the same site, each on what it has read: each save that was confirmed is a version, none is lost.
fn together(store: &dyn Store) {
    let site = id("shared");
    let first = store.create_site(&site, "shared", "start", "", Moment(0)).unwrap();
    let confirmed: Vec<Head> = std::thread::scope(|scope| {
        let worker = |worker: usize| {
            let site = &site;
            move || {
                let mut heads = Vec::new();
                while heads.len() < 10 {
                    let stands = store.site(site).unwrap();
                    let text = format!("{}\n{worker} {}", stands.text, heads.len());
                    match store.save(site, &stands.head, &text, "", Moment(1)) {
                        Ok(saved) => heads.push(saved.head),
                        Err(store::StoreError::Moved { current }) => assert_ne!(current, stands.head),
                        Err(error) => panic!("{error}"),
                    }
                }
                heads
            }
        };
        let threads: Vec<_> = (0..4).map(|n| scope.spawn(worker(n))).collect();
        threads.into_iter().flat_map(|thread| thread.join().expect("no panic")).collect()
    });
    let versions = store.versions(&site).unwrap();
    assert_eq!(versions.len(), 41);
    assert!(versions.windows(2).all(|pair| pair[0].parent == Some(pair[1].seq)), "one line");
    assert!(confirmed.iter().all(|head| versions.iter().any(|version| version.head() == *head)));
    // Every line of every writer is in the last text: nobody wrote over what he had not read.
    assert_eq!(store.site(&site).unwrap().text.lines().count(), 41);
    assert_eq!(first.head.seq, 1);
}
