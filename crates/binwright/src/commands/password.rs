//! `password`: sets the password of the workbench.

use super::serve::{PASSWORD, failed, folder, opened};
use crate::{
    args::PasswordArgs,
    exit::{Ending, Failure, say},
};
use notice::{Diagnostic, Place};
use std::io::{BufRead as _, IsTerminal as _};
use std::path::Path;
use store::Store as _;

/// Sets or removes it.
pub fn run(args: &PasswordArgs) -> Result<Ending, Failure> {
    let folder = folder(args.data.as_deref())?;
    let store = opened(&folder)?;
    if args.remove {
        store.set_setting(PASSWORD, None).map_err(|error| failed(&error))?;
        say("the password is taken away; the workbench can be reached from this machine alone");
        return Ok(Ending::Done);
    }
    let password = match &args.password_file {
        Some(path) => from_file(path)?,
        None => asked()?,
    };
    let hash =
        server::hash(&password).map_err(|found| Diagnostic::error("password", found, Place::file("password")))?;
    store.set_setting(PASSWORD, Some(&hash)).map_err(|error| failed(&error))?;
    say("the password is set; a workbench that runs already asks for it after its next start");
    Ok(Ending::Done)
}

fn from_file(path: &Path) -> Result<String, Failure> {
    let name = path.display().to_string();
    let text = job::read_text(path, &name).map_err(|wrong| *wrong)?;
    Ok(text.lines().next().unwrap_or_default().to_string())
}

/// Typed twice on a terminal, unseen; one line from anything else.
fn asked() -> Result<String, Failure> {
    let unread = |error: std::io::Error| -> Failure {
        Diagnostic::error("password", format!("no password could be read: {error}"), Place::file("standard input"))
            .into()
    };
    if !std::io::stdin().is_terminal() {
        let mut line = String::new();
        std::io::stdin().lock().read_line(&mut line).map_err(unread)?;
        return Ok(line.trim_end_matches(['\r', '\n']).to_string());
    }
    let first = rpassword::prompt_password(format!("new password, {} characters or more: ", server::least_length()))
        .map_err(unread)?;
    let second = rpassword::prompt_password("once more: ").map_err(unread)?;
    if first != second {
        return Err(Diagnostic::error("password", "the two are not alike", Place::file("password")).into());
    }
    Ok(first)
}
