//! Taking connections: plain or TLS, so many at once, with patience for slow ones but not for ever.

use crate::app::App;
use crate::doors::Peer;
use crate::tls::Identity;
use axum::Router;
use axum::extract::ConnectInfo;
use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use std::io;
use std::net::SocketAddr;
use std::pin::pin;
use std::sync::Arc;
use std::time::Duration;
use tokio::io::{AsyncRead, AsyncWrite};
use tokio::net::TcpListener;
use tokio::sync::Semaphore;
use tokio_rustls::TlsAcceptor;

/// Connections at once.
const MOST_CONNECTIONS: usize = 256;
/// Longest handshake, and longest wait for the headers of a request.
const PATIENCE: Duration = Duration::from_secs(15);
/// How long streams under way may go on after the end was asked for.
const FAREWELL: Duration = Duration::from_secs(2);

/// Where to listen.
#[derive(Debug)]
pub struct Options {
    /// Address and port; port 0 takes a free one.
    pub address: SocketAddr,
    /// Own TLS; `None` speaks plain HTTP.
    pub identity: Option<Identity>,
}

/// A server that has its address but answers nobody yet.
pub struct Bound {
    listener: TcpListener,
    tls: Option<TlsAcceptor>,
}

/// A server at work.
pub struct Serving {
    app: Arc<App>,
    router: Router,
    bound: Bound,
}

impl Bound {
    /// Takes the address.
    ///
    /// # Errors
    /// When it cannot be had, or the certificate cannot be used.
    pub async fn new(options: Options) -> io::Result<Self> {
        let tls = options.identity.map(|identity| identity.acceptor()).transpose()?;
        Ok(Self { listener: TcpListener::bind(options.address).await?, tls })
    }

    /// The address it has.
    ///
    /// # Errors
    /// When the system does not say.
    pub fn address(&self) -> io::Result<SocketAddr> {
        self.listener.local_addr()
    }

    /// Joins it with what it shall answer.
    pub fn serving(self, app: Arc<App>) -> Serving {
        Serving { router: crate::router(Arc::clone(&app)), app, bound: self }
    }
}

impl Serving {
    /// Answers until `end` comes, then lets answers under way finish for a moment.
    pub async fn until(self, end: impl Future<Output = ()>) {
        let Self { app, router, bound } = self;
        let Bound { listener, tls } = bound;
        let places = Arc::new(Semaphore::new(MOST_CONNECTIONS));
        let mut end = pin!(end);
        loop {
            let place = tokio::select! {
                place = Arc::clone(&places).acquire_owned() => place,
                () = &mut end => break,
            };
            let (Ok(place), accepted) = (
                place,
                tokio::select! {
                    accepted = listener.accept() => accepted,
                    () = &mut end => break,
                },
            ) else {
                break;
            };
            let (stream, peer) = match accepted {
                Ok(accepted) => accepted,
                Err(_) => {
                    // No more files to be had: connections that end give some back.
                    tokio::time::sleep(Duration::from_millis(50)).await;
                    continue;
                }
            };
            // Small events must not wait for more of them.
            let _ = stream.set_nodelay(true);
            let (router, tls) = (router.clone(), tls.clone());
            tokio::spawn(async move {
                match tls {
                    None => connection(stream, peer, router).await,
                    Some(tls) => {
                        if let Ok(Ok(stream)) = tokio::time::timeout(PATIENCE, tls.accept(stream)).await {
                            connection(stream, peer, router).await;
                        }
                    }
                }
                drop(place);
            });
        }
        app.runs.cancel_all();
        app.papers.cancel_all();
        let all = u32::try_from(MOST_CONNECTIONS).unwrap_or(u32::MAX);
        let _ = tokio::time::timeout(FAREWELL, places.acquire_many(all)).await;
    }
}

async fn connection(stream: impl AsyncRead + AsyncWrite + Unpin + Send + 'static, peer: SocketAddr, router: Router) {
    let router = router.layer(axum::Extension(ConnectInfo(Peer(peer.ip()))));
    let served = http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(PATIENCE)
        .max_headers(64)
        .max_buf_size(16 << 10)
        .serve_connection(TokioIo::new(stream), TowerToHyperService::new(router));
    // What goes wrong on a connection is the other end's affair.
    let _ = served.await;
}
