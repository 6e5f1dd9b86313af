//! Sites and their versions.

use store::{Digest, Head, Moment, Store, StoreError, Thing};

use super::{Check, id};

pub const CHECKS: &[Check] = &[
    ("a site is made and read", made_and_read),
    ("texts come back byte for byte", byte_for_byte),
    ("saves make a line of versions", saves),
    ("undo and redo move along the line", undo_and_redo),
    ("after undo and save, redo follows the newest child", redo_follows_the_newest),
    ("restore makes a new version of an old text", restore),
    ("the same text makes no version", same_text),
    ("whoever has not seen the head changes nothing", moved),
    ("rename and duplicate", rename_and_duplicate),
    ("deleted sites are put aside and come back", delete_and_undelete),
    ("what is not there", missing),
    ("lists are in order, with counts", lists),
    ("settings", settings),
];

fn made_and_read(store: &dyn Store) {
    let made = store.create_site(&id("a"), "North bin", "depth = \"18 ft\"\n", "from the demo", Moment(5)).unwrap();
    assert_eq!(made.head, Head { seq: 1, digest: Digest::of(b"depth = \"18 ft\"\n") });
    assert_eq!((made.name.as_str(), made.created_at, made.updated_at), ("North bin", Moment(5), Moment(5)));
    assert!(!made.can_undo && !made.can_redo);
    assert_eq!(store.site(&id("a")).unwrap(), made);
    let versions = store.versions(&id("a")).unwrap();
    assert_eq!((versions[0].note.as_str(), versions[0].bytes, versions[0].parent), ("from the demo", 16, None));
    let taken = store.create_site(&id("a"), "again", "", "", Moment(6));
    assert!(matches!(taken, Err(StoreError::Taken { name }) if name == "a"));
    assert_eq!(store.site(&id("a")).unwrap(), made);
}

fn byte_for_byte(store: &dyn Store) {
    let texts = [
        String::new(),
        "\u{feff}with a mark\r\nand\rboth ends\n\n".to_string(),
        "a\0b, ü, 粒, 🌾, no end of line".to_string(),
        "long ".repeat(100_000),
    ];
    for (n, text) in texts.iter().enumerate() {
        let site = id(&format!("t{n}"));
        store.create_site(&site, text, text, text, Moment(-1)).unwrap();
        let read = store.site(&site).unwrap();
        assert!(read.text == *text && read.name == *text);
        let (version, old) = store.version(&site, 1).unwrap();
        assert!(old == *text && version.note == *text && version.bytes == text.len() as u64);
    }
}

fn saves(store: &dyn Store) {
    let site = id("a");
    let one = store.create_site(&site, "a", "one", "", Moment(1)).unwrap();
    let two = store.save(&site, &one.head, "two", "deeper", Moment(2)).unwrap();
    let three = store.save(&site, &two.head, "one", "back by hand", Moment(3)).unwrap();
    assert_eq!((three.head.seq, three.head.digest), (3, one.head.digest));
    assert_eq!((three.created_at, three.updated_at), (Moment(1), Moment(3)));
    assert!(three.can_undo && !three.can_redo);
    let seen: Vec<_> = store.versions(&site).unwrap().into_iter().map(|v| (v.seq, v.parent, v.at, v.note)).collect();
    assert_eq!(
        seen,
        [
            (3, Some(2), Moment(3), "back by hand".to_string()),
            (2, Some(1), Moment(2), "deeper".to_string()),
            (1, None, Moment(1), String::new()),
        ]
    );
    assert_eq!(store.version(&site, 2).unwrap().1, "two");
}

fn undo_and_redo(store: &dyn Store) {
    let site = id("a");
    let one = store.create_site(&site, "a", "one", "", Moment(1)).unwrap();
    assert!(matches!(store.undo(&site, &one.head, Moment(2)), Err(StoreError::NothingToUndo)));
    assert!(matches!(store.redo(&site, &one.head, Moment(2)), Err(StoreError::NothingToRedo)));
    let two = store.save(&site, &one.head, "two", "", Moment(2)).unwrap();
    let three = store.save(&site, &two.head, "three", "", Moment(3)).unwrap();
    let back = store.undo(&site, &three.head, Moment(4)).unwrap();
    assert_eq!((back.head, back.text.as_str(), back.updated_at), (two.head, "two", Moment(4)));
    assert!(back.can_undo && back.can_redo);
    let back = store.undo(&site, &back.head, Moment(5)).unwrap();
    assert_eq!(back.head, one.head);
    assert!(!back.can_undo && back.can_redo);
    let on = store.redo(&site, &back.head, Moment(6)).unwrap();
    assert_eq!(on.head, two.head);
    let on = store.redo(&site, &on.head, Moment(7)).unwrap();
    assert_eq!((on.head, on.can_redo), (three.head, false));
    assert_eq!(store.versions(&site).unwrap().len(), 3, "undo and redo make no versions");
}

fn redo_follows_the_newest(store: &dyn Store) {
    let site = id("a");
    let one = store.create_site(&site, "a", "one", "", Moment(1)).unwrap();
    let two = store.save(&site, &one.head, "two", "", Moment(2)).unwrap();
    let back = store.undo(&site, &two.head, Moment(3)).unwrap();
    let other = store.save(&site, &back.head, "other", "", Moment(4)).unwrap();
    assert_eq!((other.head.seq, other.can_redo), (3, false));
    let back = store.undo(&site, &other.head, Moment(5)).unwrap();
    assert_eq!(store.redo(&site, &back.head, Moment(6)).unwrap().head, other.head);
    // What was undone before the save is still there.
    assert_eq!(store.version(&site, 2).unwrap().1, "two");
}

fn restore(store: &dyn Store) {
    let site = id("a");
    let one = store.create_site(&site, "a", "one", "", Moment(1)).unwrap();
    let two = store.save(&site, &one.head, "two", "", Moment(2)).unwrap();
    let restored = store.restore(&site, &two.head, 1, "as it was", Moment(3)).unwrap();
    assert_eq!((restored.head.seq, restored.text.as_str()), (3, "one"));
    let versions = store.versions(&site).unwrap();
    assert_eq!((versions[0].parent, versions[0].note.as_str()), (Some(2), "as it was"));
    for seq in [0, 4, u32::MAX] {
        let gone = store.restore(&site, &restored.head, seq, "", Moment(4));
        assert!(matches!(gone, Err(StoreError::NotFound { what: Thing::Version, .. })));
    }
    assert_eq!(store.site(&site).unwrap(), restored);
}

fn same_text(store: &dyn Store) {
    let site = id("a");
    let one = store.create_site(&site, "a", "one", "", Moment(1)).unwrap();
    let two = store.save(&site, &one.head, "two", "", Moment(2)).unwrap();
    assert_eq!(store.save(&site, &two.head, "two", "again", Moment(3)).unwrap(), two);
    let back = store.undo(&site, &two.head, Moment(4)).unwrap();
    assert_eq!(store.save(&site, &back.head, "one", "again", Moment(5)).unwrap(), back);
    assert_eq!(store.restore(&site, &back.head, 1, "again", Moment(6)).unwrap(), back);
    assert!(back.can_redo, "redo is still there");
}

fn moved(store: &dyn Store) {
    let site = id("a");
    let one = store.create_site(&site, "a", "one", "", Moment(1)).unwrap();
    let two = store.save(&site, &one.head, "two", "", Moment(2)).unwrap();
    let stale =
        [one.head, Head { seq: 2, digest: Digest::of(b"something else") }, Head { seq: 7, digest: two.head.digest }];
    for head in &stale {
        let outcomes = [
            store.save(&site, head, "three", "", Moment(3)).err(),
            store.undo(&site, head, Moment(3)).err(),
            store.redo(&site, head, Moment(3)).err(),
            store.restore(&site, head, 1, "", Moment(3)).err(),
            store.rename(&site, head, "b", Moment(3)).err(),
            store.delete(&site, head, Moment(3)).err(),
        ];
        for outcome in outcomes {
            assert!(matches!(outcome, Some(StoreError::Moved { current }) if current == two.head), "{outcome:?}");
        }
    }
    assert_eq!(store.site(&site).unwrap(), two);
}

fn rename_and_duplicate(store: &dyn Store) {
    let site = id("a");
    let one = store.create_site(&site, "a", "one", "", Moment(1)).unwrap();
    let two = store.save(&site, &one.head, "two", "", Moment(2)).unwrap();
    let renamed = store.rename(&site, &two.head, "Ridge farm", Moment(3)).unwrap();
    assert_eq!((renamed.name.as_str(), renamed.head, renamed.updated_at), ("Ridge farm", two.head, Moment(3)));
    let copy = store.duplicate(&site, &id("b"), "Ridge farm 2", "copy", Moment(4)).unwrap();
    assert_eq!((copy.head.seq, copy.text.as_str(), copy.created_at), (1, "two", Moment(4)));
    assert!(!copy.can_undo);
    assert!(matches!(store.duplicate(&site, &id("b"), "", "", Moment(5)), Err(StoreError::Taken { .. })));
    store.save(&id("b"), &copy.head, "three", "", Moment(6)).unwrap();
    assert_eq!(store.site(&site).unwrap(), renamed, "a copy goes its own way");
}

fn delete_and_undelete(store: &dyn Store) {
    let site = id("a");
    let one = store.create_site(&site, "a", "one", "", Moment(1)).unwrap();
    let two = store.save(&site, &one.head, "two", "", Moment(2)).unwrap();
    store.delete(&site, &two.head, Moment(3)).unwrap();
    assert!(store.sites().unwrap().is_empty());
    let gone = store.deleted_sites().unwrap();
    assert_eq!((gone[0].id.clone(), gone[0].deleted_at, gone[0].versions), (site.clone(), Some(Moment(3)), 2));
    let outcomes = [
        store.site(&site).err(),
        store.versions(&site).err(),
        store.version(&site, 1).err(),
        store.save(&site, &two.head, "three", "", Moment(4)).err(),
        store.undo(&site, &two.head, Moment(4)).err(),
        store.delete(&site, &two.head, Moment(4)).err(),
        store.duplicate(&site, &id("b"), "", "", Moment(4)).err(),
        store.runs(&site).err(),
        store.readings(&site, &Default::default()).err(),
    ];
    for outcome in outcomes {
        assert!(matches!(outcome, Some(StoreError::NotFound { what: Thing::Site, .. })), "{outcome:?}");
    }
    assert!(matches!(store.create_site(&site, "", "", "", Moment(4)), Err(StoreError::Taken { .. })));
    let back = store.undelete(&site, Moment(5)).unwrap();
    assert_eq!((back.head, back.text.as_str(), back.updated_at), (two.head, "two", Moment(5)));
    assert!(store.deleted_sites().unwrap().is_empty());
    assert!(matches!(store.undelete(&site, Moment(6)), Err(StoreError::NotFound { .. })));
    assert_eq!(store.undo(&site, &back.head, Moment(7)).unwrap().head, one.head);
}

fn missing(store: &dyn Store) {
    let site = id("nowhere");
    let head = Head { seq: 1, digest: Digest::of(b"") };
    let outcomes = [
        store.site(&site).err(),
        store.versions(&site).err(),
        store.version(&site, 1).err(),
        store.save(&site, &head, "", "", Moment(1)).err(),
        store.undo(&site, &head, Moment(1)).err(),
        store.redo(&site, &head, Moment(1)).err(),
        store.restore(&site, &head, 1, "", Moment(1)).err(),
        store.rename(&site, &head, "", Moment(1)).err(),
        store.delete(&site, &head, Moment(1)).err(),
        store.undelete(&site, Moment(1)).err(),
        store.duplicate(&site, &id("b"), "", "", Moment(1)).err(),
        store.runs(&site).err(),
        store.readings(&site, &Default::default()).err(),
    ];
    for outcome in outcomes {
        let right = |name: &str| name == "nowhere";
        assert!(
            matches!(&outcome, Some(StoreError::NotFound { what: Thing::Site, name }) if right(name)),
            "{outcome:?}"
        );
    }
    assert!(store.sites().unwrap().is_empty());
}

fn lists(store: &dyn Store) {
    for (n, site) in ["b", "a", "c", "d"].into_iter().enumerate() {
        store.create_site(&id(site), site, site, "", Moment(n as i64 / 2)).unwrap();
    }
    let order = |store: &dyn Store| store.sites().unwrap().into_iter().map(|line| line.name).collect::<Vec<_>>();
    assert_eq!(order(store), ["c", "d", "a", "b"], "the last changed first, then by id");
    let b = store.site(&id("b")).unwrap();
    store.save(&id("b"), &b.head, "more", "", Moment(9)).unwrap();
    assert_eq!(order(store), ["b", "c", "d", "a"]);
    let line = &store.sites().unwrap()[0];
    assert_eq!((line.versions, line.readings, line.head.seq), (2, 0, 2));
    assert_eq!((line.created_at, line.updated_at, line.deleted_at), (Moment(0), Moment(9), None));
    for (site, at) in [("a", 10), ("c", 11)] {
        let head = store.site(&id(site)).unwrap().head;
        store.delete(&id(site), &head, Moment(at)).unwrap();
    }
    let gone: Vec<_> = store.deleted_sites().unwrap().into_iter().map(|line| line.name).collect();
    assert_eq!((order(store), gone), (vec!["b".into(), "d".into()], vec!["c".into(), "a".into()]));
}

fn settings(store: &dyn Store) {
    assert_eq!(store.setting("password").unwrap(), None);
    store.set_setting("password", Some("one")).unwrap();
    store.set_setting("password", Some("two ü")).unwrap();
    store.set_setting("other", Some("")).unwrap();
    assert_eq!(store.setting("password").unwrap().as_deref(), Some("two ü"));
    assert_eq!(store.setting("other").unwrap().as_deref(), Some(""));
    store.set_setting("password", None).unwrap();
    store.set_setting("never", None).unwrap();
    assert_eq!(store.setting("password").unwrap(), None);
}
