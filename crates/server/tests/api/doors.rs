//! Who may come in.

use super::client::Server;
use serde_json::json;
use server::{Doors, Identity, Keys};
use std::io::{Read as _, Write as _};
use std::net::TcpStream;
use std::sync::Arc;
use tokio_rustls::rustls::crypto::ring;
use tokio_rustls::rustls::pki_types::pem::PemObject as _;
use tokio_rustls::rustls::pki_types::{CertificateDer, ServerName};
use tokio_rustls::rustls::{ClientConfig, ClientConnection, RootCertStore, StreamOwned};

#[test]
fn other_names_and_other_pages_are_refused() {
    let server = Server::start();
    let own = server.address.to_string();
    let ask = |method: &str, path: &str, headers: &[(&str, &str)]| server.raw(method, path, headers, b"{}");
    for host in ["evil.example", "evil.example:80", "192.168.7.7", "localhost.evil.example"] {
        assert_eq!(ask("GET", "/api/v1/program", &[("Host", host)]).problem(421), "foreign-host");
        assert_eq!(ask("GET", "/", &[("Host", host)]).problem(421), "foreign-host", "the page too");
    }
    assert_eq!(ask("GET", "/", &[("Host", &own), ("Host", "evil.example")]).status, 400);
    // A target in absolute form names a host of its own, which goes before the header.
    for target in ["http://evil.example/", "http://evil.example/api/v1/program", "https://evil.example:80/api/v1/sites"]
    {
        assert_eq!(ask("GET", target, &[("Host", &own)]).problem(421), "foreign-host", "{target}");
    }
    assert_eq!(ask("GET", &format!("http://{own}/api/v1/program"), &[("Host", &own)]).status, 200);
    let json = ("Content-Type", "application/json");
    let local = format!("localhost:{}", server.address.port());
    for headers in [
        vec![("Host", own.as_str()), ("Origin", "http://evil.example")],
        vec![("Host", own.as_str()), ("Origin", "null")],
        vec![("Host", own.as_str()), ("Origin", "http://127.0.0.1:1")],
        vec![("Host", own.as_str()), ("Sec-Fetch-Site", "cross-site")],
        // Another port of this machine is the same site, but not our page.
        vec![("Host", own.as_str()), ("Sec-Fetch-Site", "same-site")],
    ] {
        let mut headers = headers.clone();
        headers.push(json);
        for (method, path) in [("POST", "/api/v1/check"), ("GET", "/api/v1/sites"), ("POST", "/")] {
            assert_eq!(ask(method, path, &headers).problem(403), "foreign-origin", "{method} {path} {headers:?}");
        }
    }
    for headers in [
        vec![("Host", own.as_str()), ("Origin", &format!("http://{own}"))],
        vec![("Host", local.as_str()), ("Origin", &format!("http://{local}")), ("Sec-Fetch-Site", "same-origin")],
        vec![("Host", own.as_str()), ("Sec-Fetch-Site", "none")],
    ] {
        assert_eq!(ask("GET", "/api/v1/sites", &headers).status, 200, "{headers:?}");
    }
    // A link from elsewhere may open the page itself.
    assert_eq!(ask("GET", "/", &[("Host", &own), ("Sec-Fetch-Site", "cross-site")]).status, 200);
}

#[test]
fn every_answer_carries_the_guards_of_the_page() {
    let server = Server::start();
    for path in ["/", "/sites/x", "/api/v1/program", "/api/v1/sites/none", "/missing.js"] {
        let reply = server.get(path);
        let content = reply.header("content-security-policy").unwrap_or_default();
        assert!(
            content.contains("script-src 'self';") && content.contains("frame-ancestors 'none'"),
            "{path} {content}"
        );
        assert!(!content.contains("unsafe-inline"), "{content}");
        assert!(!content.contains("unsafe-eval") && !content.contains("script-src 'self' "), "{content}");
        assert_eq!(reply.header("x-content-type-options"), Some("nosniff"), "{path}");
        assert_eq!(reply.header("referrer-policy"), Some("no-referrer"));
    }
    assert_eq!(server.get("/api/v1/program").header("cache-control"), Some("no-store"));
    let page = server.get("/");
    assert_eq!((page.status, page.header("content-type")), (200, Some("text/html; charset=utf-8")));
    let again = server.send("GET", "/", &[("If-None-Match", page.header("etag").unwrap())], b"");
    assert_eq!((again.status, again.body.len()), (304, 0));
    assert_eq!(server.get("/missing.js").problem(404), "not-found");
    assert_eq!(server.get("/api/v1/nothing").problem(404), "not-found");
    assert_eq!(server.send("DELETE", "/api/v1/sites", &[], b"").problem(405), "method");
}

#[test]
fn a_password_keeps_others_out() {
    let hash = server::hash("meadow lark 9").unwrap();
    let server = Server::with(Doors { secure: true, keys: Some(Keys::new(hash)), ..Doors::local() });
    let program = server.get("/api/v1/program").value();
    assert_eq!((&program["needs_password"], &program["signed_in"]), (&json!(true), &json!(false)));
    assert_eq!(server.get("/").status, 200, "the page asks for the password");
    for (method, path) in [
        ("GET", "/api/v1/sites"),
        ("POST", "/api/v1/what-if"),
        ("GET", "/api/v1/openapi.json"),
        ("GET", "/api/v1/nothing"),
        ("GET", "/api/v1/programs"),
    ] {
        assert_eq!(server.send(method, path, &[], b"").problem(401), "sign-in", "{path}");
    }
    let wrong = server.post("/api/v1/session", &json!({"password": "meadow lark 8"}));
    assert_eq!(wrong.problem(401), "wrong-password");
    let right = server.post("/api/v1/session", &json!({"password": "meadow lark 9"}));
    assert_eq!(right.status, 204);
    let cookie = right.header("set-cookie").unwrap();
    for part in ["HttpOnly", "SameSite=Strict", "Secure", "Path=/"] {
        assert!(cookie.contains(part), "{cookie}");
    }
    let pair = cookie.split(';').next().unwrap();
    let signed = [("Cookie", pair)];
    assert_eq!(server.send("GET", "/api/v1/sites", &signed, b"").status, 200);
    assert_eq!(server.send("GET", "/api/v1/program", &signed, b"").value()["signed_in"], true);
    for forged in ["binwright_session=", "binwright_session=00", &pair[..pair.len() - 1], &format!("x{pair}")] {
        assert_eq!(server.send("GET", "/api/v1/sites", &[("Cookie", forged)], b"").status, 401, "{forged}");
    }
    let out = server.send("DELETE", "/api/v1/session", &signed, b"");
    assert!(out.status == 204 && out.header("set-cookie").unwrap().contains("Max-Age=0"));
    assert_eq!(server.send("GET", "/api/v1/sites", &signed, b"").status, 401);
}

#[test]
fn after_a_few_wrong_passwords_one_waits() {
    let hash = server::hash("meadow lark 9").unwrap();
    let server = Server::with(Doors { keys: Some(Keys::new(hash)), ..Doors::local() });
    let try_one = |password: &str| server.post("/api/v1/session", &json!({"password": password}));
    for _ in 0..5 {
        assert_eq!(try_one("wrong").status, 401);
    }
    // Not even the right one helps now.
    let locked = try_one("meadow lark 9");
    assert_eq!(locked.problem(429), "locked-out");
    let wait: u64 = locked.header("retry-after").unwrap().parse().unwrap();
    assert!((1..=31).contains(&wait), "{wait}");
}

#[test]
fn a_proxy_says_who_asks() {
    let hash = server::hash("meadow lark 9").unwrap();
    let doors = Doors {
        loopback: false,
        names: vec!["bins.example".into()],
        behind_proxy: true,
        keys: Some(Keys::new(hash)),
        ..Doors::local()
    };
    let server = Server::with(doors);
    let try_one = |who: &str| {
        let headers = [("Host", "bins.example"), ("Content-Type", "application/json"), ("X-Forwarded-For", who)];
        server.raw("POST", "/api/v1/session", &headers, json!({"password": "wrong"}).to_string().as_bytes()).status
    };
    // What stands before the proxy's own word anybody may have written: it does not make a new visitor.
    let tries: Vec<u16> = (0..6).map(|k| try_one(&format!("1.1.1.{k}, 10.0.0.9"))).collect();
    assert_eq!(tries, [401, 401, 401, 401, 401, 429]);
    assert_eq!(try_one("10.0.0.10"), 401);
}

/// Over TLS: whoever trusts this certificate gets through, whoever trusts another does not, and plain words get nothing.
#[test]
fn a_certificate_of_its_own() {
    let identity = Identity::make(&["localhost".into()]).unwrap();
    let (own, other) = (identity.text().to_string(), Identity::make(&["localhost".into()]).unwrap().text().to_string());
    let server = Server::speaking(Doors { secure: true, ..Doors::local() }, Some(identity));
    let ask = |trusted: &str| -> std::io::Result<String> {
        let mut roots = RootCertStore::empty();
        roots.add(CertificateDer::from_pem_slice(trusted.as_bytes()).unwrap()).unwrap();
        let config = ClientConfig::builder_with_provider(Arc::new(ring::default_provider()))
            .with_safe_default_protocol_versions()
            .unwrap()
            .with_root_certificates(roots)
            .with_no_client_auth();
        let name = ServerName::try_from("localhost").unwrap();
        let client = ClientConnection::new(Arc::new(config), name).unwrap();
        let mut stream = StreamOwned::new(client, TcpStream::connect(server.address)?);
        stream.write_all(b"GET /api/v1/program HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n")?;
        let mut answer = String::new();
        // A server that closes without a farewell is no fault here.
        let _ = stream.read_to_string(&mut answer);
        Ok(answer)
    };
    assert!(ask(&own).unwrap().starts_with("HTTP/1.1 200"));
    assert!(ask(&other).is_err());
    let mut plain = TcpStream::connect(server.address).unwrap();
    plain.write_all(b"GET / HTTP/1.1\r\nHost: localhost\r\n\r\n").unwrap();
    let mut answer = Vec::new();
    let _ = plain.read_to_end(&mut answer);
    assert!(!answer.starts_with(b"HTTP"));
}
