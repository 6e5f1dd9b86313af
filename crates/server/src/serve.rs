//! A whole server in one call, for the command line: takes the address, says it, answers until the process is asked to end.

use crate::app::App;
use crate::doors::Doors;
use crate::listen::{Bound, Options};
use std::future::Future;
use std::io;
use std::net::SocketAddr;
use std::sync::Arc;
use store::Store;

/// Stack of the threads that compute: deep site texts are read there.
const STACK: usize = 8 << 20;

/// Called with lines for the log: never secrets, never site texts.
pub type Log = Arc<dyn Fn(&str) + Send + Sync>;

/// Serves until an interrupt or the system's request to end. `ready` is told the address once it is taken.
///
/// # Errors
/// When the address cannot be had, the certificate cannot be used or the system gives no threads.
pub fn serve(
    options: Options,
    doors: Doors,
    store: Arc<dyn Store>,
    log: Log,
    ready: impl FnOnce(SocketAddr),
) -> io::Result<()> {
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(2)
        .max_blocking_threads(64)
        .thread_stack_size(STACK)
        .enable_all()
        .build()?;
    runtime.block_on(async {
        let bound = Bound::new(options).await?;
        ready(bound.address()?);
        bound.serving(Arc::new(App::new(store, doors, log))).until(asked_to_end()?).await;
        Ok(())
    })
}

/// Comes when the process is asked to end.
fn asked_to_end() -> io::Result<impl Future<Output = ()>> {
    #[cfg(unix)]
    let mut terminate = tokio::signal::unix::signal(tokio::signal::unix::SignalKind::terminate())?;
    Ok(async move {
        #[cfg(unix)]
        tokio::select! {
            _ = tokio::signal::ctrl_c() => {}
            _ = terminate.recv() => {}
        }
        #[cfg(not(unix))]
        let _ = tokio::signal::ctrl_c().await;
    })
}
