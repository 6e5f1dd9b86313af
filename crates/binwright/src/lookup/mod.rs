//! Handbook answers: one question, one answer, its source and whether it lies inside its evidence.

use crate::{
    args::Lookup,
    exit::{Ending, Failure},
    output::Out,
};
use notice::{Diagnostic, Place};

/// Answers one question.
pub fn run(which: &Lookup, _out: &mut Out) -> Result<Ending, Failure> {
    Err(Diagnostic::error("not-built", format!("{which:?} is not built yet"), Place::file("command line")).into())
}
