//! The workbench as the command line starts it: the address, the data folder, the password before others may reach it.

mod common;

use common::binwright;
use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::TcpStream;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};

/// A folder that goes with the test.
struct Folder(PathBuf);

impl Folder {
    fn new(name: &str) -> Self {
        let path = std::env::temp_dir().join(format!("binwright-serve-{name}-{}", std::process::id()));
        let _ = std::fs::remove_dir_all(&path);
        Self(path)
    }

    fn text(&self) -> &str {
        self.0.to_str().expect("a plain name")
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

/// A server under way, with what it said when it began.
struct Serving {
    child: Child,
    said: String,
}

impl Serving {
    fn start(arguments: &[&str]) -> Self {
        let mut command = Command::new(env!("CARGO_BIN_EXE_binwright"));
        let mut child = command
            .args(arguments)
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("the program starts");
        let mut lines = BufReader::new(child.stdout.take().expect("its output"));
        let mut said = String::new();
        while !said.ends_with("end with Ctrl-C\n") {
            assert!(lines.read_line(&mut said).expect("its words") > 0, "it ended: {said}");
        }
        Self { child, said }
    }

    fn port(&self) -> u16 {
        let line = self.said.lines().next().expect("an address");
        line.trim_end_matches('/').rsplit(':').next().and_then(|port| port.parse().ok()).expect("a port")
    }

    fn ask(&self, request: &str) -> String {
        let mut stream = TcpStream::connect(("127.0.0.1", self.port())).expect("it listens");
        write!(stream, "{request}\r\nHost: 127.0.0.1\r\nConnection: close\r\n\r\n").expect("it reads");
        let mut answer = String::new();
        stream.read_to_string(&mut answer).expect("it answers");
        answer
    }
}

impl Drop for Serving {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

fn set_password(folder: &Folder, password: &str) {
    let file = folder.0.join("said");
    std::fs::create_dir_all(&folder.0).expect("a folder");
    std::fs::write(&file, format!("{password}\nsecond line\n")).expect("a file");
    let path = file.to_str().expect("a plain name");
    let set = binwright(&format!("password --data '{}' --password-file '{path}'", folder.text()));
    assert_eq!((set.code, set.stdout.as_str()), (0, ""), "{}", set.stderr);
    assert!(!set.stderr.contains(password));
}

#[test]
fn says_its_address_and_answers_there() {
    let folder = Folder::new("plain");
    let mut serving = Serving::start(&["serve", "--port", "0", "--data", folder.text()]);
    assert!(serving.said.starts_with("Binwright workbench: http://127.0.0.1:"), "{}", serving.said);
    assert!(serving.said.contains(folder.text()));
    let answer = serving.ask("GET /api/v1/program HTTP/1.1");
    assert!(answer.starts_with("HTTP/1.1 200") && answer.contains("\"needs_password\":false"), "{answer}");
    assert!(serving.ask("GET / HTTP/1.1").contains("<title>"));
    assert!(folder.0.join("binwright.sqlite").exists());
    // The system's request to end is no failure.
    #[cfg(unix)]
    {
        let ended = Command::new("kill").arg(serving.child.id().to_string()).status().expect("kill is there");
        assert!(ended.success());
        assert_eq!(serving.child.wait().expect("it ends").code(), Some(0));
    }
}

#[test]
fn a_backup_is_made_while_it_serves_and_overwrites_nothing() {
    let folder = Folder::new("backup");
    let file = folder.0.join("copy.sqlite");
    let file = file.to_str().expect("a plain name");
    let ask = format!("backup '{file}' --data '{}'", folder.text());
    let nothing = binwright(&ask);
    assert_eq!((nothing.code, std::path::Path::new(file).exists()), (2, false), "{}", nothing.stderr);
    let _serving = Serving::start(&["serve", "--port", "0", "--data", folder.text()]);
    let made = binwright(&ask);
    assert_eq!((made.code, made.stdout.as_str()), (0, ""), "{}", made.stderr);
    assert!(std::fs::read(file).expect("a file").starts_with(b"SQLite format 3"));
    let again = binwright(&ask);
    assert_eq!(again.code, 2, "{}", again.stderr);
    assert!(again.stderr.contains("copy.sqlite"), "{}", again.stderr);
}

#[test]
fn without_a_command_it_serves() {
    let folder = Folder::new("bare");
    let mut command = Command::new(env!("CARGO_BIN_EXE_binwright"));
    command.env("XDG_DATA_HOME", folder.text()).env("HOME", folder.text()).stdout(Stdio::piped()).stdin(Stdio::null());
    let mut child = command.spawn().expect("the program starts");
    let mut line = String::new();
    BufReader::new(child.stdout.take().expect("its output")).read_line(&mut line).expect("its words");
    let _ = child.kill();
    let _ = child.wait();
    assert!(line.starts_with("Binwright workbench: http://127.0.0.1:"), "{line}");
}

#[test]
fn others_need_a_password() {
    let folder = Folder::new("password");
    for arguments in ["--listen 0.0.0.0", "--behind-proxy --name bins.example"] {
        let refused = binwright(&format!("serve --port 0 --data '{}' {arguments}", folder.text()));
        assert_eq!(refused.code, 2, "{}", refused.stderr);
        assert!(refused.stderr.contains("binwright password"), "{}", refused.stderr);
    }
    let short = folder.0.join("short");
    std::fs::write(&short, "short\n").expect("a file");
    let refused = binwright(&format!("password --data '{}' --password-file '{}'", folder.text(), short.display()));
    assert!(refused.code == 2 && refused.stderr.contains("10 or more"), "{}", refused.stderr);

    set_password(&folder, "meadow lark 9");
    let serving = Serving::start(&["serve", "--port", "0", "--data", folder.text()]);
    assert!(serving.ask("GET /api/v1/sites HTTP/1.1").starts_with("HTTP/1.1 401"));
    drop(serving);
    let removed = binwright(&format!("password --data '{}' --remove", folder.text()));
    assert_eq!(removed.code, 0);
    let serving = Serving::start(&["serve", "--port", "0", "--data", folder.text()]);
    assert!(serving.ask("GET /api/v1/sites HTTP/1.1").starts_with("HTTP/1.1 200"));
}

/// The certificate is made once; its key is for the user's eyes only.
#[test]
fn the_certificate_stays() {
    let folder = Folder::new("certificate");
    set_password(&folder, "meadow lark 9");
    let fingerprint = |folder: &Folder| {
        let serving = Serving::start(&["serve", "--listen", "0.0.0.0", "--port", "0", "--data", folder.text()]);
        assert!(serving.said.starts_with("Binwright workbench: https://localhost:"), "{}", serving.said);
        let line = serving.said.lines().find(|line| line.contains("SHA-256")).expect("a fingerprint");
        line.rsplit(' ').next().expect("a word").to_string()
    };
    let first = fingerprint(&folder);
    assert_eq!(first.len(), 95);
    assert_eq!(first, fingerprint(&folder));
    check_mode(&folder.0.join("certificate.pem"));
}

#[cfg(unix)]
fn check_mode(file: &Path) {
    use std::os::unix::fs::PermissionsExt as _;
    assert_eq!(std::fs::metadata(file).expect("it is kept").permissions().mode() & 0o777, 0o600);
}

#[cfg(not(unix))]
fn check_mode(file: &Path) {
    assert!(file.exists());
}

#[test]
fn a_taken_port_is_said() {
    let taken = std::net::TcpListener::bind("127.0.0.1:0").expect("a free port");
    let port = taken.local_addr().expect("an address").port().to_string();
    let refused = binwright(&format!("serve --forget --port {port}"));
    assert!(refused.code == 2 && refused.stderr.contains("--port 0"), "{}", refused.stderr);
}
