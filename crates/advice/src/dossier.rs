//! Everything that the papers of a bin rest on, worked out in one go: the air at every fill, all years, what the model leaves open,
//! the year worth a look, heat and power, the weighing and the limits, what a commissioning should read.

use crate::air::{self, BinAir};
use crate::commission::{ExpectedTable, expected_table};
use crate::heat::{self, SiteHeat};
use crate::limit::{self, Asked, Map};
use crate::proof::{Accuracy, Proof, ProofInput, YearResult, on_rung};
use crate::range::{ModelRange, model_range};
use crate::verdict::Verdict;
use crate::weigh::{self, Answer, Asking, Field, Rules};
use ensemble::{Batch, Engine, Observer, Priority};
use job::{Base, BinJob, Job, Library};
use notice::Diagnostics;
use season::{Record, SeasonResult};
use std::sync::Arc;

/// The year worth a look.
#[derive(Debug, Clone)]
pub struct Shown {
    /// Calendar year of its first load.
    pub year: i32,
    /// Why this one.
    pub why: &'static str,
    /// The season with its layers.
    pub result: SeasonResult,
}

/// What the papers of a bin rest on.
#[derive(Debug, Clone)]
pub struct Dossier {
    /// Working points at every fill.
    pub air: BinAir,
    /// All years, day by day.
    pub proof: Proof,
    /// What the model leaves open; none when it was cut short.
    pub range: Option<ModelRange>,
    /// The year worth a look.
    pub season: Option<Shown>,
    /// Heat, power and sound of the site.
    pub heat: SiteHeat,
    /// What was weighed, where the site says what may be chosen.
    pub weighed: Option<Answer>,
    /// Largest depth by moisture and day, where it was asked.
    pub limit: Option<Map>,
    /// What a commissioning should read.
    pub expected: ExpectedTable,
}

/// Which of the long answers are wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Wanted {
    /// Weigh what may be chosen, where the site says so.
    pub weighing: bool,
    /// The map of depth by moisture and day.
    pub limits: bool,
}

impl Dossier {
    /// Whether a long answer that is wanted is not there yet.
    pub fn lacks(&self, bin: &BinJob, wanted: Wanted) -> bool {
        (wanted.weighing && bin.choose.is_some() && self.weighed.is_none()) || (wanted.limits && self.limit.is_none())
    }

    /// Works out what is wanted and not there.
    ///
    /// # Errors
    /// When the choice of the site cannot be resolved.
    pub fn add(
        &mut self,
        engine: &Engine,
        (base, number): (&Base, usize),
        library: &dyn Library,
        wanted: Wanted,
        watch: &dyn Fn(&str) -> Arc<dyn Observer>,
    ) -> Result<(), Diagnostics> {
        let job: &Job = base.job();
        if self.proof.partial {
            return Ok(());
        }
        if wanted.weighing && job.bins[number].choose.is_some() && self.weighed.is_none() {
            let field = Field::of(base, number, library)?;
            let observer = watch("weighing");
            let answer = weigh::weigh(engine, job, &field, &Asking::quietly(Rules::Probable, &observer));
            self.proof.partial |= answer.partial;
            self.weighed = Some(answer);
        }
        if wanted.limits && self.limit.is_none() && !self.proof.partial {
            let map = limit::map(engine, base, number, library, (Asked::Moisture, true), &watch("limits"));
            self.proof.partial |= map.partial;
            self.limit = Some(map);
        }
        Ok(())
    }
}

/// Works out the dossier of a bin of a site; `watch` gives an observer for each part by its name.
///
/// # Errors
/// When the choice of the site cannot be resolved.
pub fn gather(
    engine: &Engine,
    base: &Base,
    number: usize,
    library: &dyn Library,
    wanted: Wanted,
    watch: &dyn Fn(&str) -> Arc<dyn Observer>,
) -> Result<Dossier, Diagnostics> {
    let job: &Job = base.job();
    let bin = &job.bins[number];
    let input = ProofInput::of(bin, job.chance);
    let mut proof = crate::prove(engine, &input, Accuracy::Verdict, Record::Daily, Priority::Ordinary, &watch("years"));
    let mut range = None;
    if !proof.partial && !input.years.is_empty() {
        let found = model_range(engine, &input, &bin.uncertainty, &watch("model range"));
        proof.partial |= found.partial;
        range = (!found.partial).then_some(found);
    }
    let whole = !proof.partial;
    let season = if whole { worth_a_look(engine, bin, &proof) } else { None };
    let mut dossier = Dossier {
        air: air::fills(bin, job.place.elevation),
        season,
        heat: heat::of_site(job),
        weighed: None,
        limit: None,
        expected: expected_table(job, bin),
        proof,
        range,
    };
    dossier.add(engine, (base, number), library, wanted, watch)?;
    Ok(dossier)
}

/// The year worth a look: the failed one that used most storage life, else simply that year.
pub fn worth_a_look(engine: &Engine, bin: &BinJob, proof: &Proof) -> Option<Shown> {
    let key = |y: &YearResult| (matches!(y.verdict, Verdict::Failed(_)), y.result.life_strict.unwrap_or(0.0));
    let worst = proof.years.iter().max_by(|a, b| {
        let (x, y) = (key(a), key(b));
        x.0.cmp(&y.0).then(x.1.total_cmp(&y.1))
    })?;
    let case = Arc::new(on_rung(bin.year(worst.year)?, worst.layers.max(Accuracy::Verdict.first_rung())));
    let outcome = engine.run(Batch {
        cases: vec![case],
        record: Record::Profiles,
        priority: Priority::Ordinary,
        observer: Arc::new(ensemble::Silent),
    });
    let result = outcome.results.into_iter().next().flatten()?;
    let why =
        if worst.verdict.good() { "the year that used most storage life" } else { "the worst of the failed years" };
    Some(Shown { year: worst.year, why, result })
}
