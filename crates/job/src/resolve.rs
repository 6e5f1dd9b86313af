//! From a site in SI to cases: which grain, which air system, which hours of which years.

use crate::clock::{self, Clock};
use crate::facts::{BinFacts, Filling, LotFacts, SiteFacts};
use crate::job::{BinJob, Job, JobUncertainty, Kernel};
use crate::loads;
use crate::survey::{Survey, survey};
use bed::{ColumnParams, Direction, GroupParams, IsothermFamily, Respiration};
use crops::{Crop, Library as Crops, Need, Production};
use equipment::{AirMap, AirSystem, BurnerRule, Floor, Loss, Outfit, PressureBudget, Vents};
use notice::{Diagnostic, Diagnostics, Kind, Phrase, Place, Quantity, Remark, Remarks};
use physics::kinetics::TwoCompartment;
use physics::resistance::BedResistance;
use physics::storability::StorageLaw;
use season::{BinSpec, CaseSpec, ColumnShare, GrainSpec, HourlyWeather, Programme};
use std::collections::BTreeMap;
use std::sync::Arc;
use weather::Series;

/// Decay of the first radial mode of a long cylinder: 2.4048² (loss to the wall per volume = 5.783 k/R² × excess).
const FIRST_MODE: f64 = 5.783;
/// Layers before an accuracy is chosen; the proof sets its own.
const LAYERS: usize = 32;
/// Vents are taken as sharp-edged openings.
const VENT_DISCHARGE: f64 = 0.62;
/// Burners that may warm the air by more than this get ticks of a quarter of an hour, K.
const HOT_RISE: f64 = 10.0;

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
    let mut wrong = Diagnostics::default();
    let mut bins = Vec::new();
    let site =
        Site { facts, places, series: &series.clone().mended().at_elevation(facts.place.elevation), crops, file };
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
    series: &'a Series,
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

    /// Whether the lots fit: level to the eave, and under the cone of the crop's repose where nobody levelled the top.
    ///
    /// Heaped grain is modelled as a level bed of its volume, and that is remarked.
    fn fits(&self, bin: &BinFacts, surveyed: &Survey, remarks: &mut Remarks) -> Result<(), Box<Diagnostic>> {
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
        let last = bin.lots.len().saturating_sub(1);
        let lot = format!("bins.{}.lots[{last}]", bin.name);
        let keys = ["quantity", "depth"].map(|key| format!("{lot}.{key}"));
        let field = keys.into_iter().find(|field| self.places.contains_key(field)).unwrap_or(lot);
        let heaped = if heap > 0.0 { format!(" and {} under a cone above it", shown(heap)) } else { String::new() };
        let at = self.at(field);
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
        let lot = &bin.lots[0];
        let wet = surveyed.wet_mass();
        let moisture_wb = surveyed.lots.iter().map(|l| l.moisture * l.wet_mass).sum::<f64>() / wet;
        let moisture = moisture_wb / (1.0 - moisture_wb);
        let goal = &self.facts.goal;
        let target = goal.mean_moisture / (1.0 - goal.mean_moisture);
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
        let set = crop.isotherm(lot.relation.as_deref())?;
        let radius = bin.diameter / 2.0;
        let conductivity = match crop.bulk_conductivity(moisture_wb) {
            Ok(value) => value,
            Err(_) => {
                remarks.add(Remark::new(
                    "conductivity-assumed",
                    Phrase::new(
                        "no conductivity is recorded for {crop}: 0.14 W/(m·K), the middle of the cereals, is used",
                    )
                    .text("crop", crop.name.clone()),
                ));
                0.14
            }
        };
        let kinetics = crop.kinetics()?;
        let (kernel, other_kernels) = kernels(&kinetics.production, &mut remarks);
        let gap = |offset: f64| offset * (1.0 + target) * (1.0 + target);
        let offset = &crop.adsorption_offset_wb.value;
        let dry_density = surveyed.dry_matter() / surveyed.volume();
        let column = ColumnParams {
            isotherm: set.form,
            sorption: crop.sorption_heat(&set.form),
            kinetics: Some(kernel),
            adsorption_gap: gap(offset.value),
            rewetting: 1.0,
            dry_specific_heat: crop.dry_heat()?.value,
            water_specific_heat: physics::air::SPECIFIC_HEAT_WATER,
            humidity_cap: physics::isotherm::HUMIDITY_CAP,
            air_sees: ColumnParams::AIR_SEES,
            conductivity,
            wall_conductance: FIRST_MODE * conductivity / (radius * radius),
            dry_density,
        };
        let laws = |rows: &[crops::StorageRow]| -> Vec<StorageLaw> {
            rows.iter().map(|r| with_damage(r.law, lot.damage)).collect()
        };
        let published = laws(&crop.storage.published);
        let corn_law = published.iter().any(|l| matches!(l, StorageLaw::CornDryMatterLoss { .. }));
        let group = GroupParams {
            layers: LAYERS,
            family: IsothermFamily::of(&set.form).0,
            direction: if bin.outfit.suction { Direction::Down } else { Direction::Up },
            respiration: if corn_law { Respiration::Corn { damage: lot.damage } } else { Respiration::None },
            published,
            strict: laws(&crop.storage.strict),
        };
        if group.strict.is_empty() {
            remarks.add(Remark::new(
                "storage-not-judged",
                Phrase::new(
                    "no storage relation is published for {crop}: spoilage is not judged, which does not mean safe",
                )
                .text("crop", crop.name.clone()),
            ));
        }
        let row = crop.resistance(None)?;
        let packing = bin.packing.unwrap_or_else(|| {
            let (customary, remark) = crop.customary_packing();
            remark.into_iter().for_each(|r| remarks.add(r));
            customary
        });
        let resistance = BedResistance { law: row.law, multiplier: packing, fines: bin.fines };
        let (porosity, remark) = crop.porosity();
        remark.into_iter().for_each(|r| remarks.add(r));
        let Some(system) = self.air_system(bin, porosity, surveyed.floor_area, wrong) else { return Ok(None) };
        let map = AirMap::new(&system, resistance, Some(row.velocity));
        let grain = GrainSpec {
            column,
            group,
            resistance,
            dry_density,
            density_moisture: moisture,
            shrink: 100.0 * crop.shrink_per_point.value.value,
        };
        let columns = match bin.filling {
            Filling::Uniform => ColumnShare::EVEN.to_vec(),
            Filling::Spout => ColumnShare::SPOUT.to_vec(),
            Filling::LevelledAndCored => ColumnShare::LEVELLED.to_vec(),
        };
        if bin.filling != Filling::Uniform {
            remarks.add(Remark::new(
                "air-shares",
                Phrase::new(
                    "uneven air by judgement: {shares} of the mean flux in a slow, a middle and a fast part of the bin",
                )
                .text("shares", columns.iter().map(|c| format!("{:.2}", c.air)).collect::<Vec<_>>().join(" / ")),
            ));
        }
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
                wettest_excess: {
                    let wettest = goal.mean_moisture + goal.wettest_excess;
                    wettest / (1.0 - wettest) - target
                },
                life_allowed: goal.life_allowed,
                cool_to: goal.cool_to,
                by: 0,
                carry_over: goal.carry_over,
                hold_until: 0,
            },
            weather: Arc::new(HourlyWeather {
                start: 0,
                temperature: Vec::new(),
                humidity_ratio: Vec::new(),
                relative_humidity: Vec::new(),
                pressure: Vec::new(),
                wall_hour: Vec::new(),
                tariff_slot: Vec::new(),
                month: Vec::new(),
            }),
            tick_seconds: if hot(bin) { 900.0 } else { 3600.0 },
        };
        let (years, left_out) = self.years(index, bin, surveyed, &template, wrong);
        let uncertainty = JobUncertainty {
            isotherms: crop
                .spread_sets()
                .iter()
                .filter(|s| s.id != set.id)
                .map(|s| (s.id.clone(), s.form, crop.sorption_heat(&s.form)))
                .collect(),
            kinetics: other_kernels,
            packing: vec![0.8, 1.25],
            air_spread: if bin.filling == Filling::Uniform { Vec::new() } else { vec![0.0, 1.5] },
            gaps: vec![gap(offset.low), gap(offset.high)],
        };
        Ok(Some(BinJob {
            name: bin.name.clone(),
            crop_id: crop.id.clone(),
            crop_name: crop.name.clone(),
            relation: set.id.clone(),
            packing,
            velocity_range: Some(row.velocity),
            invented: bin.outfit.fans.iter().any(|f| f.origin == equipment::Origin::Invented)
                || bin.outfit.burner.as_ref().is_some_and(|b| b.invented),
            judges: crop.storage.strict.iter().map(|r| r.judges.clone()).collect(),
            sources: sources(crop, set, row),
            filling: bin.filling,
            survey: surveyed.clone(),
            template: Arc::new(template),
            years,
            left_out,
            uncertainty,
            remarks,
        }))
    }

    fn air_system(&self, bin: &BinFacts, porosity: f64, area: f64, wrong: &mut Diagnostics) -> Option<AirSystem> {
        let at = || self.at(format!("bins.{}.outfit.fans", bin.name));
        let outfit = match Outfit::new(bin.outfit.fans.clone(), bin.outfit.arrangement) {
            Ok(outfit) => outfit,
            Err(error) => {
                wrong.add(Diagnostic::error("outfit", error.to_string(), at()));
                return None;
            }
        };
        let budget = PressureBudget {
            floor: Some(Floor { open_fraction: bin.floor_opening, grain_porosity: porosity, area }),
            transition: bin.transition.map_or(Loss::None, |(coefficient, area)| Loss::OnVelocity { coefficient, area }),
            vents: bin.vent_area.map(|area| Vents { area, discharge_coefficient: VENT_DISCHARGE }),
            leakage: bin.leakage,
        };
        let direction = if bin.outfit.suction { equipment::Direction::Suction } else { equipment::Direction::Pressure };
        match AirSystem::new(outfit, budget, area, direction) {
            Ok(system) => Some(system),
            Err(error) => {
                wrong.add(Diagnostic::error("air-system", error.to_string(), at()));
                None
            }
        }
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
        for year in self.series.years() {
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
            match self.series.window(first, hours) {
                Err(incomplete) => left_out.push((year, incomplete.to_string())),
                Ok(window) => {
                    let hourly = window.hourly();
                    let clock = Clock::of(first, hours, &self.facts.place, self.facts.prices.as_ref());
                    let mut weather = HourlyWeather {
                        start: first,
                        temperature: hourly.temperature_c,
                        humidity_ratio: hourly.humidity_ratio,
                        relative_humidity: hourly.relative_humidity,
                        pressure: hourly.pressure_pa,
                        wall_hour: clock.hour,
                        tariff_slot: clock.slot,
                        month: clock.month,
                    };
                    damper(&mut weather, self.facts.place.humidity_offset);
                    let mut case = template.clone();
                    case.loads = Arc::new(loads);
                    case.weather = Arc::new(weather);
                    case.programme.by = by;
                    case.programme.hold_until = hold_until;
                    years.push((year, Arc::new(case)));
                }
            }
        }
        (years, left_out)
    }
}

/// Moves the humidity of a site that stands damper or drier than its station.
fn damper(weather: &mut HourlyWeather, offset: f64) {
    if offset == 0.0 {
        return;
    }
    for i in 0..weather.temperature.len() {
        let humidity = (weather.relative_humidity[i] + offset).clamp(0.01, 1.0);
        let vapour = humidity * physics::air::saturation_pressure(weather.temperature[i]);
        weather.relative_humidity[i] = humidity;
        weather.humidity_ratio[i] = physics::air::humidity_ratio(weather.pressure[i], vapour);
    }
}

/// Whether the outfit may warm the air so much that an hour is too long a tick.
fn hot(bin: &BinFacts) -> bool {
    bin.outfit.burner.is_some()
        && match bin.outfit.control.burner {
            BurnerRule::Off | BurnerRule::Humidistat(_) => false,
            BurnerRule::FixedRise(rise) => rise > HOT_RISE,
            BurnerRule::Thermostat(set) => set > 30.0,
        }
}

/// The kernel of production and the other values it might have.
fn kernels(production: &Production, remarks: &mut Remarks) -> (TwoCompartment, Vec<Kernel>) {
    match production {
        Production::Fitted(fit) => {
            let halved = TwoCompartment {
                shell: physics::kinetics::Arrhenius {
                    ln_a: fit.constants.shell.ln_a - 2f64.ln(),
                    ..fit.constants.shell
                },
                core: physics::kinetics::Arrhenius { ln_a: fit.constants.core.ln_a - 2f64.ln(), ..fit.constants.core },
                ..fit.constants
            };
            (
                fit.constants,
                vec![("kernels at once in equilibrium".into(), None), ("kernels half as fast".into(), Some(halved))],
            )
        }
        Production::Bounds { slow, fast } => {
            remarks.add(Remark::new(
                "kinetics-bounds",
                Phrase::new("no drying law is published for this crop: the slowest known cereal stands in, the fastest in the range"),
            ));
            (
                slow.constants,
                vec![
                    ("fastest known cereal".into(), Some(fast.constants)),
                    ("kernels at once in equilibrium".into(), None),
                ],
            )
        }
    }
}

/// A law with the lot's own damage.
fn with_damage(law: StorageLaw, damage: f64) -> StorageLaw {
    match law {
        StorageLaw::CornDryMatterLoss { loss, .. } => StorageLaw::CornDryMatterLoss { loss, damage },
        other => other,
    }
}

fn sources(crop: &Crop, set: &crops::IsothermSet, row: &crops::ResistanceRow) -> Vec<(String, notice::Source)> {
    let mut list = vec![
        (format!("equilibrium {}", set.id), set.evidence.source.clone()),
        (format!("resistance {}", row.id), row.evidence.source.clone()),
    ];
    if let Some(line) = crop.bulk_density.first() {
        list.push(("bulk density".into(), line.evidence.source.clone()));
    }
    if let Some(line) = crop.specific_heat.first() {
        list.push(("specific heat".into(), line.evidence.source.clone()));
    }
    if let Ok(kinetics) = crop.kinetics() {
        for law in &kinetics.laws {
            list.push((format!("drying rate {}", law.id()), law.source()));
        }
    }
    for row in crop.storage.published.iter().chain(&crop.storage.strict) {
        list.push((format!("storage {}", row.id), row.evidence.source.clone()));
    }
    list
}
