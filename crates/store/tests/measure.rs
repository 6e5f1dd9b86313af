//! How long things take.

mod support;

use store::{ContentName, Moment, Reading, SiteId, SqliteStore, Store};
use support::Scratch;

/// How long a confirmed save, a batch of readings and a read take. Prints, judges nothing: `cargo test --release -p store
/// --test measure -- --ignored --nocapture`.
#[test]
#[ignore = "a measurement"]
fn how_long_things_take() {
    let folder = Scratch::new();
    let store = SqliteStore::open(folder.path(), Moment(0)).expect("opens");
    let id = |text: &str| -> SiteId { text.parse().expect("an id") };
    let lines = |n: u32| (0..400).map(|line| format!("key_{line} = \"{} ft\"\n", line * n)).collect::<String>();
    let mut stands = store.create_site(&id("a"), "a", &lines(0), "", Moment(0)).unwrap();
    let times = |what: &str, count: u32, mut work: Box<dyn FnMut(u32) + '_>| {
        let mut taken: Vec<f64> = (1..=count)
            .map(|n| {
                let begun = std::time::Instant::now();
                work(n);
                begun.elapsed().as_secs_f64() * 1e3
            })
            .collect();
        taken.sort_by(f64::total_cmp);
        let part = |share: f64| taken[(share * (taken.len() - 1) as f64) as usize];
        println!("{what}: median {:.3} ms, 99 of 100 within {:.3} ms", part(0.5), part(0.99));
    };
    println!("a text of {} bytes", stands.text.len());
    times("save", 1000, Box::new(|n| stands = store.save(&id("a"), &stands.head, &lines(n), "", Moment(1)).unwrap()));
    times("read a site", 1000, Box::new(|_| drop(store.site(&id("a")).unwrap())));
    let reading = |n: u32| Reading {
        id: format!("reading {n}"),
        site: id("a"),
        bin: "north".into(),
        at: Moment(n.into()),
        body: "{\"static_pressure_pa\": 512.5}".into(),
    };
    times("one reading", 500, Box::new(|n| assert_eq!(store.add_readings(&[reading(n)]).unwrap(), 1)));
    let batch = |n: u32| (0..100).map(|m| reading(1000 * n + m)).collect::<Vec<_>>();
    times("100 readings", 100, Box::new(|n| assert_eq!(store.add_readings(&batch(n)).unwrap(), 100)));
    let large: Vec<u8> =
        (0..10_000_000u32).map(|i| b"0123456789,.\n "[(i.wrapping_mul(2_654_435_761) >> 20) as usize % 14]).collect();
    let name = ContentName::new("weather", "mine");
    times("put 10 MB", 3, Box::new(|n| assert!(store.put_content(&name, &large[n as usize..], Moment(0)).is_ok())));
    times("get 10 MB", 3, Box::new(|_| drop(store.named_content(&name).unwrap())));
    times("check", 1, Box::new(|_| assert!(store.check().unwrap().is_empty())));
    let backup = folder.path().join("backup");
    times("backup", 1, Box::new(|_| store.backup_to(&backup).unwrap()));
}
