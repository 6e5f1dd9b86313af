//! From a site in SI to cases: which grain, which air system, which hours of which years.

mod air;
mod farm;
mod fits;
mod grain;
mod harvest;
mod heated;
mod operations;
mod protection;
mod sources;
mod uncertainty;
mod way;

use crate::clock;
use crate::facts::{BinFacts, SiteFacts};
use crate::job::{BinJob, Job};
use crate::loads;
use crate::provenance;
use crate::records::ReadyRecord;
use crate::survey::{Survey, survey};
use crops::{Crop, Library as Crops, Need};
use equipment::{AirMap, AirSystem};
use notice::{Diagnostic, Diagnostics, Place, Remarks};
use physics::grain::dry_basis;
use physics::resistance::BedResistance;
use season::{BinSpec, CaseSpec, Programme, StillAir};
use std::borrow::Cow;
use std::collections::BTreeMap;
use std::sync::Arc;
use weather::Series;

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
    resolve_on(facts, places, &ReadyRecord::new(series.clone(), &facts.place), crops, file, None)
}

/// The same against a record made ready before, and with the air of an earlier job where it is still the same: for those
/// who resolve one site many times. The record must have been made ready for the place of the site.
///
/// # Errors
/// As [`resolve`].
pub fn resolve_on(
    facts: &SiteFacts,
    places: &Places,
    record: &ReadyRecord,
    crops: &Crops,
    file: &str,
    earlier: Option<&Job>,
) -> Result<Job, Diagnostics> {
    let mut wrong = Diagnostics::default();
    let mut bins = Vec::new();
    let site = Site { facts, places, record, crops, file, earlier };
    for (index, bin) in facts.bins.iter().enumerate() {
        if let Some(bin) = site.bin(index, bin, &mut wrong) {
            bins.push(bin);
        }
    }
    if wrong.stop() {
        return Err(wrong);
    }
    let farm = site.farm(&bins, &mut wrong);
    if wrong.stop() {
        return Err(wrong);
    }
    Ok(Job {
        farm,
        name: facts.name.clone(),
        place: facts.place.clone(),
        prices: facts.prices.clone(),
        fuel: facts.fuel.clone(),
        remedy: facts.goal.remedy,
        power: facts.power.clone(),
        yard: facts.yard.clone(),
        quote: facts.quote.clone(),
        chance: facts.goal.chance,
        design_hour: facts.goal.design_hour,
        weather_name: record.series.name.clone(),
        weather_place: site.at("place.weather".into()),
        weather_origin: weather::origin(&record.series),
        typical: record.series.kind == weather::Kind::Typical,
        bins,
        seen_on: None,
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
    /// A job from before, whose compiled air may still hold.
    earlier: Option<&'a Job>,
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
        let needs = [Need::Equilibrium, Need::Resistance, Need::Kinetics, Need::Heat];
        crop.remarks(&needs).into_iter().for_each(|r| remarks.add(r));
        self.spoiled(crop, wrong);
        match self.cases(index, bin, crop, remarks, wrong) {
            Ok(job) => job,
            Err(missing) => {
                wrong.add(missing.diagnostic(self.at(format!("{path}.lots[0].crop"))));
                None
            }
        }
    }

    /// Looks whether spoiled grain would bring more than sound grain, which needs the bushel of the crop.
    fn spoiled(&self, crop: &Crop, wrong: &mut Diagnostics) {
        const CODE: &str = "spoiled-dearer";
        let (Some(prices), Some(remedy)) = (&self.facts.prices, &self.facts.goal.remedy) else { return };
        let bushel = crop.bushel.as_ref().map(|bushel| bushel.mass);
        let of = |price: Option<crate::costs::GrainPrice>| price.and_then(|price| price.per_kilogram(bushel));
        let (Some(sound), Some(spoiled)) = (of(prices.costs.grain), of(remedy.spoiled)) else { return };
        if spoiled > sound * (1.0 + 1e-9) && !wrong.0.iter().any(|other| other.code == CODE) {
            let code = &prices.currency;
            let found =
                format!("spoiled {} at {:.2} {code} a tonne, sound at {:.2}", crop.name, 1e3 * spoiled, 1e3 * sound);
            wrong.add(
                Diagnostic::error(CODE, found, self.at("goal.remedy.spoiled".into()))
                    .allowed("must bring no more than prices.grain")
                    .help("else a year that spoils the grain would cost nothing"),
            );
        }
    }

    fn cases(
        &self,
        index: usize,
        bin: &BinFacts,
        crop: &Crop,
        mut remarks: Remarks,
        wrong: &mut Diagnostics,
    ) -> Result<Option<BinJob>, crops::MissingCapability> {
        let path = format!("bins.{}", bin.name);
        let record = self.record.series.years();
        self.stray_rows(bin, &record, wrong);
        let mut seen = harvest::Seen::default();
        let of_years: Vec<_> = record.iter().map(|&year| (year, self.of_year(bin, crop, year, &mut seen))).collect();
        harvest::remark(bin, crop, &seen, &mut remarks);
        let middle = harvest::middle(bin, &seen);
        let bin = &middle;
        let surveyed = &survey(bin, crop)?;
        if let Err(diagnostic) = self.fits(bin, surveyed, &mut remarks) {
            wrong.add(*diagnostic);
            return Ok(None);
        }
        let moisture_wb = surveyed.moisture();
        let goal = &self.facts.goal;
        let target = dry_basis(goal.mean_moisture);
        let at_moisture = || self.at(format!("{path}.lots[0].moisture"));
        if bin.process.conditioning.is_some() && goal.mean_moisture <= moisture_wb {
            wrong.add(
                Diagnostic::error(
                    "not-over-dry",
                    format!(
                        "lots at {:.1} % w.b. to be wetted to {:.1} %",
                        100.0 * moisture_wb,
                        100.0 * goal.mean_moisture
                    ),
                    at_moisture(),
                )
                .allowed("conditioning is for grain drier than the goal")
                .help("leave conditioning out, or raise goal.mean_moisture"),
            );
        }
        if let Some(most) = bin.process.conditioning.and_then(|c| c.most).filter(|most| *most <= goal.mean_moisture) {
            let found = format!(
                "wettest tenth held at {:.1} % w.b. for a mean of {:.1} %",
                100.0 * most,
                100.0 * goal.mean_moisture
            );
            wrong.add(
                Diagnostic::error("most-below-goal", found, self.at(format!("{path}.conditioning.most")))
                    .allowed("must be above goal.mean_moisture: some grain is always wetter than the mean")
                    .help("raise most, or leave it out for what the goal allows the wettest tenth"),
            );
        }
        let asks_no_drying = bin.process.conditioning.is_some() || !bin.process.aeration.is_empty();
        if goal.mean_moisture >= moisture_wb && !asks_no_drying {
            wrong.add(
                Diagnostic::error(
                    "already-dry",
                    format!(
                        "lots at {:.1} % w.b. for a goal of {:.1} %",
                        100.0 * moisture_wb,
                        100.0 * goal.mean_moisture
                    ),
                    at_moisture(),
                )
                .as_warning()
                .help("nothing has to be dried: the season only cools and holds"),
            );
        }
        let grain::Grain { spec: grain, set, row, other_kernels } =
            grain::of(crop, bin, surveyed, (moisture_wb, target), &mut remarks)?;
        let (porosity, remark) = crop.porosity();
        remark.into_iter().for_each(|r| remarks.add(r));
        let place = &self.facts.place;
        let bed = way::Bed {
            crop,
            porosity,
            area: surveyed.floor_area,
            depth: surveyed.depth(),
            resistance: grain.resistance,
            pressure: place.pressure.unwrap_or_else(|| physics::air::standard_pressure(place.elevation)),
        };
        let Some((system, way)) = self.air_system(bin, &bed, &mut remarks, wrong) else { return Ok(None) };
        let (system, map) = self.compiled(bin, system, &grain, row.velocity);
        provenance::remark_unsourced(&bin.outfit.fans, &mut remarks);
        let Some(protection) = self.protection(bin, crop, &mut remarks, wrong) else { return Ok(None) };
        let columns = air::shares(bin.filling, &mut remarks);
        let still =
            if bin.rings { StillAir::Rings { latitude: self.record.series.place.latitude } } else { StillAir::OneNode };
        let template = CaseSpec {
            bin: BinSpec { diameter: bin.diameter, floor_area: surveyed.floor_area, columns, still },
            grain,
            loads: Arc::new(Vec::new()),
            system,
            air: map,
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
            operations: operations::of(bin, goal, protection),
            weather: Arc::default(),
            tick_seconds: if air::hot(bin) || bin.process.batches.is_some() { 900.0 } else { 3600.0 },
        };
        let (years, left_out) = self.years(index, crop, surveyed, of_years, &template, wrong);
        self.heated(bin, crop, &years, &mut remarks, wrong)?;
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
            sources: sources::of(crop, set, row, &still),
            filling: bin.filling,
            survey: surveyed.clone(),
            firing: bin.outfit.firing,
            lots_of_years: seen.years,
            template: Arc::new(template),
            years,
            left_out,
            bushel: crop.bushel.clone(),
            choose: bin.choose.clone(),
            way,
            uncertainty: uncertainty::of(crop, set, bin.filling, target, other_kernels),
            remarks,
        }))
    }

    /// The system of fans with its compiled map: that of the earlier job where nothing that matters to them has changed.
    fn compiled(
        &self,
        bin: &BinFacts,
        system: AirSystem,
        grain: &season::GrainSpec,
        velocity: notice::Range,
    ) -> (Arc<AirSystem>, Arc<AirMap<BedResistance>>) {
        let earlier = self.earlier.and_then(|job| job.bins.iter().find(|other| other.name == bin.name));
        if let Some(known) = earlier.map(|other| &other.template).filter(|t| {
            *t.system == system
                && t.grain.resistance == grain.resistance
                && earlier.is_some_and(|other| other.velocity_range == Some(velocity))
        }) {
            return (Arc::clone(&known.system), Arc::clone(&known.air));
        }
        let map = AirMap::new(&system, grain.resistance, Some(velocity));
        (Arc::new(system), Arc::new(map))
    }

    /// One case for each year whose weather is complete, and the years that are not, with the reason.
    fn years(
        &self,
        index: usize,
        crop: &Crop,
        surveyed: &Survey,
        of_years: Vec<(i32, Result<Cow<'_, BinFacts>, String>)>,
        template: &CaseSpec,
        wrong: &mut Diagnostics,
    ) -> (Years, LeftOut) {
        let offset = self.facts.place.utc_offset;
        let (mut years, mut left_out) = (Vec::new(), Vec::new());
        let mut said = false;
        for (year, bin) in of_years {
            let bin = match bin {
                Ok(bin) => bin,
                Err(reason) => {
                    left_out.push((year, reason));
                    continue;
                }
            };
            let mut case = template.clone();
            let loads = match &bin {
                Cow::Borrowed(bin) => loads::of(index, bin, surveyed, year, offset),
                Cow::Owned(bin) => match self.other_lots(bin, crop, &mut case, wrong) {
                    Some(surveyed) => loads::of(index, bin, &surveyed, year, offset),
                    None => continue,
                },
            };
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
                    case.loads = Arc::new(loads);
                    case.weather = weather;
                    case.operations.sensors = operations::sensors(&bin, year);
                    case.operations.aeration = operations::aeration(&bin, first, offset);
                    case.programme.by = by;
                    case.programme.hold_until = hold_until;
                    years.push((year, Arc::new(case)));
                }
            }
        }
        (years, left_out)
    }

    /// Puts the lots of a year into a case: the bed as dense as they lie. What does not fit is noted, once.
    fn other_lots(&self, bin: &BinFacts, crop: &Crop, case: &mut CaseSpec, wrong: &mut Diagnostics) -> Option<Survey> {
        let surveyed = survey(bin, crop).ok()?;
        // What is to be said of them is said of the bin.
        let mut unsaid = Remarks::default();
        if let Err(diagnostic) = self.fits(bin, &surveyed, &mut unsaid) {
            if !wrong.0.iter().any(|other| other.code == diagnostic.code && other.at == diagnostic.at) {
                wrong.add(*diagnostic);
            }
            return None;
        }
        let of = grain::of(crop, bin, &surveyed, (surveyed.moisture(), case.programme.target), &mut unsaid).ok()?;
        case.grain = of.spec;
        Some(surveyed)
    }
}
