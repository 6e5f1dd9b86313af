//! Whatever was confirmed is kept, byte for byte, when the writing program is killed at any moment or the disk is full.
//!
//! The writer is this very test program, started again with a role in its environment. It says on its standard output what
//! the store has confirmed; the test kills it, opens the store and looks for all that was said. Killing a program takes
//! nothing from the system's own buffers, so this tests the order of our writes and SQLite's recovery; that a commit waits
//! for the disk is left to `synchronous = FULL`.
//!
//! `KILLS=300 cargo test --release -p store --test crash` kills more often.

mod support;
mod writer;

use std::{
    io::Read,
    path::Path,
    process::{Command, Stdio},
    time::Duration,
};

use store::{Moment, SqliteStore, Store, StoreError};
use support::Scratch;
use writer::Confirmed;

/// Rounds on one store, after which a new one is begun: the writer is killed while making a store, too.
const ROUNDS_A_STORE: u64 = 8;

/// This program again, in a role; `before` goes in front of it on the command line.
fn again(before: &[&str], role: &str, folder: &Path, first: u64) -> Command {
    let own = std::env::current_exe().expect("this program has a path");
    let mut command = match before.split_first() {
        Some((program, arguments)) => {
            let mut command = Command::new(program);
            command.args(arguments).arg(own);
            command
        }
        None => Command::new(own),
    };
    command.args(["--exact", "--ignored", "--nocapture", role]);
    command.env("STORE_FOLDER", folder).env("STORE_FIRST", first.to_string());
    command.stdout(Stdio::piped()).stderr(Stdio::inherit());
    command
}

/// Starts a writer, kills it after a while and says what it had confirmed by then.
fn write_and_kill(folder: &Path, first: u64, after: Duration) -> Confirmed {
    let mut writer = again(&[], "as_the_writer", folder, first).spawn().expect("starts");
    let mut output = writer.stdout.take().expect("piped");
    let listening = std::thread::spawn(move || {
        let mut said = Vec::new();
        output.read_to_end(&mut said).map(|_| said)
    });
    std::thread::sleep(after);
    writer.kill().expect("can be killed");
    let status = writer.wait().expect("ends");
    assert!(!status.success(), "the writer ended by itself");
    #[cfg(unix)]
    assert_eq!(
        std::os::unix::process::ExitStatusExt::signal(&status),
        Some(9),
        "the writer failed by itself: {status}"
    );
    Confirmed::from(&listening.join().expect("no panic").expect("a pipe can be read"))
}

#[test]
fn whatever_was_confirmed_survives_being_killed() {
    let rounds: u64 = std::env::var("KILLS").ok().map_or(16, |text| text.parse().expect("KILLS is a number"));
    let (mut folder, mut before, mut total) = (Scratch::new(), Confirmed::default(), 0);
    for round in 0..rounds {
        if round % ROUNDS_A_STORE == 0 {
            (folder, before) = (Scratch::new(), Confirmed::default());
        }
        // Spread over the start of the program, the making of the store and its first some hundred writes.
        let after = Duration::from_micros(round.wrapping_mul(2_654_435_761) % 200_000);
        let confirmed = write_and_kill(folder.path(), round * 1_000_000, after);
        total += confirmed.count();
        before.add(confirmed);
        let store = SqliteStore::open(folder.path(), Moment(0)).expect("opens after a crash");
        writer::look_for(&before, &store, folder.path());
        before.stands = writer::standing(&store);
    }
    println!("{rounds} kills, {total} confirmations, all kept");
    assert!(total > rounds * 5, "only {total} confirmations in {rounds} rounds: nothing was tested");
}

/// Lets a writer write until the store says it is full, and looks at what is left. `before` sets the limit.
fn fill(before: &[&str], folder: &Path) -> Confirmed {
    let done = again(before, "as_the_filler", folder, 0).output().expect("starts");
    let said = String::from_utf8_lossy(&done.stdout).into_owned();
    assert!(done.status.success(), "{said}");
    assert!(said.lines().any(|line| line == "end full"), "{said}");
    Confirmed::from(&done.stdout)
}

/// A limit on the length of files, met by the log (low) and by the file itself (high).
#[cfg(unix)]
#[test]
fn a_limit_on_files_leaves_what_was_confirmed() {
    for blocks in ["1500", "9000"] {
        let folder = Scratch::new();
        drop(SqliteStore::open(folder.path(), Moment(0)).unwrap());
        // In blocks of 512 or 1024 bytes, as the shell likes. The signal would end the program before it could say anything.
        let limited = format!("trap '' XFSZ; ulimit -f {blocks}; exec \"$@\"");
        let confirmed = fill(&["sh", "-c", &limited, "sh"], folder.path());
        assert!(confirmed.count() > 10, "{blocks}: {}", confirmed.count());
        let store = SqliteStore::open(folder.path(), Moment(0)).unwrap();
        writer::look_for(&confirmed, &store, folder.path());
        store.set_setting("room", Some("again")).unwrap();
    }
}

/// A disk that is really full: a small one in memory, which only this test sees. Needs Linux and the right to mount within a
/// namespace of its own; says so where that is not given.
#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_leaves_what_was_confirmed() {
    let folder = Scratch::new();
    let path = folder.path().to_str().expect("UTF-8");
    let inside = format!("mount -t tmpfs -o size=3m none '{path}' && head -c 400000 /dev/zero > '{path}/ballast'");
    let namespace = ["unshare", "--user", "--map-root-user", "--mount", "sh", "-c"];
    let possible = Command::new(namespace[0]).args(&namespace[1..]).arg(&inside).output();
    if !possible.is_ok_and(|output| output.status.success()) {
        println!("not tested: no small disk can be mounted here");
        return;
    }
    let script = format!("{inside} && exec \"$@\"");
    let before: Vec<&str> = namespace.into_iter().chain([script.as_str(), "sh"]).collect();
    // The disk goes with the program, so the filler looks itself.
    assert!(fill(&before, folder.path()).count() > 10);
}

#[test]
#[ignore = "the writer that the tests above start"]
fn as_the_writer() {
    writer::write(|error| panic!("{error}"));
}

#[test]
#[ignore = "the writer that the tests above start"]
fn as_the_filler() {
    let folder = writer::folder();
    let confirmed = writer::write(|error| assert!(matches!(error, StoreError::Full), "{error:?}"));
    match SqliteStore::open(&folder, Moment(0)) {
        Ok(store) => writer::look_for(&confirmed, &store, &folder),
        Err(error) => assert!(matches!(error, StoreError::Full), "{error:?}"),
    }
    if std::fs::remove_file(folder.join("ballast")).is_ok() {
        let store = SqliteStore::open(&folder, Moment(0)).expect("opens once there is room");
        writer::look_for(&confirmed, &store, &folder);
        store.set_setting("room", Some("again")).expect("writes once there is room");
    }
    writer::say("end full");
}
