//! A server on a free port and a small client that speaks to it over TCP, so that what is tested is what a browser meets.

use serde_json::Value;
use server::{App, Bound, Doors, Identity, Options};
use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::{SocketAddr, TcpStream};
use std::sync::Arc;
use std::time::Duration;
use store::MemoryStore;
use tokio::sync::oneshot;

/// The bundled demonstration.
pub const DEMO: &str = include_str!("../../../job/data/demo.toml");
/// The bundled site with a burner.
pub const HEATED: &str = include_str!("../../../job/data/heated.toml");

/// The bundled farm.
pub const FARM: &str = include_str!("../../../job/data/farm.toml");

/// A server that ends with the test.
pub struct Server {
    pub address: SocketAddr,
    end: Option<oneshot::Sender<()>>,
    thread: Option<std::thread::JoinHandle<()>>,
}

/// An answer.
#[derive(Debug)]
pub struct Reply {
    pub status: u16,
    pub headers: Vec<(String, String)>,
    pub body: Vec<u8>,
}

/// A stream of events.
pub struct Events {
    reader: Chunked,
    pub status: u16,
}

impl Server {
    /// For this machine alone, no password.
    pub fn start() -> Self {
        Self::with(Doors::local())
    }

    pub fn with(doors: Doors) -> Self {
        Self::speaking(doors, None)
    }

    /// With TLS, where there is an identity.
    pub fn speaking(doors: Doors, identity: Option<Identity>) -> Self {
        let (told, address) = std::sync::mpsc::channel();
        let (end, ended) = oneshot::channel();
        let app = Arc::new(App::new(Arc::new(MemoryStore::new()), doors, Arc::new(|_: &str| {})));
        let thread = std::thread::spawn(move || {
            let runtime = tokio::runtime::Builder::new_multi_thread()
                .worker_threads(2)
                .thread_stack_size(8 << 20)
                .enable_all()
                .build()
                .expect("a runtime");
            runtime.block_on(async {
                let options = Options { address: ([127, 0, 0, 1], 0).into(), identity };
                let bound = Bound::new(options).await.expect("a free port");
                told.send(bound.address().expect("an address")).expect("somebody waits");
                bound
                    .serving(app)
                    .until(async {
                        let _ = ended.await;
                    })
                    .await;
            });
            runtime.shutdown_background();
        });
        Self { address: address.recv().expect("an address"), end: Some(end), thread: Some(thread) }
    }

    /// Sends a request as our own page would.
    pub fn send(&self, method: &str, path: &str, headers: &[(&str, &str)], body: &[u8]) -> Reply {
        let host = self.address.to_string();
        let mut all = vec![("Host", host.as_str())];
        all.extend(headers);
        self.raw(method, path, &all, body)
    }

    /// Sends a request with these headers and no others.
    pub fn raw(&self, method: &str, path: &str, headers: &[(&str, &str)], body: &[u8]) -> Reply {
        let (status, headers, mut reader) = begin(self.address, method, path, headers, body);
        let mut body = Vec::new();
        reader.read_to_end(&mut body);
        Reply { status, headers, body }
    }

    pub fn get(&self, path: &str) -> Reply {
        self.send("GET", path, &[], b"")
    }

    pub fn json(&self, method: &str, path: &str, headers: &[(&str, &str)], body: &Value) -> Reply {
        let mut all = vec![("Content-Type", "application/json")];
        all.extend(headers);
        self.send(method, path, &all, body.to_string().as_bytes())
    }

    pub fn post(&self, path: &str, body: &Value) -> Reply {
        self.json("POST", path, &[], body)
    }

    /// Makes a site of a text; its id and ETag.
    pub fn site(&self, text: &str) -> (String, String) {
        let reply = self.post("/api/v1/sites", &serde_json::json!({"from": "text", "text": text}));
        assert_eq!(reply.status, 201, "{}", reply.text());
        (reply.value()["id"].as_str().expect("an id").to_string(), reply.tag())
    }

    /// Asks a what-if.
    pub fn what_if(&self, body: &Value) -> Events {
        self.ask("/api/v1/what-if", body)
    }

    /// Asks what is answered as a stream.
    pub fn ask(&self, path: &str, body: &Value) -> Events {
        let host = self.address.to_string();
        let headers = [("Host", host.as_str()), ("Content-Type", "application/json")];
        let (status, _, reader) = begin(self.address, "POST", path, &headers, body.to_string().as_bytes());
        Events { reader, status }
    }

    /// Follows a stream.
    pub fn follow(&self, path: &str) -> Events {
        let host = self.address.to_string();
        let (status, _, reader) = begin(self.address, "GET", path, &[("Host", host.as_str())], b"");
        Events { reader, status }
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        self.end.take().map(|end| end.send(()));
        let _ = self.thread.take().map(|thread| thread.join());
    }
}

impl Reply {
    pub fn text(&self) -> String {
        String::from_utf8_lossy(&self.body).into_owned()
    }

    pub fn value(&self) -> Value {
        serde_json::from_slice(&self.body).unwrap_or_else(|_| panic!("no JSON: {} {}", self.status, self.text()))
    }

    pub fn header(&self, name: &str) -> Option<&str> {
        self.headers.iter().find(|(key, _)| key.eq_ignore_ascii_case(name)).map(|(_, value)| value.as_str())
    }

    pub fn tag(&self) -> String {
        self.header("etag").expect("an ETag").to_string()
    }

    /// The stable code of a problem, after a look at its form.
    #[track_caller]
    pub fn problem(&self, status: u16) -> String {
        assert_eq!(self.status, status, "{}", self.text());
        assert_eq!(self.header("content-type"), Some("application/problem+json"));
        let value = self.value();
        assert_eq!(value["status"], status);
        assert!(value["diagnostics"].as_array().is_some_and(|d| !d.is_empty()), "{value}");
        value["type"].as_str().expect("a code").to_string()
    }
}

impl Events {
    /// The next event and its data; `None` at the end.
    pub fn next(&mut self) -> Option<(String, Value)> {
        let (mut name, mut data) = (String::new(), String::new());
        loop {
            let line = self.reader.line()?;
            if let Some(text) = line.strip_prefix("event:") {
                name = text.trim().to_string();
            } else if let Some(text) = line.strip_prefix("data:") {
                data.push_str(text.trim());
            } else if line.is_empty() && !name.is_empty() {
                let value = serde_json::from_str(&data).unwrap_or_else(|_| panic!("no JSON: {data}"));
                return Some((name, value));
            }
        }
    }

    /// All that is left.
    pub fn rest(mut self) -> Vec<(String, Value)> {
        std::iter::from_fn(|| self.next()).collect()
    }
}

fn begin(
    address: SocketAddr,
    method: &str,
    path: &str,
    headers: &[(&str, &str)],
    body: &[u8],
) -> (u16, Vec<(String, String)>, Chunked) {
    let mut stream = TcpStream::connect(address).expect("the server listens");
    stream.set_read_timeout(Some(Duration::from_secs(120))).expect("a limit");
    let mut head = format!("{method} {path} HTTP/1.1\r\nConnection: close\r\n");
    for (name, value) in headers {
        head.push_str(&format!("{name}: {value}\r\n"));
    }
    head.push_str(&format!("Content-Length: {}\r\n\r\n", body.len()));
    stream.write_all(head.as_bytes()).expect("the head is taken");
    // A body that is too large is refused before it is read to its end.
    let _ = stream.write_all(body);
    let mut reader = BufReader::new(stream);
    let mut line = String::new();
    reader.read_line(&mut line).expect("an answer");
    let status = line.split(' ').nth(1).and_then(|s| s.parse().ok()).unwrap_or_else(|| panic!("no status: {line:?}"));
    let mut headers = Vec::new();
    loop {
        line.clear();
        reader.read_line(&mut line).expect("headers");
        let Some((name, value)) = line.trim_end().split_once(':') else { break };
        headers.push((name.to_string(), value.trim().to_string()));
    }
    let of =
        |name: &str| headers.iter().find(|(key, _)| key.eq_ignore_ascii_case(name)).map(|(_, value)| value.as_str());
    let chunked = of("transfer-encoding") == Some("chunked");
    let left = if chunked { 0 } else { of("content-length").and_then(|n| n.parse().ok()).unwrap_or(usize::MAX) };
    let reader = Chunked { reader, chunked, left, ended: false };
    (status, headers, reader)
}

/// A body, in chunks or of a length.
struct Chunked {
    reader: BufReader<TcpStream>,
    chunked: bool,
    left: usize,
    ended: bool,
}

impl Chunked {
    fn byte(&mut self) -> Option<u8> {
        while self.left == 0 {
            if !self.chunked || self.ended {
                return None;
            }
            let mut line = String::new();
            self.reader.read_line(&mut line).ok()?;
            if line.trim().is_empty() {
                line.clear();
                self.reader.read_line(&mut line).ok()?;
            }
            self.left = usize::from_str_radix(line.trim(), 16).ok()?;
            self.ended = self.left == 0;
        }
        let mut byte = [0];
        if self.reader.read(&mut byte).ok()? == 0 {
            return None;
        }
        self.left -= 1;
        Some(byte[0])
    }

    fn line(&mut self) -> Option<String> {
        let mut line = Vec::new();
        loop {
            match self.byte()? {
                b'\n' => return String::from_utf8(line).ok(),
                b'\r' => {}
                byte => line.push(byte),
            }
        }
    }

    fn read_to_end(&mut self, into: &mut Vec<u8>) {
        while let Some(byte) = self.byte() {
            into.push(byte);
        }
    }
}
