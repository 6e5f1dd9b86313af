//! An outfit under other assumptions: the site made otherwise, resolved, run in all its years and scored.

use super::answer::Shown;
use super::field::{Candidate, Field};
use super::score::{Score, YearScore};
use crate::money::Ledger;
use crate::proof::{Accuracy, on_rung};
use ensemble::{Batch, Engine, Observer, Priority};
use job::facts::SiteFacts;
use job::{Base, Library};
use season::{CaseSpec, Record};
use std::sync::Arc;

/// The site with an outfit in place of what stands there; bins behind it stay out.
pub(super) fn site_with(base: &Base, bin: usize, field: &Field, candidate: &Candidate) -> SiteFacts {
    let setting = field.setting(candidate);
    let mut site = base.facts().clone();
    site.bins.truncate(bin + 1);
    let there = &mut site.bins[bin];
    setting.filling.fill(there);
    there.outfit.fans.clone_from(&candidate.fans);
    there.outfit.arrangement = candidate.arrangement;
    there.outfit.burner.clone_from(&setting.burner);
    there.outfit.control = equipment::Control { fans: candidate.fans.len(), ..setting.control };
    there.outfit.stirring = setting.stirring;
    site
}

/// An outfit under assumptions of its own.
pub(super) struct Variant {
    cases: Vec<(i32, Arc<CaseSpec>)>,
    ledger: Option<Ledger>,
    /// Dry matter at the goal, t: the measure without prices.
    tonnes: f64,
    spread: bool,
}

impl Variant {
    /// The last bin of a site; nothing where it does not resolve or has no year.
    pub(super) fn of(base: &Base, site: &SiteFacts, library: &dyn Library) -> Option<Self> {
        let job = base.resolve_facts(site, library).ok()?;
        let bin = job.bins.last().filter(|bin| !bin.years.is_empty())?;
        let layers = Accuracy::Verdict.first_rung();
        Some(Self {
            cases: bin.years.iter().map(|(year, case)| (*year, Arc::new(on_rung(case, layers)))).collect(),
            ledger: job.prices.as_ref().map(|prices| Ledger::of(bin, prices, job.remedy.as_ref())),
            tonnes: bin.survey.dry_matter() * (1.0 + bin.template.programme.target) / 1000.0,
            spread: job.prices.as_ref().is_some_and(|prices| prices.costs.ownership.is_some()),
        })
    }
}

/// Runs variants together, each of an outfit; scores in their order, nothing for one that was cut short. The flag says whether any
/// was.
pub(super) fn run(
    engine: &Engine,
    variants: &[(Variant, &Shown)],
    observer: &Arc<dyn Observer>,
) -> (Vec<Option<Score>>, bool) {
    let cases: Vec<Arc<CaseSpec>> =
        variants.iter().flat_map(|(variant, _)| variant.cases.iter().map(|(_, case)| Arc::clone(case))).collect();
    let outcome = engine.run(Batch {
        cases,
        record: Record::Summary,
        priority: Priority::Background,
        observer: Arc::clone(observer),
    });
    let mut results = outcome.results.iter();
    let scores = variants
        .iter()
        .map(|(variant, shown)| {
            let ledger = variant.ledger.as_ref();
            let years: Vec<Option<YearScore>> = variant
                .cases
                .iter()
                .zip(results.by_ref())
                .map(|((year, case), result)| Some(YearScore::of(*year, case, result.as_ref()?, ledger)))
                .collect();
            let measure = match ledger {
                Some(ledger) if shown.bushels.is_some() => ledger.bushels()?,
                Some(ledger) => ledger.tonnes(),
                None => variant.tonnes,
            };
            let score = Score {
                owning: ledger.map_or(0.0, |ledger| ledger.owning(shown.first_cost.unwrap_or(0.0))),
                bought: ledger.is_none() || shown.first_cost.is_some_and(|cost| variant.spread || cost == 0.0),
                measure,
                years,
            };
            score.complete().then_some(score)
        })
        .collect();
    (scores, outcome.cancelled)
}
