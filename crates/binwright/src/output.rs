//! Results on stdout: one locked, buffered writer, as JSON or as text in the reader's units.

use crate::exit::Failure;
use notice::{Kind, Quantity, UnitSystem};
use serde::Serialize;
use std::io::{BufWriter, StdoutLock, Write};

/// Where results go.
pub struct Out {
    writer: BufWriter<StdoutLock<'static>>,
    /// Whether a program reads the result.
    pub json: bool,
    /// Units for human readers; JSON is always SI.
    pub units: UnitSystem,
}

impl Out {
    /// Locks stdout for the whole run.
    pub fn new(json: bool, units: UnitSystem) -> Self {
        Self { writer: BufWriter::new(std::io::stdout().lock()), json, units }
    }

    /// Writes a JSON document.
    pub fn json(&mut self, value: &impl Serialize) -> Result<(), Failure> {
        serde_json::to_writer_pretty(&mut self.writer, value)
            .map_err(|e| if e.is_io() { Failure::Write(e.into()) } else { Failure::Ours(e.to_string()) })?;
        self.writer.write_all(b"\n")?;
        Ok(())
    }

    /// Writes text; names from files keep what would command a terminal as an escape.
    pub fn text(&mut self, text: &str) -> Result<(), Failure> {
        let text = notice::plain(text);
        self.writer.write_all(text.as_bytes())?;
        if !text.ends_with('\n') {
            self.writer.write_all(b"\n")?;
        }
        Ok(())
    }

    /// A value as the reader wants to see it.
    pub fn show(&self, value: f64, kind: Kind) -> String {
        Quantity::new(value, kind).show(self.units)
    }

    /// The number alone, for tables whose heads carry the unit.
    pub fn number(&self, value: f64, kind: Kind) -> String {
        let shown = self.show(value, kind);
        shown.split('\u{a0}').next().unwrap_or_default().to_string()
    }

    /// The unit a kind is shown in.
    pub fn unit(&self, kind: Kind) -> &'static str {
        kind.shown(self.units).unit
    }

    /// Flushes; the result counts as said only after that.
    pub fn finish(&mut self) -> Result<(), Failure> {
        self.writer.flush()?;
        Ok(())
    }
}
