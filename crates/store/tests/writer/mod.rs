//! A program that writes to a store as fast as it can and says what was confirmed, and one that looks for it.
//!
//! What it writes follows from a number, so that whoever reads the number knows the bytes.

use std::{
    collections::BTreeSet,
    io::Write,
    path::{Path, PathBuf},
    sync::Mutex,
};

use store::{ContentName, Digest, Head, Moment, Reading, ReadingQuery, SiteId, SqliteStore, Store, StoreError};

/// What a writer was told is kept.
#[derive(Default)]
pub struct Confirmed {
    /// Versions: number within the site, and the number its text follows from.
    saved: Vec<(u32, u64)>,
    readings: BTreeSet<u64>,
    contents: Vec<u64>,
    backups: Vec<u64>,
    /// The version that stood last, by word of the writer, or as it was found after the last crash.
    pub stands: Option<u32>,
    /// How often the head was moved since that was found.
    moves: u64,
}

impl Confirmed {
    /// From the writer's output; a last line without an end was not said.
    pub fn from(said: &[u8]) -> Self {
        let said = String::from_utf8_lossy(said);
        let whole = said.rfind('\n').map_or("", |end| &said[..end]);
        let mut confirmed = Self::default();
        for line in whole.lines() {
            confirmed.hear(line);
        }
        confirmed
    }

    /// Lines that are none of the writer's are those of the test harness around it.
    fn hear(&mut self, line: &str) {
        let words: Vec<&str> = line.split(' ').collect();
        let number = |word: &str| word.parse::<u64>().expect("a number");
        match words[..] {
            ["saved", seq, n] => {
                self.saved.push((number(seq) as u32, number(n)));
                self.stand(number(seq) as u32);
            }
            ["stands", seq] => self.stand(number(seq) as u32),
            ["reading", n] => drop(self.readings.insert(number(n))),
            ["content", n] => self.contents.push(number(n)),
            ["backup", n] => self.backups.push(number(n)),
            _ => {}
        }
    }

    fn stand(&mut self, seq: u32) {
        self.stands = Some(seq);
        self.moves += 1;
    }

    /// What a later writer on the same store was told.
    pub fn add(&mut self, later: Self) {
        self.saved.extend(later.saved);
        self.readings.extend(later.readings);
        self.contents.extend(later.contents);
        self.backups.extend(later.backups);
        self.stands = later.stands.or(self.stands);
        self.moves = later.moves;
    }

    /// How many confirmations.
    pub fn count(&self) -> u64 {
        (self.saved.len() + self.readings.len() + self.contents.len() + self.backups.len()) as u64
    }
}

/// Bytes that do not deflate well, of a length that goes from a line to a hundred kilobytes.
fn text(n: u64) -> String {
    let mut state = n.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1;
    let mut next = || {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        state
    };
    let words = match next() % 10 {
        0 => 6_000,
        1..4 => 1_500,
        _ => 40,
    };
    let mut text = format!("# text {n}\n");
    (0..words).for_each(|_| text += &format!("{:016x}\n", next()));
    text
}

fn reading(n: u64) -> Reading {
    let body = format!("{{\"static_pressure_pa\": {n}, \"note\": \"{}\"}}", &text(n)[..40].replace('\n', " "));
    Reading { id: format!("reading {n}"), site: id(), bin: "north".into(), at: Moment(n as i64), body }
}

fn content(n: u64) -> (ContentName, Vec<u8>) {
    (ContentName::new("weather", format!("file {}", n % 5)), text(n).repeat(3).into_bytes())
}

fn id() -> SiteId {
    "site".parse().expect("an id")
}

/// The folder to write to.
pub fn folder() -> PathBuf {
    std::env::var_os("STORE_FOLDER").expect("the test that starts this says where").into()
}

/// Says a line, whole or not at all.
pub fn say(line: &str) {
    std::io::stdout()
        .lock()
        .write_all(format!("{line}\n").as_bytes())
        .and_then(|()| std::io::stdout().flush())
        .expect("a pipe");
}

/// Says a line and remembers it.
fn confirm(confirmed: &Mutex<Confirmed>, line: &str) {
    say(line);
    confirmed.lock().expect("no panic").hear(line);
}

/// Writes until something fails, which `judge` looks at; says what was confirmed until then.
pub fn write(judge: impl Fn(StoreError) + Sync) -> Confirmed {
    let first: u64 = std::env::var("STORE_FIRST").expect("said by the test").parse().expect("a number");
    let confirmed = Mutex::new(Confirmed::default());
    let store = SqliteStore::open(&folder(), Moment(0)).expect("opens");
    match store.create_site(&id(), "site", &text(first), "", Moment(0)) {
        Ok(_) => confirm(&confirmed, &format!("saved 1 {first}")),
        Err(StoreError::Taken { .. }) => {}
        Err(error) => panic!("{error}"),
    }
    std::thread::scope(|scope| {
        let versions = || versions(&store, first + 1, &confirmed);
        let rest = || readings_and_contents(&store, first, &confirmed);
        let threads = [scope.spawn(move || judge_end(versions())), scope.spawn(move || judge_end(rest()))];
        for thread in threads {
            judge(thread.join().expect("no panic"));
        }
    });
    confirmed.into_inner().expect("no panic")
}

/// Both writers go on until they fail.
fn judge_end(end: Result<std::convert::Infallible, StoreError>) -> StoreError {
    end.expect_err("never ends well")
}

fn versions(
    store: &SqliteStore,
    first: u64,
    confirmed: &Mutex<Confirmed>,
) -> Result<std::convert::Infallible, StoreError> {
    let mut head: Head = store.site(&id())?.head;
    for n in first.. {
        let site = store.save(&id(), &head, &text(n), "", Moment(n as i64))?;
        confirm(confirmed, &format!("saved {} {n}", site.head.seq));
        head = site.head;
        if n % 4 == 0 {
            head = store.undo(&id(), &head, Moment(n as i64))?.head;
            confirm(confirmed, &format!("stands {}", head.seq));
        }
        if n % 8 == 0 {
            head = store.redo(&id(), &head, Moment(n as i64))?.head;
            confirm(confirmed, &format!("stands {}", head.seq));
        }
    }
    unreachable!("numbers do not end")
}

fn readings_and_contents(
    store: &SqliteStore,
    first: u64,
    confirmed: &Mutex<Confirmed>,
) -> Result<std::convert::Infallible, StoreError> {
    for n in first.. {
        store.add_readings(&[reading(n)])?;
        confirm(confirmed, &format!("reading {n}"));
        if n % 10 == 5 {
            let (name, bytes) = content(n);
            store.put_content(&name, &bytes, Moment(n as i64))?;
            confirm(confirmed, &format!("content {n}"));
        }
        if n % 40 == 25 {
            store.backup_to(&folder().join(format!("backup-{n}")))?;
            confirm(confirmed, &format!("backup {n}"));
        }
    }
    unreachable!("numbers do not end")
}

/// The version that stands, if there is a site yet.
pub fn standing(store: &dyn Store) -> Option<u32> {
    store.site(&id()).ok().map(|site| site.head.seq)
}

/// Looks for all that was confirmed, and that what is kept besides is whole.
pub fn look_for(confirmed: &Confirmed, store: &dyn Store, folder: &Path) {
    assert_eq!(store.check().expect("checks"), Vec::<String>::new());
    for (seq, n) in &confirmed.saved {
        assert!(store.version(&id(), *seq).expect("a confirmed version").1 == text(*n), "version {seq} is text {n}");
    }
    if let Some(stood) = confirmed.stands {
        let versions = store.versions(&id()).expect("a site");
        let now = standing(store).expect("a site");
        let parent = |seq: u32| versions.iter().find(|version| version.seq == seq).expect("whole").parent;
        // One step may have been kept whose confirmation was not heard.
        assert!(
            now == stood || parent(now) == Some(stood) || parent(stood) == Some(now),
            "version {stood} stood, now {now} does"
        );
        // Every version has one text of the writer's, and at most one more than was confirmed is there for each crash.
        let known: BTreeSet<u32> = confirmed.saved.iter().map(|(seq, _)| *seq).collect();
        for version in versions.iter().filter(|version| !known.contains(&version.seq)) {
            let (_, found) = store.version(&id(), version.seq).expect("kept");
            let n = found.lines().next().and_then(|line| line.strip_prefix("# text ")).expect("a writer's text");
            assert!(found == text(n.parse().expect("a number")));
        }
    }
    if !confirmed.readings.is_empty() {
        let kept = store.readings(&id(), &ReadingQuery::default()).expect("a site");
        let kept: BTreeSet<String> = kept
            .into_iter()
            .map(|line| {
                let n = line.reading.at.0 as u64;
                assert_eq!(line.reading, reading(n));
                line.reading.id
            })
            .collect();
        assert!(confirmed.readings.iter().all(|n| kept.contains(&format!("reading {n}"))));
    }
    for n in &confirmed.contents {
        let bytes = content(*n).1;
        assert!(store.content(&Digest::of(&bytes)).expect("a confirmed content") == bytes, "content {n}");
    }
    look_at_backups(confirmed, folder);
}

/// Whatever bears a backup's name is whole, confirmed or not; what was confirmed is there.
fn look_at_backups(confirmed: &Confirmed, folder: &Path) {
    for n in &confirmed.backups {
        assert!(folder.join(format!("backup-{n}")).is_file(), "a confirmed backup");
    }
    for entry in std::fs::read_dir(folder).expect("a folder") {
        let path = entry.expect("an entry").path();
        let name = path.file_name().and_then(|name| name.to_str()).expect("UTF-8").to_string();
        // One that was not finished says so in its name.
        if !name.starts_with("backup-") || name.contains(".partial") {
            continue;
        }
        let elsewhere = crate::support::Scratch::new();
        std::fs::copy(&path, elsewhere.path().join(store::sqlite::FILE_NAME)).expect("copies");
        let copy = SqliteStore::open_existing(elsewhere.path(), Moment(0)).expect("a backup is a store");
        assert_eq!(copy.check().expect("checks"), Vec::<String>::new(), "{name}");
        assert!(standing(&copy).is_some());
    }
}
