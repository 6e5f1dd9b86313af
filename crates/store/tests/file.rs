//! What is expected of the store's file: it outlives the program, is the user's own, is copied while in use, and a file
//! that is newer, not ours or damaged is said to be so.

mod support;

use std::{fs, path::Path, time::Duration};

use rusqlite::Connection;
use store::{ContentName, Digest, Moment, Reading, SiteId, SqliteStore, Store, StoreError, sqlite::FILE_NAME};
use support::Scratch;

fn open(folder: &Path) -> SqliteStore {
    SqliteStore::open(folder, Moment(7)).expect("opens")
}

fn id(text: &str) -> SiteId {
    text.parse().expect("an id")
}

/// The file by its own means, as another program would.
fn below(folder: &Path) -> Connection {
    Connection::open(folder.join(FILE_NAME)).expect("opens")
}

#[test]
fn undo_and_all_else_outlive_the_program() {
    let folder = Scratch::new();
    let weather = ContentName::new("weather", "mine");
    let reading = Reading { id: "r".into(), site: id("a"), bin: "b".into(), at: Moment(1), body: "{}".into() };
    let two = {
        let store = open(folder.path());
        let one = store.create_site(&id("a"), "a", "one", "", Moment(1)).unwrap();
        store.put_content(&weather, &[9; 5000], Moment(1)).unwrap();
        store.add_readings(std::slice::from_ref(&reading)).unwrap();
        store.set_setting("key", Some("value")).unwrap();
        store.save(&id("a"), &one.head, "two", "", Moment(2)).unwrap()
    };
    let store = open(folder.path());
    assert_eq!(store.site(&id("a")).unwrap(), two);
    let one = store.undo(&id("a"), &two.head, Moment(3)).unwrap();
    drop(store);
    let store = SqliteStore::open_existing(folder.path(), Moment(8)).unwrap();
    assert_eq!(store.site(&id("a")).unwrap(), one);
    assert_eq!(store.redo(&id("a"), &one.head, Moment(2)).unwrap(), two);
    assert_eq!(store.named_content(&weather).unwrap().1, [9; 5000]);
    assert_eq!(store.readings(&id("a"), &Default::default()).unwrap()[0].reading, reading);
    assert_eq!(store.setting("key").unwrap().as_deref(), Some("value"));
}

#[test]
fn nothing_is_made_where_a_store_is_expected() {
    let folder = Scratch::new();
    assert!(matches!(SqliteStore::open_existing(folder.path(), Moment(0)), Err(StoreError::NotFound { .. })));
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0);
}

#[cfg(unix)]
#[test]
fn folder_and_files_are_the_users_own() {
    use std::os::unix::fs::PermissionsExt;
    let folder = Scratch::new();
    let data = folder.path().join("share/binwright");
    let store = open(&data);
    store.create_site(&id("a"), "a", "one", "", Moment(1)).unwrap();
    store.backup_to(&data.join("backup")).unwrap();
    let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
    assert_eq!((mode(&data), mode(data.parent().unwrap())), (0o700, 0o700));
    let files: Vec<_> = fs::read_dir(&data).unwrap().map(|entry| entry.unwrap().path()).collect();
    assert_eq!(files.len(), 4, "file, log, index and backup: {files:?}");
    assert!(files.iter().all(|file| mode(file) == 0o600), "{files:?}");
}

#[test]
fn a_newer_file_is_refused_and_left_alone() {
    let folder = Scratch::new();
    let store = open(folder.path());
    let site = store.create_site(&id("a"), "a", "one", "", Moment(1)).unwrap();
    below(folder.path()).execute("INSERT INTO migrations VALUES (99, 0, zeroblob(32))", []).unwrap();
    let outcomes = [
        SqliteStore::open(folder.path(), Moment(0)).err(),
        // A store that was open when the newer program came: neither reads nor writes a form it does not know.
        store.site(&id("a")).err(),
        store.save(&id("a"), &site.head, "two", "", Moment(2)).err(),
    ];
    for outcome in outcomes {
        let Some(StoreError::NewerFile { found: 99, known: 1 }) = outcome else { panic!("{outcome:?}") };
    }
    let said = SqliteStore::open(folder.path(), Moment(0)).err().expect("refused").diagnostic();
    assert_eq!(said.code, "newer-store");
    assert!(said.found.contains("newer program") && said.help.is_some(), "{said:?}");
}

#[test]
fn other_programs_files_are_refused_and_left_alone() {
    let other = |fill: &dyn Fn(&Path)| {
        let folder = Scratch::new();
        let file = folder.path().join(FILE_NAME);
        fill(&file);
        let before = fs::read(&file).unwrap();
        let outcome = SqliteStore::open(folder.path(), Moment(0)).err();
        assert!(matches!(outcome, Some(StoreError::OtherFile { .. })), "{outcome:?}");
        assert!(fs::read(&file).unwrap() == before);
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    };
    other(&|file| fs::write(file, "a letter to the bank. ".repeat(500)).unwrap());
    other(&|file| Connection::open(file).unwrap().execute_batch("CREATE TABLE birds (name TEXT)").unwrap());
    other(&|file| Connection::open(file).unwrap().pragma_update(None, "application_id", 77).unwrap());
}

#[test]
fn an_empty_file_becomes_a_store() {
    let folder = Scratch::new();
    fs::write(folder.path().join(FILE_NAME), "").unwrap();
    open(folder.path()).create_site(&id("a"), "a", "one", "", Moment(1)).unwrap();
}

#[test]
fn a_folder_that_cannot_be_is_denied() {
    let folder = Scratch::new();
    fs::write(folder.path().join("file"), "").unwrap();
    let outcome = SqliteStore::open(&folder.path().join("file/data"), Moment(0)).err();
    assert!(matches!(outcome, Some(StoreError::Denied { .. })), "{outcome:?}");
}

#[test]
fn a_changed_byte_is_never_handed_out() {
    let folder = Scratch::new();
    let store = open(folder.path());
    let sound = store.create_site(&id("sound"), "sound", &"sound ".repeat(100), "", Moment(1)).unwrap();
    let site = store.create_site(&id("a"), "a", "depth = 18", "", Moment(1)).unwrap();
    let changed = below(folder.path())
        .execute("UPDATE blobs SET data = CAST('depth = 19' AS BLOB) WHERE data = CAST('depth = 18' AS BLOB)", [])
        .unwrap();
    assert_eq!(changed, 1);
    assert!(matches!(store.site(&id("a")), Err(StoreError::Corrupt { .. })));
    assert!(matches!(store.version(&id("a"), 1), Err(StoreError::Corrupt { .. })));
    assert_eq!(store.site(&id("sound")).unwrap(), sound);
    let faults = store.check().unwrap();
    assert!(faults.len() == 1 && faults[0].contains(&site.head.digest.to_string()), "{faults:?}");
}

#[test]
fn a_gap_in_a_history_is_found() {
    let folder = Scratch::new();
    let store = open(folder.path());
    let one = store.create_site(&id("a"), "a", "one", "", Moment(1)).unwrap();
    let two = store.save(&id("a"), &one.head, "two", "", Moment(2)).unwrap();
    store.save(&id("a"), &two.head, "three", "", Moment(3)).unwrap();
    let connection = below(folder.path());
    connection.execute_batch("PRAGMA foreign_keys = OFF; DELETE FROM versions WHERE seq = 2").unwrap();
    let faults = store.check().unwrap().join("\n");
    assert!(faults.contains("versions"), "{faults}");
}

#[test]
fn a_damaged_file_is_said_to_be_damaged() {
    let folder = Scratch::new();
    {
        let store = open(folder.path());
        for n in 0..200 {
            store.create_site(&id(&format!("s{n}")), "a", &format!("{n} ").repeat(60), "", Moment(n)).unwrap();
        }
    }
    let file = folder.path().join(FILE_NAME);
    let mut bytes = fs::read(&file).unwrap();
    // Pages in the middle, the first page with the form spared.
    for page in bytes.chunks_mut(4096).skip(4).step_by(2) {
        page.fill(0xa5);
    }
    fs::write(&file, &bytes).unwrap();
    match SqliteStore::open(folder.path(), Moment(0)) {
        Ok(store) => {
            assert!(!store.check().unwrap().is_empty());
            let outcome = store.backup_to(&folder.path().join("backup")).err();
            assert!(matches!(outcome, Some(StoreError::Corrupt { .. })), "{outcome:?}");
            assert!(!folder.path().join("backup").exists() && !folder.path().join("backup.partial").exists());
        }
        Err(error) => assert!(matches!(error, StoreError::Corrupt { .. }), "{error:?}"),
    }
}

#[test]
fn a_backup_of_a_busy_store_is_of_one_moment_and_is_a_store() {
    let folder = Scratch::new();
    let store = open(folder.path());
    let site = store.create_site(&id("a"), "a", "0", "", Moment(0)).unwrap();
    let backup = folder.path().join("backup");
    std::thread::scope(|scope| {
        let writer = scope.spawn(|| {
            let mut head = site.head;
            for n in 1..=200 {
                let text = format!("{n} ").repeat(2000);
                head = store.save(&id("a"), &head, &text, "", Moment(n)).unwrap().head;
            }
        });
        while store.versions(&id("a")).unwrap().len() < 20 {}
        store.backup_to(&backup).unwrap();
        writer.join().unwrap();
    });
    assert!(matches!(store.backup_to(&backup), Err(StoreError::Taken { .. })));
    let no_folder = store.backup_to(&folder.path().join("no/backup")).err();
    assert!(matches!(no_folder, Some(StoreError::Denied { .. })), "{no_folder:?}");

    let elsewhere = Scratch::new();
    fs::copy(&backup, elsewhere.path().join(FILE_NAME)).unwrap();
    let copy = open(elsewhere.path());
    assert_eq!(copy.check().unwrap(), Vec::<String>::new());
    let stands = copy.site(&id("a")).unwrap();
    assert!((20..=201).contains(&stands.head.seq));
    for version in copy.versions(&id("a")).unwrap() {
        assert_eq!(copy.version(&id("a"), version.seq).unwrap(), store.version(&id("a"), version.seq).unwrap());
    }
    copy.save(&id("a"), &stands.head, "goes on", "", Moment(999)).unwrap();
}

#[test]
fn another_programs_lock_is_waited_for() {
    let folder = Scratch::new();
    let store = open(folder.path());
    let site = store.create_site(&id("a"), "a", "one", "", Moment(0)).unwrap();
    let other = below(folder.path());
    other.execute_batch("BEGIN IMMEDIATE").unwrap();
    std::thread::scope(|scope| {
        let saving = scope.spawn(|| store.save(&id("a"), &site.head, "two", "", Moment(1)));
        assert_eq!(store.site(&id("a")).unwrap(), site, "who reads does not wait");
        std::thread::sleep(Duration::from_millis(200));
        assert!(!saving.is_finished());
        other.execute_batch("COMMIT").unwrap();
        assert_eq!(saving.join().unwrap().unwrap().head.seq, 2);
    });
    // And in the end it is said, and nothing is changed.
    other.execute_batch("BEGIN IMMEDIATE").unwrap();
    assert!(matches!(store.set_setting("key", Some("value")), Err(StoreError::Busy)));
    other.execute_batch("ROLLBACK").unwrap();
    assert_eq!(store.setting("key").unwrap(), None);
}

#[test]
fn two_stores_on_one_folder_see_each_other() {
    let folder = Scratch::new();
    // Opened at the same moment, both find no file.
    let stores: Vec<SqliteStore> = std::thread::scope(|scope| {
        let threads: Vec<_> = (0..4).map(|_| scope.spawn(|| open(folder.path()))).collect();
        threads.into_iter().map(|thread| thread.join().unwrap()).collect()
    });
    let one = stores[0].create_site(&id("a"), "a", "one", "", Moment(0)).unwrap();
    let two = stores[1].save(&id("a"), &one.head, "two", "", Moment(1)).unwrap();
    let late = stores[2].save(&id("a"), &one.head, "late", "", Moment(1));
    assert!(matches!(late, Err(StoreError::Moved { current }) if current == two.head));
    assert_eq!(stores[3].site(&id("a")).unwrap(), two);
}

/// Large contents are deflated: numbers as a weather file has them take less than half their length.
#[test]
fn large_contents_take_less_room() {
    let folder = Scratch::new();
    let length = || fs::metadata(folder.path().join(FILE_NAME)).unwrap().len();
    drop(open(folder.path()));
    let empty = length();
    let store = open(folder.path());
    let mut rows = String::from("hour,temperature_c,relative_humidity\n");
    for hour in 0u32..50_000 {
        let noise = hour.wrapping_mul(2_654_435_761) >> 22;
        rows += &format!("{hour},{}.{},{}\n", noise % 31, noise % 10, 40 + noise % 60);
    }
    let name = ContentName::new("weather", "mine");
    assert_eq!(store.put_content(&name, rows.as_bytes(), Moment(0)).unwrap(), Digest::of(rows.as_bytes()));
    drop(store);
    let taken = length() - empty;
    assert!(taken < rows.len() as u64 / 2, "{taken} of {}", rows.len());
    assert!(open(folder.path()).named_content(&name).unwrap().1 == rows.as_bytes());
}

/// Programs that open one new folder at the same moment all find a store in it, and all the same one.
#[test]
fn many_open_one_new_folder_at_once() {
    const PROGRAMS: usize = 6;
    for round in 0..20 {
        let folder = Scratch::new();
        // Not even the folder is there.
        let place = folder.path().join("new");
        let together = std::sync::Barrier::new(PROGRAMS);
        std::thread::scope(|scope| {
            for k in 0..PROGRAMS {
                let (place, together) = (&place, &together);
                scope.spawn(move || {
                    together.wait();
                    let store =
                        SqliteStore::open(place, Moment(7)).unwrap_or_else(|e| panic!("round {round}, {k}: {e}"));
                    store.create_site(&id(&format!("s{k}")), "a", "text", "", Moment(1)).expect("written");
                });
            }
        });
        let store = open(&place);
        assert_eq!(store.sites().unwrap().len(), PROGRAMS, "round {round}");
        assert_eq!(store.check().unwrap(), Vec::<String>::new(), "round {round}");
    }
}
