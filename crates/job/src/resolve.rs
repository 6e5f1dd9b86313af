//! From a site in SI to cases: which grain, which air system, which hours of which years.

mod air;
mod grain;
mod sources;
mod uncertainty;

use crate::clock;
use crate::facts::{BinFacts, Filling, LotFacts, SiteFacts};
use crate::job::{BinJob, Job};
use crate::loads;
use crate::records::ReadyRecord;
use crate::survey::{Survey, survey};
use crops::{Crop, Library as Crops, Need};
use equipment::AirMap;
use notice::{Diagnostic, Diagnostics, Kind, Phrase, Place, Quantity, Remark, Remarks};
use physics::grain::dry_basis;
use season::{BinSpec, CaseSpec, Programme};
use std::collections::BTreeMap;
use std::sync::Arc;
use weather::Series;

/// Least depth of the first lot, m: half a foot, below which a bed does not hold the air evenly (judgement).
const LEAST_DEPTH: f64 = 0.15;
/// Least depth of a lot on top of another, m: less is lost in a layer (judgement).
const LEAST_ADDED: f64 = 0.01;

/// Places of fields, for diagnostics: field path to place in the text.
pub type Places = BTreeMap<String, Place>;

/// Resolves a site against its weather and the crops.
///
/// # Errors
/// Everything that does not fit, at once: lots larger than the bin, crops without a needed relation, mixed crops in one
/// bin, a goal that comes before the harvest.
pub fn resolve(
    facts: &SiteFacts,
    places: &Places,
    series: &Series,
    crops: &Crops,
    file: &str,
) -> Result<Job, Diagnostics> {
    resolve_on(facts, places, &ReadyRecord::new(series.clone(), facts.place.elevation), crops, file)
}

/// The same against a record made ready before.
///
/// # Errors
/// As [`resolve`].
pub(crate) fn resolve_on(
    facts: &SiteFacts,
    places: &Places,
    record: &ReadyRecord,
    crops: &Crops,
    file: &str,
) -> Result<Job, Diagnostics> {
    let mut wrong = Diagnostics::default();
    let mut bins = Vec::new();
    let series = &record.series;
    let site = Site { facts, places, record, crops, file };
    for (index, bin) in facts.bins.iter().enumerate() {
        if let Some(bin) = site.bin(index, bin, &mut wrong) {
            bins.push(bin);
        }
    }
    if wrong.stop() {
        return Err(wrong);
    }
    Ok(Job {
        name: facts.name.clone(),
        place: facts.place.clone(),
        prices: facts.prices.clone(),
        chance: facts.goal.chance,
        weather_name: series.name.clone(),
        weather_place: site.at("place.weather".into()),
        weather_origin: weather::origin(series),
        typical: series.kind == weather::Kind::Typical,
        bins,
        warnings: wrong,
    })
}

/// Years with their cases.
type Years = Vec<(i32, Arc<CaseSpec>)>;
/// Years left out, with the reason.
type LeftOut = Vec<(i32, String)>;

struct Site<'a> {
    facts: &'a SiteFacts,
    places: &'a Places,
    record: &'a ReadyRecord,
    crops: &'a Crops,
    file: &'a str,
}

impl Site<'_> {
    /// Place of a field: its own line when the reader kept one, the file otherwise.
    fn at(&self, field: String) -> Place {
        self.places.get(&field).cloned().unwrap_or(Place {
            file: self.file.into(),
            line: None,
            column: None,
            field: Some(field),
        })
    }

    fn bin(&self, index: usize, bin: &BinFacts, wrong: &mut Diagnostics) -> Option<BinJob> {
        let path = format!("bins.{}", bin.name);
        let mut remarks = Remarks::default();
        let mut crop: Option<&Crop> = None;
        for (k, lot) in bin.lots.iter().enumerate() {
            let field = format!("{path}.lots[{k}].crop");
            match self.crops.find(&lot.crop) {
                Ok((found, remark)) => {
                    remark.into_iter().for_each(|r| remarks.add(r));
                    if let Some(first) = crop.filter(|first| first.id != found.id) {
                        wrong.add(
                            Diagnostic::error(
                                "mixed-crops",
                                format!("{} on top of {} in one bin", found.id, first.id),
                                self.at(field),
                            )
                            .help("give each crop a bin of its own"),
                        );
                        return None;
                    }
                    crop = Some(found);
                }
                Err(diagnostic) => {
                    wrong.add(Diagnostic { at: self.at(field), ..*diagnostic });
                    return None;
                }
            }
        }
        let Some(crop) = crop else {
            wrong.add(
                Diagnostic::error("no-lot", format!("bin {} without a lot", bin.name), self.at(format!("{path}.lots")))
                    .help(format!("add a table [[{path}.lots]] with crop, quantity, moisture and from")),
            );
            return None;
        };
        let surveyed = survey(bin, &|lot: &LotFacts| self.crops.find(&lot.crop).ok().map(|(c, _)| c.clone()));
        let surveyed = match surveyed {
            Ok(surveyed) => surveyed,
            Err(missing) => {
                wrong.add(missing.diagnostic(self.at(format!("{path}.lots[0].crop"))));
                return None;
            }
        };
        if let Err(diagnostic) = self.fits(bin, &surveyed, &mut remarks) {
            wrong.add(*diagnostic);
            return None;
        }
        let needs = [Need::Equilibrium, Need::Resistance, Need::Kinetics, Need::Heat];
        crop.remarks(&needs).into_iter().for_each(|r| remarks.add(r));
        match self.cases(index, bin, crop, &surveyed, remarks, wrong) {
            Ok(job) => job,
            Err(missing) => {
                wrong.add(missing.diagnostic(self.at(format!("{path}.lots[0].crop"))));
                None
            }
        }
    }

    /// The place where a lot says how much it is.
    fn quantity_of(&self, bin: &BinFacts, lot: usize) -> Place {
        let lot = format!("bins.{}.lots[{lot}]", bin.name);
        let keys = ["quantity", "depth"].map(|key| format!("{lot}.{key}"));
        self.at(keys.into_iter().find(|field| self.places.contains_key(field)).unwrap_or(lot))
    }

    /// Whether the lots fit: level to the eave, and under the cone of the crop's repose where nobody levelled the top.
    ///
    /// Heaped grain is modelled as a level bed of its volume, and that is remarked.
    fn fits(&self, bin: &BinFacts, surveyed: &Survey, remarks: &mut Remarks) -> Result<(), Box<Diagnostic>> {
        // A film of grain has air without end; nothing said of it would mean anything.
        let mut before = 0.0;
        for (k, lot) in surveyed.lots.iter().enumerate() {
            let depth = lot.depth_after - before;
            before = lot.depth_after;
            let least = if k == 0 { LEAST_DEPTH } else { LEAST_ADDED };
            if depth >= least {
                continue;
            }
            let both = |m: f64| {
                let show = |system| Quantity::new(m, Kind::SmallLength).show(system);
                format!("{} ({})", show(notice::UnitSystem::Us), show(notice::UnitSystem::Si))
            };
            return Err(Box::new(
                Diagnostic::error(
                    "lot-too-small",
                    format!("lot {} of bin {} lies {} deep", k + 1, bin.name, both(depth)),
                    self.quantity_of(bin, k),
                )
                .allowed(format!("must be {} or more", both(least)))
                .help("check the quantity and its unit, and the diameter of the bin"),
            ));
        }
        let heap = if bin.filling == Filling::Spout { surveyed.cone_volume.unwrap_or(0.0) } else { 0.0 };
        let (volume, level) = (surveyed.volume(), surveyed.volume_to_eave);
        if volume <= level * (1.0 + 1e-9) {
            return Ok(());
        }
        if volume <= level + heap {
            remarks.add(Remark::new(
                "heaped",
                Phrase::new(
                    "{heap} lie heaped above the eave: counted as a level bed of the same volume, {depth} deep",
                )
                .with("heap", Quantity::new(volume - level, Kind::GrainVolume))
                .with("depth", Quantity::new(surveyed.depth(), Kind::Length)),
            ));
            return Ok(());
        }
        let shown = |m3: f64| {
            let bushels = Quantity::new(m3, Kind::GrainVolume).show(notice::UnitSystem::Us);
            format!("{bushels} ({m3:.1} m³)")
        };
        let heaped = if heap > 0.0 { format!(" and {} under a cone above it", shown(heap)) } else { String::new() };
        let at = self.quantity_of(bin, bin.lots.len().saturating_sub(1));
        let found = format!("lots of {} in bin {}", shown(volume), bin.name);
        Err(Box::new(
            Diagnostic::error("lot-too-large", found, at)
                .allowed(format!("the bin holds {} level to the eave{heaped}", shown(level)))
                .help("put less in, or raise the eave"),
        ))
    }

    fn cases(
        &self,
        index: usize,
        bin: &BinFacts,
        crop: &Crop,
        surveyed: &Survey,
        mut remarks: Remarks,
        wrong: &mut Diagnostics,
    ) -> Result<Option<BinJob>, crops::MissingCapability> {
        let path = format!("bins.{}", bin.name);
        let wet = surveyed.wet_mass();
        let moisture_wb = surveyed.lots.iter().map(|l| l.moisture * l.wet_mass).sum::<f64>() / wet;
        let goal = &self.facts.goal;
        let target = dry_basis(goal.mean_moisture);
        if goal.mean_moisture >= moisture_wb {
            wrong.add(
                Diagnostic::error(
                    "already-dry",
                    format!(
                        "lots at {:.1} % w.b. for a goal of {:.1} %",
                        100.0 * moisture_wb,
                        100.0 * goal.mean_moisture
                    ),
                    self.at(format!("{path}.lots[0].moisture")),
                )
                .as_warning()
                .help("nothing has to be dried: the season only cools and holds"),
            );
        }
        let grain::Grain { spec: grain, set, row, other_kernels } =
            grain::of(crop, bin, surveyed, (moisture_wb, target), &mut remarks)?;
        let (porosity, remark) = crop.porosity();
        remark.into_iter().for_each(|r| remarks.add(r));
        let Some(system) = self.air_system(bin, porosity, surveyed.floor_area, wrong) else { return Ok(None) };
        let map = AirMap::new(&system, grain.resistance, Some(row.velocity));
        let columns = air::shares(bin.filling, &mut remarks);
        remarks.add(Remark::new(
            "same-lot",
            Phrase::new("the same lot, on the same days at the same moisture, meets the weather of every year"),
        ));
        let template = CaseSpec {
            bin: BinSpec { diameter: bin.diameter, floor_area: surveyed.floor_area, columns },
            grain,
            loads: Arc::new(Vec::new()),
            system: Arc::new(system),
            air: Arc::new(map),
            burner: bin.outfit.burner.clone(),
            control: bin.outfit.control,
            programme: Programme {
                target,
                wettest_excess: dry_basis(goal.mean_moisture + goal.wettest_excess) - target,
                life_allowed: goal.life_allowed,
                cool_to: goal.cool_to,
                by: 0,
                carry_over: goal.carry_over,
                hold_until: 0,
            },
            weather: Arc::default(),
            tick_seconds: if air::hot(bin) { 900.0 } else { 3600.0 },
        };
        let (years, left_out) = self.years(index, bin, surveyed, &template, wrong);
        Ok(Some(BinJob {
            name: bin.name.clone(),
            crop_id: crop.id.clone(),
            crop_name: crop.name.clone(),
            relation: set.id.clone(),
            packing: template.grain.resistance.multiplier,
            velocity_range: Some(row.velocity),
            invented: bin.outfit.fans.iter().any(|f| f.origin == equipment::Origin::Invented)
                || bin.outfit.burner.as_ref().is_some_and(|b| b.invented),
            judges: crop.storage.strict.iter().map(|r| r.judges.clone()).collect(),
            sources: sources::of(crop, set, row),
            filling: bin.filling,
            survey: surveyed.clone(),
            template: Arc::new(template),
            years,
            left_out,
            uncertainty: uncertainty::of(crop, set, bin.filling, target, other_kernels),
            remarks,
        }))
    }

    /// One case for each year whose weather is complete, and the years that are not, with the reason.
    fn years(
        &self,
        index: usize,
        bin: &BinFacts,
        surveyed: &Survey,
        template: &CaseSpec,
        wrong: &mut Diagnostics,
    ) -> (Years, LeftOut) {
        let offset = self.facts.place.utc_offset;
        let (mut years, mut left_out) = (Vec::new(), Vec::new());
        let mut said = false;
        for year in self.record.series.years() {
            let loads = loads::of(index, bin, surveyed, year, offset);
            let Some(first) = loads.first().map(|l| l.hour) else { continue };
            let last = loads.iter().map(|l| l.hour).max().unwrap_or(first);
            let by = clock::next(self.facts.goal.by, first, offset);
            if by <= last && !said {
                said = true;
                wrong.add(
                    Diagnostic::error(
                        "goal-before-harvest",
                        format!(
                            "dry by {} while loads arrive until {}",
                            clock::date(by, offset),
                            clock::date(last, offset)
                        ),
                        self.at("goal.by".into()),
                    )
                    .help("set goal.by after the last day of filling"),
                );
            }
            let hold_until = clock::next(self.facts.goal.hold_until, by, offset);
            let hours = (hold_until - first).max(1) as usize;
            match self.record.stretch((first, hours), &self.facts.place, self.facts.prices.as_ref()) {
                Err(incomplete) => left_out.push((year, incomplete)),
                Ok(weather) => {
                    let mut case = template.clone();
                    case.loads = Arc::new(loads);
                    case.weather = weather;
                    case.programme.by = by;
                    case.programme.hold_until = hold_until;
                    years.push((year, Arc::new(case)));
                }
            }
        }
        (years, left_out)
    }
}
