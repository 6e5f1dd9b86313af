//! Where the choice changes: at which moisture, day or price another outfit would be the one to buy.
//!
//! Moistures and days are run, all years at each step, for the outfits nearest the choice; between two steps the place is read off
//! linearly, and the steps are said. Prices need no season: costs are linear in them and no year ends otherwise, so that place is
//! exact among the outfits that ran all years. Who fell out of the race earlier is not looked at again.

use super::answer::{Answer, Shown};
use super::field::Field;
use super::matters::later;
use super::score::Score;
use super::settle::best;
use super::variant::{Variant, run, site_with};
use ensemble::{Engine, Observer};
use job::facts::Prices;
use job::{Base, Library};
use std::sync::Arc;

/// Outfits that are run at other moistures and days: the choice, the front, those as good, then the cheapest.
const MOST_OUTFITS: usize = 6;
/// Steps of moisture from what the file says, fraction w.b.
const MOISTURES: [f64; 6] = [-0.03, -0.02, -0.01, 0.01, 0.02, 0.03];
/// Steps of the day, days.
const DAYS: [i64; 4] = [-20, -10, 10, 20];
/// Farthest price that is looked at, times that of the site.
const FARTHEST: f64 = 10.0;

/// What is changed until the choice changes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Axis {
    /// Moisture of the lots, fraction w.b. more than in the file.
    Moisture,
    /// First day of filling, days later than in the file.
    Day,
    /// Price of electricity, times that of the site.
    Electricity,
    /// Price of fuel, times that of the site.
    Fuel,
    /// First cost of the choice, times that of the site.
    FirstCost,
}

/// Why another outfit takes the place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Because {
    /// It is cheaper from there on.
    Cheaper,
    /// The one before fails too often from there on.
    Surer,
}

/// A place at which the choice changes.
#[derive(Debug, Clone, PartialEq)]
pub struct Break {
    /// Along what.
    pub axis: Axis,
    /// The step before, at which the choice was still the one it was; the same as [`Self::at`] where the place is exact.
    pub from: f64,
    /// The first step with another choice.
    pub to: f64,
    /// The place, linear between the two.
    pub at: f64,
    /// What the axis has in the site: moisture w.b., money per J, per kg or whole; nothing for days.
    pub now: f64,
    /// Place of the outfit that takes over, in the answer; nothing where every one of those run fails in all years.
    pub then: Option<usize>,
    /// Why.
    pub because: Because,
}

/// What was looked at.
#[derive(Debug, Clone, PartialEq)]
pub struct Breaks {
    /// Places at which the choice changes.
    pub found: Vec<Break>,
    /// Axes along which it does not, as far as was looked: lowest and highest.
    pub stays: Vec<(Axis, f64, f64)>,
    /// Outfits run at other moistures and days.
    pub outfits: usize,
    /// Whether it was cut short.
    pub partial: bool,
}

/// Looks for the places at which the choice changes.
pub fn breaks(
    engine: &Engine,
    (base, bin): (&Base, usize),
    library: &dyn Library,
    (field, answer): (&Field, &Answer),
    observer: &Arc<dyn Observer>,
) -> Breaks {
    let mut all = Breaks { found: Vec::new(), stays: Vec::new(), outfits: 0, partial: false };
    let Some(chosen) = answer.chosen else { return all };
    let places = nearest(answer, chosen);
    all.outfits = places.len();
    let moisture = base.job().bins[bin].survey.moisture();
    let axes: [(Axis, Vec<f64>, f64); 2] = [
        (Axis::Moisture, MOISTURES.to_vec(), moisture),
        (Axis::Day, DAYS.iter().map(|days| *days as f64).collect(), 0.0),
    ];
    let (mut variants, mut of) = (Vec::new(), Vec::new());
    for (axis, steps, _) in &axes {
        for &step in steps {
            for &place in &places {
                let shown = &answer.outfits[place];
                let mut site = site_with(base, bin, field, &field.candidates[shown.candidate]);
                match axis {
                    Axis::Moisture => site.bins[bin].lots.iter_mut().for_each(|lot| lot.moisture += step),
                    _ => later(&mut site, bin, step as i64),
                }
                let Some(variant) = Variant::of(base, &site, library) else { continue };
                of.push((*axis, step, place));
                variants.push((variant, shown));
            }
        }
    }
    let (scores, partial) = run(engine, &variants, observer);
    all.partial = partial;
    if !partial {
        for (axis, steps, now) in &axes {
            // Who of those run at a step is the choice there; the step of the file is the answer itself.
            let at = |step: f64| -> Vec<(usize, &Score)> {
                if step == 0.0 {
                    return places.iter().map(|&place| (place, &answer.outfits[place].score)).collect();
                }
                let known = of.iter().zip(&scores).filter(|((a, s, _), _)| a == axis && *s == step);
                known.filter_map(|((_, _, place), score)| Some((*place, score.as_ref()?))).collect()
            };
            for side in [-1.0, 1.0] {
                let mut there: Vec<f64> = steps.iter().copied().filter(|step| step * side > 0.0).collect();
                there.sort_by(|a, b| a.abs().total_cmp(&b.abs()));
                all.along(answer, (*axis, *now), chosen, &there, &at);
            }
        }
    }
    if let Some(prices) = &base.job().prices {
        all.prices(answer, chosen, prices);
    }
    all
}

impl Breaks {
    /// Goes from the file's value to one side, step by step, until the choice is another.
    fn along<'s>(
        &mut self,
        answer: &Answer,
        (axis, now): (Axis, f64),
        chosen: usize,
        steps: &[f64],
        at: &dyn Fn(f64) -> Vec<(usize, &'s Score)>,
    ) {
        let mut before = 0.0;
        for &step in steps {
            let here = at(step);
            let Some(kept) = here.iter().find(|(place, _)| *place == chosen).map(|(_, score)| *score) else { break };
            let hopeful: Vec<(usize, &Score)> = here.iter().copied().filter(|(_, score)| !score.hopeless()).collect();
            let years: Vec<usize> = (0..kept.years.len()).collect();
            let then = best(&hopeful, &years, answer.wanted);
            if then == Some(chosen) {
                before = step;
                continue;
            }
            let earlier = at(before);
            let of = |list: &[(usize, &Score)], place: usize| {
                let score = list.iter().find(|(other, _)| *other == place)?.1;
                Some((score.cost(), score.failures() as f64 / score.run().max(1) as f64))
            };
            let pair = |place: usize| Some((of(&earlier, place)?, of(&here, place)?));
            let (mine, theirs) = (pair(chosen), then.and_then(pair));
            let fails_too_often = mine.is_some_and(|(_, (_, failed))| failed > 1.0 - answer.wanted + 1e-9)
                && theirs.is_none_or(|(_, (_, failed))| mine.is_some_and(|(_, (_, own))| failed < own));
            let share = match (fails_too_often, mine, theirs) {
                (true, Some(((_, a), (_, b))), _) if b > a => ((1.0 - answer.wanted - a) / (b - a)).clamp(0.0, 1.0),
                (false, Some(((a, _), (b, _))), Some(((c, _), (d, _)))) if (c - a) * (d - b) < 0.0 => {
                    (c - a) / ((c - a) - (d - b))
                }
                _ => 0.5,
            };
            self.found.push(Break {
                axis,
                from: before,
                to: step,
                at: before + share * (step - before),
                now,
                then,
                because: if fails_too_often { Because::Surer } else { Because::Cheaper },
            });
            return;
        }
        let (low, high) = if before < 0.0 { (before, 0.0) } else { (0.0, before) };
        match self.stays.iter_mut().find(|(other, ..)| *other == axis) {
            Some(known) => (known.1, known.2) = (known.1.min(low), known.2.max(high)),
            None => self.stays.push((axis, low, high)),
        }
    }

    /// Prices, exactly, among the outfits that ran all years and fail no oftener than the choice may.
    fn prices(&mut self, answer: &Answer, chosen: usize, prices: &Prices) {
        let of = &answer.outfits[chosen];
        let years = answer.years.len() as f64;
        let allowed = ((1.0 - answer.wanted) * years + 1e-9).floor() as usize;
        let most = allowed.max(of.score.failures());
        let rivals: Vec<usize> = (0..answer.outfits.len())
            .filter(|&place| {
                let shown = &answer.outfits[place];
                place != chosen && shown.score.complete() && !shown.unpriced && shown.score.failures() <= most
            })
            .collect();
        if of.unpriced {
            return;
        }
        let axes = [
            (Axis::Electricity, prices.electricity),
            (Axis::Fuel, prices.fuel.unwrap_or(0.0)),
            (Axis::FirstCost, of.first_cost.unwrap_or(0.0)),
        ];
        for (axis, now) in axes {
            if now <= 0.0 {
                continue;
            }
            let slope = |shown: &Shown, place: usize| part(shown, axis, place == chosen);
            let (cost, mine) = (of.score.cost(), slope(of, chosen));
            // The nearest factor on each side at which a rival is level.
            let crossings = rivals.iter().filter_map(|&place| {
                let shown = &answer.outfits[place];
                let (other, gap) = (slope(shown, place), shown.score.cost() - cost);
                let factor = 1.0 + gap / (mine - other);
                (factor.is_finite() && factor > 0.0 && factor <= FARTHEST).then_some((factor, place))
            });
            let list: Vec<(f64, usize)> = crossings.collect();
            let up = list.iter().filter(|(f, _)| *f > 1.0).min_by(|a, b| a.0.total_cmp(&b.0));
            let down = list.iter().filter(|(f, _)| *f < 1.0).max_by(|a, b| a.0.total_cmp(&b.0));
            for (factor, place) in [down, up].into_iter().flatten() {
                let (at, then, because) = (*factor, Some(*place), Because::Cheaper);
                self.found.push(Break { axis, from: at, to: at, at, now, then, because });
            }
            if up.is_none() && down.is_none() {
                self.stays.push((axis, 0.0, FARTHEST));
            }
        }
    }
}

/// The part of an outfit's cost that goes with a price, money for the measure.
fn part(shown: &Shown, axis: Axis, chosen: bool) -> f64 {
    let score = &shown.score;
    let years = || score.years.iter().flatten().filter_map(|year| year.cost.as_ref());
    let of = years().count().max(1) as f64;
    let mean = match axis {
        Axis::Electricity => years().map(|cost| cost.electricity).sum::<f64>() / of,
        Axis::Fuel => years().map(|cost| cost.fuel.unwrap_or(0.0)).sum::<f64>() / of,
        Axis::FirstCost if chosen => score.owning,
        Axis::FirstCost | Axis::Moisture | Axis::Day => 0.0,
    };
    mean / score.measure
}

/// The outfits that are run elsewhere: the choice first.
fn nearest(answer: &Answer, chosen: usize) -> Vec<usize> {
    let mut rest: Vec<usize> = (0..answer.outfits.len())
        .filter(|&place| answer.outfits[place].score.complete() && !answer.outfits[place].score.hopeless())
        .collect();
    rest.sort_by(|&a, &b| answer.outfits[a].score.cost().total_cmp(&answer.outfits[b].score.cost()).then(a.cmp(&b)));
    let mut places = vec![chosen];
    for place in answer.front.iter().chain(&answer.equal).chain(&rest) {
        if !places.contains(place) && places.len() < MOST_OUTFITS {
            places.push(*place);
        }
    }
    places
}
