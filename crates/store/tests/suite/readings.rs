//! Readings.

use store::{Moment, Reading, ReadingQuery, Store, StoreError, Thing};

use super::{Check, id};

pub const CHECKS: &[Check] = &[
    ("readings are kept once, however often they are sent", once),
    ("all readings of a call are kept or none", all_or_none),
    ("readings are asked by bin, instant and place", asked),
];

fn reading(name: &str, site: &str, bin: &str, at: i64) -> Reading {
    let body = format!("{{\"static_pressure_pa\": 500, \"of\": \"{name}\"}}");
    Reading { id: name.into(), site: id(site), bin: bin.into(), at: Moment(at), body }
}

fn places(store: &dyn Store, site: &str, which: &ReadingQuery) -> Vec<u32> {
    store.readings(&id(site), which).unwrap().iter().map(|line| line.seq).collect()
}

fn once(store: &dyn Store) {
    for site in ["a", "b"] {
        store.create_site(&id(site), site, site, "", Moment(0)).unwrap();
    }
    let (one, two) = (reading("one", "a", "north", 5), reading("two", "a", "north", 4));
    assert_eq!(store.add_readings(&[one.clone(), two.clone(), one.clone()]).unwrap(), 2);
    assert_eq!(store.add_readings(std::slice::from_ref(&one)).unwrap(), 0);
    assert_eq!(store.add_readings(&[]).unwrap(), 0);
    let kept = store.readings(&id("a"), &ReadingQuery::default()).unwrap();
    assert_eq!(kept.iter().map(|line| &line.reading).collect::<Vec<_>>(), [&one, &two], "in the order of arrival");
    assert_eq!(store.sites().unwrap().iter().map(|line| line.readings).collect::<Vec<_>>(), [2, 0]);
    let others = [
        Reading { body: "{}".into(), ..one.clone() },
        Reading { bin: "south".into(), ..one.clone() },
        Reading { at: Moment(6), ..one.clone() },
        Reading { site: id("b"), ..one.clone() },
    ];
    for other in others {
        assert!(matches!(store.add_readings(&[other]), Err(StoreError::Differs { id }) if id == "one"));
    }
    assert_eq!(store.readings(&id("a"), &ReadingQuery::default()).unwrap(), kept);
}

fn all_or_none(store: &dyn Store) {
    store.create_site(&id("a"), "a", "", "", Moment(0)).unwrap();
    let lost = store.add_readings(&[reading("one", "a", "north", 1), reading("two", "nowhere", "north", 2)]);
    assert!(matches!(lost, Err(StoreError::NotFound { what: Thing::Site, .. })));
    let twice = [reading("one", "a", "north", 1), reading("one", "a", "south", 1)];
    assert!(matches!(store.add_readings(&twice), Err(StoreError::Differs { .. })));
    assert!(places(store, "a", &ReadingQuery::default()).is_empty());
}

fn asked(store: &dyn Store) {
    for site in ["a", "b"] {
        store.create_site(&id(site), site, site, "", Moment(0)).unwrap();
    }
    let rows = [("1", "a", "north", 10), ("2", "b", "north", 11), ("3", "a", "south", 12), ("4", "a", "north", 9)];
    for (name, site, bin, at) in rows {
        store.add_readings(&[reading(name, site, bin, at)]).unwrap();
    }
    let all = ReadingQuery::default();
    assert_eq!((places(store, "a", &all), places(store, "b", &all)), (vec![1, 2, 3], vec![1]));
    assert_eq!(places(store, "a", &ReadingQuery { bin: Some("north".into()), ..all.clone() }), [1, 3]);
    assert_eq!(places(store, "a", &ReadingQuery { from: Some(Moment(10)), ..all.clone() }), [1, 2]);
    assert_eq!(places(store, "a", &ReadingQuery { after: 2, ..all.clone() }), [3], "late, but new");
    assert_eq!(places(store, "a", &ReadingQuery { limit: Some(2), ..all.clone() }), [1, 2]);
    assert_eq!(places(store, "a", &ReadingQuery { after: 3, ..all }), Vec::<u32>::new());
}
