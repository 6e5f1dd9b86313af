//! The workbench under load: 200 mixed reads a second while a proof runs. Prints percentiles of the time from when a read was
//! due to when its answer was whole, and the memory of the process.
//!
//! `cargo run --release -p server --example load [seconds]`; what it printed last stands in `docs/performance.md`.

use server::{App, Bound, Doors, Options};
use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::{SocketAddr, TcpStream};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};
use store::{Moment, SqliteStore};

const DEMO: &str = include_str!("../../job/data/demo.toml");
const READS_A_SECOND: usize = 200;
const READERS: usize = 8;

fn main() {
    let seconds = std::env::args().nth(1).and_then(|s| s.parse().ok()).unwrap_or(20);
    let folder = std::env::temp_dir().join(format!("binwright-load-{}", std::process::id()));
    let store = SqliteStore::open(&folder, Moment(0)).expect("a store in the folder for passing files");
    let (told, address) = std::sync::mpsc::channel();
    std::thread::spawn(move || {
        let runtime = tokio::runtime::Builder::new_multi_thread().worker_threads(2).enable_all().build();
        runtime.expect("a runtime").block_on(async {
            let options = Options { address: ([127, 0, 0, 1], 0).into(), identity: None };
            let bound = Bound::new(options).await.expect("a free port");
            told.send(bound.address().expect("an address")).expect("somebody waits");
            let app = Arc::new(App::new(Arc::new(store), Doors::local(), Arc::new(|line: &str| eprintln!("{line}"))));
            bound.serving(app).until(std::future::pending()).await;
        });
    });
    let address = address.recv().expect("the server listens");

    let mut client = Client::new(address);
    let text = serde_json::json!({"from": "text", "text": DEMO}).to_string();
    let sites: Vec<String> = (0..20).map(|_| id(&client.ask("POST", "/api/v1/sites", text.as_bytes()).1)).collect();
    println!("memory at rest: {} MB", resident());
    measure("reads alone", address, &sites, seconds);
    let begun = Instant::now();
    // The server has closed the first connection: it stood idle while the reads ran.
    let mut client = Client::new(address);
    let wanted = serde_json::json!({"site": sites[0], "kind": "prove"}).to_string();
    let run = id(&client.ask("POST", "/api/v1/runs", wanted.as_bytes()).1);
    let stop = Arc::new(AtomicUsize::new(0));
    let proving = {
        let stop = Arc::clone(&stop);
        // When one proof is done the next begins, so that there is always one.
        std::thread::spawn(move || {
            let mut client = Client::new(address);
            let (mut run, mut proofs) = (run, 0);
            while stop.load(Ordering::Relaxed) == 0 {
                std::thread::sleep(Duration::from_millis(100));
                let state = client.ask("GET", &format!("/api/v1/runs/{run}"), b"").1;
                if state.windows(14).any(|w| w == br#""state":"done""#) {
                    proofs += 1;
                    let wetter = DEMO.replace("\"20 %\"", &format!("\"20.{proofs} %\""));
                    let text = serde_json::json!({"from": "text", "text": wetter}).to_string();
                    let site = id(&client.ask("POST", "/api/v1/sites", text.as_bytes()).1);
                    let wanted = serde_json::json!({"site": site, "kind": "prove"}).to_string();
                    run = id(&client.ask("POST", "/api/v1/runs", wanted.as_bytes()).1);
                }
            }
            proofs
        })
    };
    measure("reads while proofs run", address, &sites, seconds);
    stop.store(1, Ordering::Relaxed);
    let proofs = proving.join().expect("the proving thread ends");
    println!("proofs done meanwhile: {proofs} in {:.0} s", begun.elapsed().as_secs_f64());
    println!("memory at the end: {} MB (most so far {} MB)", resident(), status("VmHWM:"));
    let _ = std::fs::remove_dir_all(folder);
}

fn measure(what: &str, address: SocketAddr, sites: &[String], seconds: usize) {
    let paths: Vec<String> = sites
        .iter()
        .flat_map(|site| {
            let of = |rest: &str| format!("/api/v1/sites/{site}{rest}");
            [
                of(""),
                of("/text"),
                of("/fields"),
                of("/versions"),
                "/api/v1/sites".into(),
                "/api/v1/crops".into(),
                "/".into(),
            ]
        })
        .collect();
    let next = AtomicUsize::new(0);
    let all = seconds * READS_A_SECOND;
    let times = Mutex::new(Vec::with_capacity(all));
    let failed = AtomicUsize::new(0);
    let start = Instant::now();
    std::thread::scope(|scope| {
        for _ in 0..READERS {
            scope.spawn(|| {
                let mut client = Client::new(address);
                loop {
                    let k = next.fetch_add(1, Ordering::Relaxed);
                    if k >= all {
                        return;
                    }
                    let due = start + Duration::from_secs_f64(k as f64 / READS_A_SECOND as f64);
                    std::thread::sleep(due.saturating_duration_since(Instant::now()));
                    let (status, _) = client.ask("GET", &paths[k * 13 % paths.len()], b"");
                    if status != 200 {
                        failed.fetch_add(1, Ordering::Relaxed);
                    }
                    times.lock().expect("no reader dies").push(due.elapsed());
                }
            });
        }
    });
    let rate = all as f64 / start.elapsed().as_secs_f64();
    let mut times = times.into_inner().expect("no reader dies");
    times.sort_unstable();
    let at = |share: f64| times[((times.len() - 1) as f64 * share) as usize].as_secs_f64() * 1e3;
    println!(
        "{what}: {all} reads at {rate:.0} a second, {} failed; half within {:.1} ms, 95 % {:.1} ms, 99 % {:.1} ms, slowest {:.1} ms",
        failed.into_inner(),
        at(0.5),
        at(0.95),
        at(0.99),
        at(1.0)
    );
}

/// One connection, kept.
struct Client {
    address: SocketAddr,
    stream: BufReader<TcpStream>,
}

impl Client {
    fn new(address: SocketAddr) -> Self {
        let stream = TcpStream::connect(address).expect("the server listens");
        stream.set_nodelay(true).expect("a plain socket");
        Self { address, stream: BufReader::new(stream) }
    }

    fn ask(&mut self, method: &str, path: &str, body: &[u8]) -> (u16, Vec<u8>) {
        let mut request = format!(
            "{method} {path} HTTP/1.1\r\nHost: {}\r\nContent-Type: application/json\r\nContent-Length: {}\r\n\r\n",
            self.address,
            body.len()
        )
        .into_bytes();
        request.extend(body);
        self.stream.get_mut().write_all(&request).expect("the request is taken");
        let mut line = String::new();
        self.stream.read_line(&mut line).expect("an answer");
        let status = line.split(' ').nth(1).and_then(|s| s.parse().ok()).expect("a status");
        let mut length = 0;
        loop {
            line.clear();
            self.stream.read_line(&mut line).expect("headers");
            let Some((name, value)) = line.trim_end().split_once(':') else { break };
            if name.eq_ignore_ascii_case("content-length") {
                length = value.trim().parse().expect("a length");
            }
        }
        let mut body = vec![0; length];
        self.stream.read_exact(&mut body).expect("the body");
        (status, body)
    }
}

/// The id in an answer.
fn id(body: &[u8]) -> String {
    let value: serde_json::Value = serde_json::from_slice(body).expect("JSON");
    value["id"].as_str().unwrap_or_else(|| panic!("no id: {value}")).to_string()
}

fn resident() -> u64 {
    status("VmRSS:")
}

/// A line of this process's status in MB; 0 where the system has none.
fn status(key: &str) -> u64 {
    let text = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = text.lines().find_map(|line| line.strip_prefix(key)).unwrap_or_default();
    line.trim().trim_end_matches(" kB").parse::<u64>().unwrap_or(0) / 1024
}
