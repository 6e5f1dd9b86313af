//! Seasons looked at of late, kept with their layers so that maps need no second run.

use crate::app::App;
use crate::problem::Problem;
use advice::proof::on_rung;
use axum::http::StatusCode;
use ensemble::{Batch, Observer, Priority};
use job::BinJob;
use notice::{Diagnostic, Place};
use season::{CaseSpec, Record, SeasonResult};
use std::sync::{Arc, Mutex, PoisonError};

/// Seasons kept; two side by side, a few years back and forth, several tabs. About 1.5 MB each.
const MOST_KEPT: usize = 24;
/// Layers of a season at verdict accuracy: the second rung that a proof uses.
pub const LAYERS: usize = 48;

/// A season with its layers.
#[derive(Debug)]
pub struct Kept {
    /// Its case.
    pub case: Arc<CaseSpec>,
    /// What became of it.
    pub result: SeasonResult,
}

/// Seasons by token.
#[derive(Debug, Default)]
pub struct Seasons(Mutex<Vec<(String, Arc<Kept>)>>);

impl Seasons {
    /// A season by its token, while it is kept.
    pub fn get(&self, token: &str) -> Option<Arc<Kept>> {
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let place = kept.iter().position(|(key, _)| key == token)?;
        // The one asked for last stands last and goes last.
        let found = kept.remove(place);
        let season = Arc::clone(&found.1);
        kept.push(found);
        Some(season)
    }

    fn put(&self, token: String, season: Arc<Kept>) {
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        kept.retain(|(key, _)| *key != token);
        if kept.len() >= MOST_KEPT {
            kept.remove(0);
        }
        kept.push((token, season));
    }
}

/// The case of a year, or why there is none.
///
/// # Errors
/// When the weather has no complete season of that year.
pub fn case(bin: &BinJob, year: Option<i32>) -> Result<(i32, Arc<CaseSpec>), Problem> {
    let found = match year {
        Some(year) => bin.year(year).map(|case| (year, case)),
        None => bin.years.last().map(|(year, case)| (*year, case)),
    };
    if let Some((year, case)) = found {
        return Ok((year, Arc::clone(case)));
    }
    let wrong = advice::ready::no_such_year(bin, year);
    Err(Problem::of(StatusCode::UNPROCESSABLE_ENTITY, Diagnostic { at: Place::file("year"), ..wrong }))
}

/// A season on a number of layers, from what is kept or run now; with its token. `None` when the observer ended it.
pub fn season(
    app: &App,
    bin: &BinJob,
    (year, case): (i32, &CaseSpec),
    layers: usize,
    priority: Priority,
    observer: Arc<dyn Observer>,
) -> Option<(String, Arc<Kept>)> {
    let token = bin.identity(&format!("season {year} on {layers} layers"));
    if let Some(kept) = app.seasons.get(&token) {
        return Some((token, kept));
    }
    let case = Arc::new(on_rung(case, layers));
    let batch = Batch { cases: vec![Arc::clone(&case)], record: Record::Everything, priority, observer };
    let result = app.engine.run(batch).results.into_iter().next().flatten()?;
    let kept = Arc::new(Kept { case, result });
    app.seasons.put(token.clone(), Arc::clone(&kept));
    Some((token, kept))
}
