//! `serve`: the workbench.

use crate::{
    args::ServeArgs,
    exit::{Ending, Failure, say},
    output::Out,
};
use notice::{Diagnostic, Place};
use server::{Doors, Identity, Keys, Options};
use std::io::{ErrorKind, Write as _};
use std::net::{IpAddr, Ipv4Addr, SocketAddr};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::{SystemTime, UNIX_EPOCH};
use store::{MemoryStore, Moment, SqliteStore, Store, StoreError};

/// Port when nobody names one, so that the address stays from day to day.
const PORT: u16 = 8420;
/// Setting under which the hash of the password is kept.
pub const PASSWORD: &str = "password";
/// File of the certificate in the data folder.
const CERTIFICATE: &str = "certificate.pem";

/// Serves the workbench until it is asked to end.
pub fn run(args: &ServeArgs, out: &mut Out) -> Result<Ending, Failure> {
    let folder = if args.forget { None } else { Some(folder(args.data.as_deref())?) };
    let store: Arc<dyn Store> = match &folder {
        Some(folder) => Arc::new(opened(folder)?),
        None => Arc::new(MemoryStore::new()),
    };
    let address = args.listen.unwrap_or(Ipv4Addr::LOCALHOST.into());
    let loopback = address.is_loopback();
    let keys = store.setting(PASSWORD).map_err(|e| failed(&e))?.map(Keys::new);
    if !loopback && keys.is_none() {
        return Err(Diagnostic::error(
            "no-password",
            format!("no password, but {address} can be reached by others"),
            place("--listen"),
        )
        .help("set one with `binwright password`, or leave --listen out")
        .into());
    }
    if args.behind_proxy && keys.is_none() {
        return Err(Diagnostic::error(
            "no-password",
            "no password, but a proxy lets others in",
            place("--behind-proxy"),
        )
        .help("set one with `binwright password`")
        .into());
    }
    if args.behind_proxy && args.name.is_empty() {
        return Err(Diagnostic::error("no-name", "no host name for the proxy", place("--behind-proxy"))
            .help("add the name under which the proxy is reached: --name bins.example")
            .into());
    }
    let plain = |c: char| c.is_ascii_alphanumeric() || matches!(c, '.' | '-' | '_');
    if let Some(name) = args.name.iter().find(|name| name.is_empty() || name.len() > 253 || !name.chars().all(plain)) {
        return Err(Diagnostic::error("not-a-host", format!("host name {name:?}"), place("--name"))
            .allowed("must be letters, digits, dots and hyphens, without port and scheme")
            .help("a name of other letters is written in its ASCII form, as xn--bcher-kva.example")
            .into());
    }
    let own_tls = !loopback && !args.behind_proxy;
    let identity = own_tls.then(|| identity(folder.as_deref(), address, &args.name)).transpose()?;
    let fingerprint = identity.as_ref().map(Identity::fingerprint);
    let scheme = if own_tls { "https" } else { "http" };
    let ports = match args.port {
        Some(port) => vec![port],
        None => vec![PORT, 0],
    };
    let mut identity = Some(identity);
    let mut keys = Some(keys);
    for (attempt, port) in ports.iter().enumerate() {
        // The first port that can be had; what the doors are made of is used up only once.
        let free = std::net::TcpListener::bind(SocketAddr::new(address, *port));
        if let Err(error) = &free
            && error.kind() == ErrorKind::AddrInUse
            && attempt + 1 < ports.len()
        {
            continue;
        }
        drop(free);
        let options = Options { address: SocketAddr::new(address, *port), identity: identity.take().flatten() };
        let doors = Doors {
            loopback: loopback && !args.behind_proxy,
            names: args.name.clone(),
            secure: own_tls || args.behind_proxy,
            behind_proxy: args.behind_proxy,
            keys: keys.take().flatten(),
        };
        let ready = |address: SocketAddr| {
            let shown = match address.ip() {
                IpAddr::V4(ip) if ip.is_unspecified() => format!("{scheme}://localhost:{}/", address.port()),
                _ => format!("{scheme}://{address}/"),
            };
            let mut text = format!("Binwright workbench: {shown}\n");
            if let Some(print) = &fingerprint {
                text.push_str(&format!("certificate made here, SHA-256 {print}\ncompare it with what the browser shows before you trust it\n"));
            }
            match &folder {
                Some(folder) => text.push_str(&format!("data folder: {}\n", folder.display())),
                None => text.push_str("nothing is kept: sites are gone when this ends\n"),
            }
            text.push_str("end with Ctrl-C\n");
            // The address is the result; it has to be out before the first request.
            if out.text(&text).and_then(|()| out.finish()).is_ok() && args.open {
                browse(&shown);
            }
        };
        server::serve(options, doors, store, Arc::new(|line: &str| say(line)), ready)
            .map_err(|error| unreachable_address(address, *port, &error))?;
        return Ok(Ending::Done);
    }
    Ok(Ending::Done)
}

fn place(option: &str) -> Place {
    Place { file: "command line".into(), field: Some(option.into()), ..Place::default() }
}

fn unreachable_address(address: IpAddr, port: u16, error: &std::io::Error) -> Failure {
    let found = format!("cannot listen on {}: {error}", SocketAddr::new(address, port));
    Diagnostic::error("address", found, place("--port")).help("choose another port, or --port 0 for a free one").into()
}

/// Says what went wrong with the store.
pub fn failed(error: &StoreError) -> Failure {
    error.diagnostic().into()
}

/// The data folder asked for, or the user's own.
pub fn folder(named: Option<&Path>) -> Result<PathBuf, Failure> {
    named.map(Path::to_path_buf).or_else(store::edge::default_folder).ok_or_else(|| {
        Diagnostic::error("no-data-folder", "no data folder: the environment names no home", place("--data"))
            .help("name one with --data FOLDER")
            .into()
    })
}

/// Opens the store in a folder.
pub fn opened(folder: &Path) -> Result<SqliteStore, Failure> {
    SqliteStore::open(folder, now()).map_err(|error| failed(&error))
}

/// The moment it is, for what is noted in the store.
pub fn now() -> Moment {
    let since = SystemTime::now().duration_since(UNIX_EPOCH).unwrap_or_default();
    Moment(i64::try_from(since.as_millis()).unwrap_or(i64::MAX))
}

/// The certificate kept in the data folder, or a new one.
fn identity(folder: Option<&Path>, address: IpAddr, names: &[String]) -> Result<Identity, Failure> {
    let wrong = |what: &str, error: std::io::Error| -> Failure {
        let at = Place::file(folder.map_or_else(String::new, |f| f.join(CERTIFICATE).display().to_string()));
        Diagnostic::error("certificate", format!("certificate that cannot be {what}: {error}"), at)
            .help("move the file away: a new one is made, with a new fingerprint")
            .into()
    };
    let file = folder.map(|folder| folder.join(CERTIFICATE));
    if let Some(file) = &file {
        match std::fs::read_to_string(file) {
            Ok(text) => return Identity::read(&text).map_err(|error| wrong("read", error)),
            Err(error) if error.kind() == ErrorKind::NotFound => {}
            Err(error) => return Err(wrong("read", error)),
        }
    }
    let mut all: Vec<String> = vec!["localhost".into()];
    if !address.is_unspecified() {
        all.push(address.to_string());
    }
    all.extend(names.iter().cloned());
    let identity = Identity::make(&all).map_err(|error| wrong("made", error))?;
    if let Some(file) = &file {
        secret(file, identity.text()).map_err(|error| wrong("kept", error))?;
    }
    Ok(identity)
}

/// Writes a file that only the user may read.
fn secret(path: &Path, text: &str) -> std::io::Result<()> {
    let mut options = std::fs::OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    let mut file = options.open(path)?;
    file.write_all(text.as_bytes())?;
    file.sync_all()
}

/// Tries to open the page; whoever has no browser here has the address.
fn browse(address: &str) {
    let program = if cfg!(target_os = "macos") {
        "open"
    } else if cfg!(windows) {
        "explorer"
    } else {
        "xdg-open"
    };
    let nothing = std::process::Stdio::null;
    let _ =
        std::process::Command::new(program).arg(address).stdin(nothing()).stdout(nothing()).stderr(nothing()).spawn();
}
