//! What is kept of a visit to a bin: rows that come from phones, and what stands of them.
//!
//! Rows are only ever added, each under an id the client made. A reading that replaces another names it; a withdrawal names
//! what it withdraws. So a row sent twice changes nothing, and no entry of one phone is lost to another: what was replaced is
//! still kept. The id of a row is its version, and no writer has to have seen the newest state of a list.

use crate::problem::Problem;
use job::readings::{Entry, compose, fields};
use notice::{Diagnostic, Diagnostics, Place};
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;
use store::{Moment, ReadingLine, ReadingQuery, SiteId, Store};

/// A row as the store keeps it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "type", rename_all = "kebab-case")]
pub enum Row {
    /// A value that was read.
    Reading(ReadingRow),
    /// A row is withdrawn.
    Withdrawal {
        /// Its id.
        of: String,
        /// Who withdraws it.
        by: String,
    },
    /// The readings of a visit are the bin's baseline from now on.
    Baseline {
        /// The visit.
        visit: String,
        /// Who accepted them.
        by: String,
        /// The readings file they made then.
        text: String,
    },
}

/// A value that was read.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ReadingRow {
    /// Visit it belongs to.
    pub visit: String,
    /// Path of its field.
    pub field: String,
    /// Value as it was typed.
    pub value: String,
    /// When, as the client wrote it.
    pub at: String,
    /// Who.
    pub by: String,
    /// With what.
    pub instrument: String,
    /// What was noted beside it.
    pub note: String,
    /// The reading it replaces.
    pub replaces: Option<String>,
}

/// A row with its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Kept {
    /// Place in the order of arrival.
    pub seq: u32,
    /// Id.
    pub id: String,
    /// Bin.
    pub bin: String,
    /// When.
    pub at: Moment,
    /// Row.
    pub row: Row,
}

/// All rows of a site in the order of arrival.
#[derive(Debug, Clone, Default)]
pub struct Ledger {
    rows: Vec<Kept>,
    gone: BTreeSet<String>,
}

/// Baseline of a bin.
#[derive(Debug, Clone, PartialEq)]
pub struct Baseline<'a> {
    /// Id of its row.
    pub id: &'a str,
    /// Visit.
    pub visit: &'a str,
    /// Who accepted it.
    pub by: &'a str,
    /// When.
    pub at: Moment,
    /// The readings file.
    pub text: &'a str,
}

impl Ledger {
    /// Reads what the store keeps of a site.
    ///
    /// # Errors
    /// When the site is not there, or a row was not written by us.
    pub fn of(store: &dyn Store, site: &SiteId, bin: Option<&str>) -> Result<Self, Problem> {
        let which = ReadingQuery { bin: bin.map(str::to_string), ..ReadingQuery::default() };
        let lines = store.readings(site, &which)?;
        let mut ledger = Self::default();
        for line in lines {
            ledger.push(kept(line)?);
        }
        Ok(ledger)
    }

    /// Adds a row that was kept.
    pub fn push(&mut self, kept: Kept) {
        match &kept.row {
            Row::Reading(reading) => self.gone.extend(reading.replaces.clone()),
            Row::Withdrawal { of, .. } => self.gone.extend([of.clone()]),
            Row::Baseline { .. } => {}
        }
        self.rows.push(kept);
    }

    /// Every row.
    pub fn rows(&self) -> &[Kept] {
        &self.rows
    }

    /// Whether a row was replaced or withdrawn.
    pub fn is_gone(&self, id: &str) -> bool {
        self.gone.contains(id)
    }

    /// A reading by id.
    pub fn reading(&self, id: &str) -> Option<(&Kept, &ReadingRow)> {
        self.readings().find(|(kept, _)| kept.id == id)
    }

    /// All readings, also those that no longer stand.
    pub fn readings(&self) -> impl Iterator<Item = (&Kept, &ReadingRow)> {
        self.rows.iter().filter_map(|kept| match &kept.row {
            Row::Reading(reading) => Some((kept, reading)),
            _ => None,
        })
    }

    /// Readings of a visit that stand, in the order of arrival; one that replaces another takes its place.
    pub fn standing<'a>(&'a self, visit: &'a str) -> Vec<(&'a Kept, &'a ReadingRow)> {
        let mut all: Vec<_> = self.readings().filter(|(kept, r)| r.visit == visit && !self.is_gone(&kept.id)).collect();
        all.sort_by_key(|(kept, reading)| self.place(kept, reading));
        all
    }

    /// Place of the first reading in a chain of replacements.
    fn place(&self, kept: &Kept, reading: &ReadingRow) -> u32 {
        let mut seq = kept.seq;
        let mut before = reading.replaces.clone();
        while let Some((kept, reading)) = before.as_deref().and_then(|id| self.reading(id)) {
            // Only earlier rows can be replaced, so the chain ends.
            if kept.seq >= seq {
                break;
            }
            seq = kept.seq;
            before = reading.replaces.clone();
        }
        seq
    }

    /// Bin of a visit.
    pub fn bin_of(&self, visit: &str) -> Option<&str> {
        self.readings().find(|(_, r)| r.visit == visit).map(|(kept, _)| kept.bin.as_str())
    }

    /// The newest baseline of a bin that was not withdrawn.
    pub fn baseline(&self, bin: &str) -> Option<Baseline<'_>> {
        self.rows.iter().rev().filter(|kept| kept.bin == bin && !self.is_gone(&kept.id)).find_map(|kept| {
            match &kept.row {
                Row::Baseline { visit, by, text } => Some(Baseline { id: &kept.id, visit, by, at: kept.at, text }),
                _ => None,
            }
        })
    }

    /// The readings file of a visit.
    ///
    /// # Errors
    /// When nothing of it stands, or a field that is read once was read twice: which of them is right, we do not choose.
    pub fn text(&self, visit: &str) -> Result<String, Problem> {
        let standing = self.standing(visit);
        let Some((first, _)) = standing.first() else {
            return Err(Problem::missing(format!("readings of visit {visit:?}")));
        };
        let mut wrong = Diagnostics::default();
        let mut seen = BTreeSet::new();
        for (_, reading) in &standing {
            let many = fields::field_of(&reading.field).is_some_and(|(field, _)| field.many);
            if !many && !seen.insert(reading.field.as_str()) {
                let at = Place { field: Some(reading.field.clone()), ..Place::file(FILE) };
                let found = format!("two readings of {}", reading.field);
                wrong.add(Diagnostic::error("read-twice", found, at).help("withdraw one of them"));
            }
        }
        if wrong.stop() {
            return Err(wrong.into());
        }
        let notes: Vec<String> = standing.iter().map(|(_, r)| note(r)).collect();
        let entries: Vec<Entry<'_>> =
            standing.iter().zip(&notes).map(|((_, r), note)| Entry { path: &r.field, value: &r.value, note }).collect();
        let at = standing.iter().map(|(_, r)| r.at.as_str()).next().unwrap_or_default();
        Ok(compose(&first.bin, at, &entries))
    }
}

/// Name of a visit's readings in messages.
pub const FILE: &str = "readings";

fn note(reading: &ReadingRow) -> String {
    let parts = [&reading.by, &reading.at, &reading.instrument, &reading.note];
    parts.into_iter().filter(|part| !part.is_empty()).cloned().collect::<Vec<_>>().join(", ")
}

fn kept(line: ReadingLine) -> Result<Kept, Problem> {
    let row = serde_json::from_str(&line.reading.body)
        .map_err(|error| Problem::ours(format!("reading {:?} cannot be read back: {error}", line.reading.id)))?;
    Ok(Kept { seq: line.seq, id: line.reading.id, bin: line.reading.bin, at: line.reading.at, row })
}
