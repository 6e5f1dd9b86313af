//! What matters: one assumption changed at a time, the outfit kept, and what that does to its cost and to its chance of failure.

use super::answer::{Answer, Shown};
use super::breaks::{Breaks, breaks};
use super::field::Field;
use super::score::Score;
use super::shares::{Shares, shares};
use super::variant::{Variant, run, site_with};
use ensemble::{Engine, Observer};
use job::facts::{Amount, SiteFacts};
use job::{Base, Library, clock};
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

/// All that matters for the outfit worth buying.
#[derive(Debug, Clone, PartialEq)]
pub struct Mattering {
    /// One assumption changed at a time.
    pub effects: Vec<Effect>,
    /// Where the choice changes.
    pub breaks: Breaks,
    /// What each assumption brings to the variance; nothing where too few points resolve or it was cut short.
    pub shares: Option<Shares>,
    /// Whether it was cut short.
    pub partial: bool,
}

/// Looks at all of it; nothing where nothing was chosen.
pub fn mattering(
    engine: &Engine,
    site: (&Base, usize),
    library: &dyn Library,
    (field, answer): (&Field, &Answer),
    observer: &Arc<dyn Observer>,
) -> Option<Mattering> {
    let shown = &answer.outfits[answer.chosen?];
    let (effects, partial) = matters(engine, site, library, (field, shown), observer);
    let breaks = breaks(engine, site, library, (field, answer), observer);
    let partial = partial || breaks.partial;
    let shares = match partial {
        true => None,
        false => shares(engine, site, library, (field, shown), observer),
    };
    let partial = partial || shares.as_ref().is_some_and(|shares| shares.partial) || observer.cancelled();
    Some(Mattering { effects, breaks, shares, partial })
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
    let site = site_with(base, bin, field, &field.candidates[shown.candidate]);
    let (mut names, mut variants) = (Vec::new(), Vec::new());
    for (name, change) in changes(&site, bin, library) {
        let mut changed = site.clone();
        change(&mut changed);
        let Some(variant) = Variant::of(base, &changed, library) else { continue };
        names.push(name);
        variants.push((variant, shown));
    }
    let (scores, partial) = run(engine, &variants, observer);
    let share = |score: &Score| score.failures() as f64 / score.run().max(1) as f64;
    let mut effects: Vec<Effect> = names
        .into_iter()
        .zip(scores)
        .filter_map(|(name, score)| {
            let score = score?;
            Some(Effect {
                name,
                cost: score.cost(),
                cost_before: shown.score.cost(),
                failures: share(&score),
                failures_before: share(&shown.score),
            })
        })
        .collect();
    effects.sort_by(|a, b| {
        let moved = |e: &Effect| (e.cost - e.cost_before).abs();
        moved(b).total_cmp(&moved(a)).then(a.name.cmp(&b.name))
    });
    (effects, partial)
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
            Box::new(move |site| later(site, bin, days)),
        );
    }
    for factor in [0.8, 1.2] {
        add(&format!("depth × {factor}"), Box::new(move |site| deeper(site, bin, factor)));
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
            add(&format!("electricity × {factor}"), Box::new(move |site| electricity(site, factor)));
            add(&format!("fuel × {factor}"), Box::new(move |site| fuel(site, factor)));
            add(&format!("grain price × {factor}"), Box::new(move |site| grain(site, factor)));
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

/// All lots of a bin so many days later.
pub(super) fn later(site: &mut SiteFacts, bin: usize, days: i64) {
    let offset = site.place.utc_offset;
    for lot in &mut site.bins[bin].lots {
        lot.from = clock::month_day(clock::utc_hour(2001, lot.from, 0, offset) + 24 * days, offset);
    }
}

/// All lots of a bin so many times as large.
pub(super) fn deeper(site: &mut SiteFacts, bin: usize, factor: f64) {
    for lot in &mut site.bins[bin].lots {
        lot.amount = match lot.amount {
            Amount::WetMass(kg) => Amount::WetMass(kg * factor),
            Amount::Bushels(n) => Amount::Bushels(n * factor),
            Amount::Depth(m) => Amount::Depth(m * factor),
        };
    }
}

/// Electricity so many times as dear, in all slots.
pub(super) fn electricity(site: &mut SiteFacts, factor: f64) {
    if let Some(prices) = &mut site.prices {
        prices.electricity *= factor;
        prices.slots.iter_mut().for_each(|slot| slot.2 *= factor);
    }
}

/// Fuel so many times as dear.
pub(super) fn fuel(site: &mut SiteFacts, factor: f64) {
    if let Some(fuel) = site.prices.as_mut().and_then(|prices| prices.fuel.as_mut()) {
        *fuel *= factor;
    }
}

/// Grain so many times as dear; what spoiled grain brings follows the price of sound grain.
pub(super) fn grain(site: &mut SiteFacts, factor: f64) {
    if let Some(grain) = site.prices.as_mut().and_then(|prices| prices.costs.grain.as_mut()) {
        grain.money *= factor;
    }
    if let Some(spoiled) = site.goal.remedy.as_mut().and_then(|remedy| remedy.spoiled.as_mut()) {
        spoiled.money *= factor;
    }
}
