//! How a run ends: exit codes, failures and what is said about them on stderr.

use notice::{Diagnostic, Diagnostics};
use std::io::{ErrorKind, Write};

/// How a command ended when it could say something.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ending {
    /// Done, goals met or none stated.
    Done,
    /// Done, and a stated goal is missed.
    GoalMissed,
    /// Input that cannot be used.
    UnusableInput,
    /// A fault of the program or of the machine it runs on.
    OurFailure,
    /// Stopped by the user; what was known is out.
    Interrupted,
}

/// Why a command could say nothing.
#[derive(Debug)]
pub enum Failure {
    /// Input that cannot be used, all that is wrong with it.
    Input(Diagnostics),
    /// A fault of ours, in words.
    Ours(String),
    /// Results could not be written.
    Write(std::io::Error),
}

impl Ending {
    /// The exit code of the process.
    pub fn code(self) -> u8 {
        match self {
            Self::Done => 0,
            Self::GoalMissed => 1,
            Self::UnusableInput => 2,
            Self::OurFailure => 3,
            Self::Interrupted => 130,
        }
    }
}

impl From<Diagnostic> for Failure {
    fn from(diagnostic: Diagnostic) -> Self {
        Self::Input(Diagnostics(vec![diagnostic]))
    }
}

impl From<Diagnostics> for Failure {
    fn from(diagnostics: Diagnostics) -> Self {
        Self::Input(diagnostics)
    }
}

impl From<std::io::Error> for Failure {
    fn from(error: std::io::Error) -> Self {
        Self::Write(error)
    }
}

/// Says on stderr what went wrong, and with `json` on stdout too, so that a program reads one stream.
pub fn report(failure: Failure, json: bool) -> Ending {
    match failure {
        Failure::Input(diagnostics) => {
            say(&diagnostics.to_string());
            if json {
                let text = contract::diagnostics_json(&diagnostics);
                // Nobody is left to tell when stdout is closed.
                let _ = writeln!(std::io::stdout().lock(), "{text}");
            }
            Ending::UnusableInput
        }
        // `binwright … | head` closes the pipe on purpose: that is success.
        Failure::Write(error) if error.kind() == ErrorKind::BrokenPipe => Ending::Done,
        Failure::Write(error) => {
            say(&format!("error: cannot write the result: {error}"));
            Ending::OurFailure
        }
        Failure::Ours(text) => {
            say(&format!("error: {text}\nhint: this is a fault of the program, not of the input; please report it"));
            Ending::OurFailure
        }
    }
}

/// A line on stderr; a closed stderr is nobody's loss.
pub fn say(text: &str) {
    let _ = writeln!(std::io::stderr().lock(), "{text}");
}

/// Replaces the default panic text by one that says whose fault it is.
pub fn install_panic_message() {
    std::panic::set_hook(Box::new(|info| {
        let what = info
            .payload()
            .downcast_ref::<&str>()
            .map(ToString::to_string)
            .or_else(|| info.payload().downcast_ref::<String>().cloned())
            .unwrap_or_else(|| "no message".into());
        let place = info.location().map(|l| format!("{}:{}", l.file(), l.line())).unwrap_or_default();
        say(&format!(
            "error: the program failed: {what}\n  at {place}\nhint: this is a fault of the program, not of the input; please report it"
        ));
    }));
}
