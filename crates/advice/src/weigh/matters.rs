//! What matters: one assumption changed at a time, the outfit kept, and what that does to its cost and to its chance of failure.

use super::answer::Shown;
use super::field::Field;
use super::score::YearScore;
use crate::money::Ledger;
use crate::proof::{Accuracy, on_rung};
use ensemble::{Batch, Engine, Observer, Priority};
use job::facts::{Amount, SiteFacts};
use job::{Base, Library, clock};
use season::{CaseSpec, Record};
use std::sync::Arc;

/// One assumption at another value.
#[derive(Debug, Clone, PartialEq)]
pub struct Effect {
    /// What was changed.
    pub name: String,
    /// Cost for a measure of grain then.
    pub cost: f64,
    /// Cost as assumed.
    pub cost_before: f64,
    /// Share of years failed then.
    pub failures: f64,
    /// Share of years failed as assumed.
    pub failures_before: f64,
}

type Change = (String, Box<dyn Fn(&mut SiteFacts)>);

/// Changes one assumption at a time for an outfit that has run all years. Ranked: the largest change of cost first. Changes that do
/// not resolve (a lot that no longer fits) are left out. The flag says whether it was cut short.
pub fn matters(
    engine: &Engine,
    (base, bin): (&Base, usize),
    library: &dyn Library,
    (field, shown): (&Field, &Shown),
    observer: &Arc<dyn Observer>,
) -> (Vec<Effect>, bool) {
    let candidate = &field.candidates[shown.candidate];
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
    let layers = Accuracy::Verdict.first_rung();
    let mut cases: Vec<Arc<CaseSpec>> = Vec::new();
    let mut kept = Vec::new();
    for (name, change) in changes(&site, bin, library) {
        let mut changed = site.clone();
        change(&mut changed);
        let Some(job) = base.resolve_facts(&changed, library).ok() else { continue };
        let Some(resolved) = job.bins.last().filter(|resolved| !resolved.years.is_empty()) else { continue };
        let ledger = job.prices.as_ref().map(|prices| Ledger::of(resolved, prices, job.remedy.as_ref()));
        let from = cases.len();
        cases.extend(resolved.years.iter().map(|(_, case)| Arc::new(on_rung(case, layers))));
        let years: Vec<i32> = resolved.years.iter().map(|(year, _)| *year).collect();
        let tonnes = resolved.survey.dry_matter() * (1.0 + resolved.template.programme.target) / 1000.0;
        kept.push((name, from, years, ledger, tonnes));
    }
    let outcome = engine.run(Batch {
        cases: cases.clone(),
        record: Record::Summary,
        priority: Priority::Background,
        observer: Arc::clone(observer),
    });
    let per_bushel = shown.bushels.is_some();
    let before = shown.score.failures() as f64 / shown.score.run().max(1) as f64;
    let mut effects: Vec<Effect> = kept
        .into_iter()
        .filter_map(|(name, from, years, ledger, tonnes)| {
            let scores: Option<Vec<YearScore>> = years
                .iter()
                .enumerate()
                .map(|(k, year)| {
                    let result = outcome.results[from + k].as_ref()?;
                    Some(YearScore::of(*year, &cases[from + k], result, ledger.as_ref()))
                })
                .collect();
            let scores = scores?;
            let of = scores.len() as f64;
            let running = scores.iter().map(YearScore::running).sum::<f64>() / of;
            let owning = ledger.as_ref().map_or(0.0, |ledger| ledger.owning(shown.first_cost.unwrap_or(0.0)));
            let measure = match &ledger {
                Some(ledger) if per_bushel => ledger.bushels()?,
                Some(ledger) => ledger.tonnes(),
                None => tonnes,
            };
            Some(Effect {
                name,
                cost: (owning + running) / measure,
                cost_before: shown.score.cost(),
                failures: scores.iter().filter(|year| year.failed()).count() as f64 / of,
                failures_before: before,
            })
        })
        .collect();
    effects.sort_by(|a, b| {
        let moved = |e: &Effect| (e.cost - e.cost_before).abs();
        moved(b).total_cmp(&moved(a)).then(a.name.cmp(&b.name))
    });
    (effects, outcome.cancelled)
}

/// The changes: steps that a season brings by itself (judgement), and the other published moisture sets.
fn changes(site: &SiteFacts, bin: usize, library: &dyn Library) -> Vec<Change> {
    let mut list: Vec<Change> = Vec::new();
    let mut add = |name: &str, change: Box<dyn Fn(&mut SiteFacts)>| list.push((name.to_string(), change));
    for points in [-0.02, 0.02] {
        add(
            &format!("grain {:.0} points {}", 100.0 * f64::abs(points), if points > 0.0 { "wetter" } else { "drier" }),
            Box::new(move |site| site.bins[bin].lots.iter_mut().for_each(|lot| lot.moisture += points)),
        );
    }
    for days in [-10, 10] {
        add(
            &format!("harvest 10 days {}", if days > 0 { "later" } else { "earlier" }),
            Box::new(move |site| {
                let offset = site.place.utc_offset;
                for lot in &mut site.bins[bin].lots {
                    lot.from = clock::month_day(clock::utc_hour(2001, lot.from, 0, offset) + 24 * days, offset);
                }
            }),
        );
    }
    for factor in [0.8, 1.2] {
        add(
            &format!("depth × {factor}"),
            Box::new(move |site| {
                for lot in &mut site.bins[bin].lots {
                    lot.amount = match lot.amount {
                        Amount::WetMass(kg) => Amount::WetMass(kg * factor),
                        Amount::Bushels(n) => Amount::Bushels(n * factor),
                        Amount::Depth(m) => Amount::Depth(m * factor),
                    };
                }
            }),
        );
    }
    let packing = site.bins[bin].packing;
    if let Some(packing) = packing {
        for factor in [0.8, 1.25] {
            add(
                &format!("resistance × {factor}"),
                Box::new(move |site| site.bins[bin].packing = Some(packing * factor)),
            );
        }
    }
    add("5 % fines more", Box::new(move |site| site.bins[bin].fines += 0.05));
    add("even air", Box::new(move |site| site.bins[bin].filling = job::facts::Filling::Uniform));
    add("filled from the spout, not cored", Box::new(move |site| site.bins[bin].filling = job::facts::Filling::Spout));
    if site.prices.is_some() {
        for factor in [0.7, 1.3] {
            add(
                &format!("electricity × {factor}"),
                Box::new(move |site| {
                    if let Some(prices) = &mut site.prices {
                        prices.electricity *= factor;
                        prices.slots.iter_mut().for_each(|slot| slot.2 *= factor);
                    }
                }),
            );
            add(
                &format!("fuel × {factor}"),
                Box::new(move |site| {
                    if let Some(fuel) = site.prices.as_mut().and_then(|prices| prices.fuel.as_mut()) {
                        *fuel *= factor;
                    }
                }),
            );
            add(
                &format!("grain price × {factor}"),
                Box::new(move |site| {
                    if let Some(grain) = site.prices.as_mut().and_then(|prices| prices.costs.grain.as_mut()) {
                        grain.money *= factor;
                    }
                }),
            );
        }
    }
    let lot = &site.bins[bin].lots[0];
    if let Ok((crop, _)) = library.crops().find(&lot.crop) {
        let used = crop.isotherm(lot.relation.as_deref()).map(|set| set.id.clone()).unwrap_or_default();
        for set in crop.isotherms.iter().filter(|set| set.id != used) {
            let id = set.id.clone();
            list.push((
                format!("moisture set {id}"),
                Box::new(move |site| {
                    site.bins[bin].lots.iter_mut().for_each(|lot| lot.relation = Some(id.clone()));
                }),
            ));
        }
    }
    list
}
