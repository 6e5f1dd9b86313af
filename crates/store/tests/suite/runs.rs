//! Runs.

use store::{Digest, Moment, PruneRuns, Pruned, Run, RunUse, Store, StoreError, Thing};

use super::{Check, id};

pub const CHECKS: &[Check] = &[
    ("a run is kept with its model, job and result", kept),
    ("a run asked for twice is one run", shared),
    ("runs of a site, the last finished first", listed),
    ("old runs are let go by age and by size", prune),
];

/// A run that took `bytes` for job and result together.
fn run(name: &str, site: &str, bytes: usize, at: i64) -> Run {
    let uses = vec![RunUse { site: id(site), version: Digest::of(site.as_bytes()) }];
    Run {
        identity: Digest::of(name.as_bytes()),
        model: 3,
        kind: "prove".into(),
        accuracy: "verdict".into(),
        job: vec![b'j'; bytes / 2],
        result: name.bytes().cycle().take(bytes - bytes / 2).collect(),
        finished_at: Moment(at),
        uses,
    }
}

fn site(store: &dyn Store, name: &str) {
    store.create_site(&id(name), name, name, "", Moment(0)).unwrap();
}

fn kept(store: &dyn Store) {
    site(store, "a");
    let put = Run { job: vec![0, 255, 1], result: vec![b'{'; 100_000], ..run("one", "a", 0, 7) };
    store.put_run(&put).unwrap();
    assert_eq!(store.run(&put.identity).unwrap(), put);
    assert_eq!(store.run(&put.identity).unwrap().model, 3);
    let gone = store.run(&Digest::of(b"never"));
    assert!(matches!(gone, Err(StoreError::NotFound { what: Thing::Run, .. })));
    let free = Run { uses: vec![], ..run("two", "a", 10, 8) };
    store.put_run(&free).unwrap();
    assert_eq!(store.run(&free.identity).unwrap(), free, "a run without a site");
    let lost = store.put_run(&run("three", "nowhere", 10, 9));
    assert!(matches!(lost, Err(StoreError::NotFound { what: Thing::Site, .. })));
    assert!(store.run(&Digest::of(b"three")).is_err(), "nothing of it was kept");
}

fn shared(store: &dyn Store) {
    site(store, "a");
    site(store, "b");
    let first = run("one", "a", 10, 7);
    store.put_run(&first).unwrap();
    store.put_run(&first).unwrap();
    store.put_run(&Run { result: b"later".to_vec(), ..run("one", "b", 10, 9) }).unwrap();
    let found = store.run(&first.identity).unwrap();
    assert_eq!((found.result, found.finished_at), (first.result, Moment(7)), "the first one stays");
    assert_eq!(found.uses.iter().map(|used| used.site.as_str()).collect::<Vec<_>>(), ["a", "b"]);
    assert_eq!((store.runs(&id("a")).unwrap().len(), store.runs(&id("b")).unwrap().len()), (1, 1));
}

fn listed(store: &dyn Store) {
    site(store, "a");
    site(store, "b");
    for (name, of, at) in [("one", "a", 1), ("two", "a", 3), ("three", "b", 4), ("four", "a", 2)] {
        store.put_run(&run(name, of, 20, at)).unwrap();
    }
    let mut again = run("two", "a", 20, 3);
    again.uses[0].version = Digest::of(b"another text");
    store.put_run(&again).unwrap();
    let lines = store.runs(&id("a")).unwrap();
    assert_eq!(lines.iter().map(|line| line.finished_at.0).collect::<Vec<_>>(), [3, 3, 2, 1]);
    assert_eq!(lines[0].identity, Digest::of(b"two"));
    assert_ne!(lines[0].version, lines[1].version);
    let line = &lines[3];
    assert_eq!((line.model, line.kind.as_str(), line.accuracy.as_str(), line.bytes), (3, "prove", "verdict", 20));
}

fn prune(store: &dyn Store) {
    site(store, "a");
    for n in 1..=6 {
        store.put_run(&run(&format!("run {n}"), "a", 1000, n)).unwrap();
    }
    assert_eq!(store.prune_runs(&PruneRuns::default()).unwrap(), Pruned::default());
    let old = PruneRuns { finished_before: Some(Moment(3)), keep_bytes: None };
    assert_eq!(store.prune_runs(&old).unwrap(), Pruned { count: 2, bytes: 2000 });
    let left =
        |store: &dyn Store| store.runs(&id("a")).unwrap().iter().map(|line| line.finished_at.0).collect::<Vec<_>>();
    assert_eq!(left(store), [6, 5, 4, 3]);
    let large = PruneRuns { finished_before: None, keep_bytes: Some(2999) };
    assert_eq!(store.prune_runs(&large).unwrap(), Pruned { count: 2, bytes: 2000 });
    assert_eq!(left(store), [6, 5]);
    let six = store.run(&Digest::of(b"run 6")).unwrap();
    assert_eq!(six.job.len(), 500, "jobs shared with a run that went are still there");
    let both = PruneRuns { finished_before: Some(Moment(6)), keep_bytes: Some(u64::MAX) };
    assert_eq!(store.prune_runs(&both).unwrap().count, 1);
    assert_eq!(store.prune_runs(&PruneRuns { finished_before: None, keep_bytes: Some(0) }).unwrap().count, 1);
    assert!(left(store).is_empty());
}
