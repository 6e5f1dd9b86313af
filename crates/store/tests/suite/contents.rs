//! Contents and names.

use store::{ContentName, Digest, Moment, Pruned, Store, StoreError, Thing};

use super::{Check, id};

pub const CHECKS: &[Check] = &[
    ("contents come back byte for byte", byte_for_byte),
    ("names stand for contents, one namespace a kind", names),
    ("a name given to something else leaves the bytes", replaced),
    ("contents nobody refers to can be let go", prune),
];

fn byte_for_byte(store: &dyn Store) {
    let noise: Vec<u8> = (0u32..70_000).map(|i| (i.wrapping_mul(2_654_435_761) >> 11) as u8).collect();
    for (n, bytes) in [vec![], b"x".to_vec(), vec![0; 3_000_000], noise].into_iter().enumerate() {
        let name = ContentName::new("weather", format!("file {n}"));
        let digest = store.put_content(&name, &bytes, Moment(n as i64)).unwrap();
        assert_eq!(digest, Digest::of(&bytes));
        assert!(store.content(&digest).unwrap() == bytes);
        let (line, named) = store.named_content(&name).unwrap();
        assert!(named == bytes);
        assert_eq!((line.name, line.digest, line.bytes, line.at), (name, digest, bytes.len() as u64, Moment(n as i64)));
    }
}

fn names(store: &dyn Store) {
    let (weather, crops) = (ContentName::new("weather", "mine"), ContentName::new("crops", "mine"));
    let digest = store.put_content(&weather, b"same", Moment(1)).unwrap();
    assert_eq!(store.put_content(&crops, b"same", Moment(2)).unwrap(), digest);
    store.put_content(&ContentName::new("weather", "another, ü"), b"other", Moment(3)).unwrap();
    let listed: Vec<_> = store.contents("weather").unwrap().into_iter().map(|line| line.name.name).collect();
    assert_eq!(listed, ["another, ü", "mine"]);
    assert_eq!(store.contents("crops").unwrap()[0].bytes, 4);
    assert!(store.contents("catalogue").unwrap().is_empty());
    store.forget_name(&weather).unwrap();
    let missing = |error: Option<StoreError>| matches!(error, Some(StoreError::NotFound { what: Thing::Content, .. }));
    assert!(missing(store.forget_name(&weather).err()));
    assert!(missing(store.named_content(&weather).err()));
    assert!(missing(store.content(&Digest::of(b"never put")).err()));
    assert_eq!(store.named_content(&crops).unwrap().1, b"same");
}

fn replaced(store: &dyn Store) {
    let name = ContentName::new("weather", "mine");
    let old = store.put_content(&name, b"old", Moment(1)).unwrap();
    let new = store.put_content(&name, b"new", Moment(2)).unwrap();
    assert_eq!(store.named_content(&name).unwrap().0.digest, new);
    assert_eq!(store.contents("weather").unwrap().len(), 1);
    assert_eq!(store.content(&old).unwrap(), b"old", "a run may have used it");
}

fn prune(store: &dyn Store) {
    let name = ContentName::new("weather", "mine");
    let text = "a text that is a site's and a content's";
    store.create_site(&id("a"), "a", text, "", Moment(0)).unwrap();
    store.put_content(&name, text.as_bytes(), Moment(1)).unwrap();
    let old = store.put_content(&name, b"old", Moment(1)).unwrap();
    let late = store.put_content(&name, b"late", Moment(5)).unwrap();
    let named = store.put_content(&name, b"named", Moment(1)).unwrap();
    let pruned = store.prune_contents(Moment(5)).unwrap();
    assert!(pruned.count >= 1 && pruned.bytes >= 3);
    assert!(matches!(store.content(&old), Err(StoreError::NotFound { .. })));
    assert_eq!(store.content(&late).unwrap(), b"late", "not yet old enough");
    assert_eq!(store.content(&named).unwrap(), b"named");
    assert_eq!(store.site(&id("a")).unwrap().text, text, "texts are never let go");
    assert_eq!(store.prune_contents(Moment(5)).unwrap(), Pruned::default());
    assert_eq!(store.prune_contents(Moment(6)).unwrap(), Pruned { count: 1, bytes: 4 });
}
