//! The pressure budget of a bin from its geometry, or from the numbers that stand for it.

use crate::facts::{BinFacts, FloorFacts, WayFacts};
use crate::way::Way;
use crops::Crop;
use equipment::way::{Item, compile};
use equipment::{
    AirConditions, AirSystem, AirSystemError, Arrangement, Direction, Floor, GrainTerms, Loss, Outfit, PressureBudget,
    STANDARD_DENSITY, Spread, Vents,
};
use notice::{Phrase, Remark, Remarks};
use physics::resistance::BedResistance;
use physics::{air, opening};

/// Vents and gaps are taken as sharp-edged openings.
const SHARP_EDGED: f64 = 0.62;
/// Air for which friction and leakage are worked out, °C and relative humidity: an October day (judgement).
const DESIGN_AIR: (f64, f64) = (10.0, 0.70);
/// Velocity for which the sideways resistance is taken where nothing is solved yet, m/s: drying flow through a duct's wall.
const CROWDED: f64 = 0.15;
/// Most of the air that may leak before the figure is held.
const MOST_LEAKAGE: f64 = 0.5;

/// What the budget needs besides the bin.
pub(super) struct Bed<'a> {
    pub crop: &'a Crop,
    pub porosity: f64,
    /// Floor area, m².
    pub area: f64,
    /// Depth when all lots are in, m.
    pub depth: f64,
    pub resistance: BedResistance,
    /// Barometric pressure, Pa.
    pub pressure: f64,
}

impl Bed<'_> {
    /// The air system of a bin with its way.
    pub(super) fn system(
        &self,
        bin: &BinFacts,
        outfit: &Outfit,
        remarks: &mut Remarks,
    ) -> Result<(AirSystem, Way), AirSystemError> {
        let direction = if bin.outfit.suction { Direction::Suction } else { Direction::Pressure };
        let way = self.way(bin, outfit, remarks);
        // Friction and what leaks through gaps hang a little on the airflow: found where the outfit works with all lots in.
        let mut airflow = 0.7 * paths(outfit) * outfit.fans().first().map_or(1.0, |fan| fan.curve.most());
        let mut leakage = bin.leakage;
        let rounds = if way.items.is_empty() && bin.gaps.is_none() { 1 } else { 6 };
        let mut last = None;
        for _ in 0..rounds {
            let budget = self.budget(bin, &way, airflow, leakage);
            let system = AirSystem::new(outfit.clone(), budget, self.area, direction)?;
            if rounds > 1 {
                let point = self.design_point(&system);
                if point.fan_airflow > 0.0 {
                    airflow = point.fan_airflow;
                    if let Some(gaps) = bin.gaps {
                        let lost =
                            opening::airflow(point.plenum_pressure.abs(), gaps, SHARP_EDGED, point.inlet_density);
                        leakage = (lost / airflow).min(MOST_LEAKAGE);
                    }
                }
            }
            last = Some(system);
        }
        let mut way = way;
        for (item, coefficient) in &mut way.items {
            *coefficient = item.coefficient(airflow, STANDARD_DENSITY);
        }
        if bin.gaps.is_some() {
            let says = Phrase::new(match leakage < MOST_LEAKAGE {
                true => {
                    "gaps let {share} of the air escape where the full bin works; taken as that share at every fill"
                }
                false => "gaps would let more than {share} of the air escape: close them; {share} is taken",
            })
            .text("share", format!("{:.1} %", 100.0 * leakage));
            remarks.add(Remark::new("leakage-of-gaps", says));
        }
        last.map(|system| (system, way)).ok_or(AirSystemError::Figure { quantity: "rounds", value: 0.0 })
    }

    fn design_point(&self, system: &AirSystem) -> equipment::AirPoint {
        let (temperature, humidity) = DESIGN_AIR;
        let w = air::humidity_ratio(self.pressure, humidity * air::saturation_pressure(temperature));
        let grain = GrainTerms { law: self.resistance, effective_depth: self.depth, velocity_range: None };
        let fans = system.outfit.fans().len();
        system.solve(&AirConditions::ambient(temperature, w, self.pressure, fans), &grain)
    }

    fn budget(&self, bin: &BinFacts, way: &Way, airflow: f64, leakage: f64) -> PressureBudget {
        let transition = match bin.transition {
            Some((coefficient, area)) => Loss::OnVelocity { coefficient, area },
            None => {
                let items: Vec<Item> = way.items.iter().map(|(item, _)| *item).collect();
                compile(&items, airflow, STANDARD_DENSITY)
            }
        };
        let discharge_coefficient = bin.roof.discharge.unwrap_or(SHARP_EDGED);
        PressureBudget {
            floor: Some(if way.plugged > 0.0 { way.clean.plugged(way.plugged) } else { way.clean }),
            transition,
            spread: self.spread(bin, way),
            vents: bin.vent_area.or(bin.roof.vents).map(|area| Vents { area, discharge_coefficient }),
            leakage,
        }
    }

    fn spread(&self, bin: &BinFacts, way: &Way) -> Option<Spread> {
        let sideways = way.sideways?;
        match way.entry {
            FloorFacts::Full => None,
            FloorFacts::Pad(radius) => Some(Spread::pad(radius, 0.5 * bin.diameter, sideways)),
            FloorFacts::Ducts(ducts) => {
                Some(Spread::ducts(ducts.half_buried_radius(), ducts.spacing(self.area), sideways))
            }
        }
    }

    fn way(&self, bin: &BinFacts, outfit: &Outfit, remarks: &mut Remarks) -> Way {
        let (area, spacing) = match bin.floor {
            FloorFacts::Full => (self.area, None),
            FloorFacts::Pad(radius) => (std::f64::consts::PI * radius * radius, None),
            FloorFacts::Ducts(ducts) => (ducts.surface(), Some(ducts.spacing(self.area))),
        };
        let sideways = (bin.floor != FloorFacts::Full).then(|| self.sideways(remarks));
        let mut items = items(&bin.way, paths(outfit));
        if let FloorFacts::Ducts(ducts) = bin.floor {
            let duct = physics::perforated_duct::PerforatedDuct {
                diameter: ducts.hydraulic_diameter(),
                length: ducts.length,
                friction_factor: 0.0,
                regain: ducts.regain,
            };
            items.push(Item::Perforated {
                duct,
                wall: ducts.wall,
                area: f64::from(ducts.count) * ducts.section(),
                suction: bin.outfit.suction,
            });
        }
        Way {
            items: items.into_iter().map(|item| (item, 0.0)).collect(),
            entry: bin.floor,
            clean: Floor { open_fraction: bin.floor_opening, grain_porosity: self.porosity, area },
            plugged: bin.floor_plugged,
            spacing,
            sideways,
            plenum: bin.plenum.map(|height| height * bin.diameter),
            diameter: bin.diameter,
            roof_bears: bin.roof.bears,
            roof_described: bin.roof != crate::facts::RoofFacts::default(),
            leakage_of_gaps: bin.gaps.is_some(),
        }
    }

    /// Horizontal over vertical resistance, by what is published of the crop; alike where nothing is.
    fn sideways(&self, remarks: &mut Remarks) -> f64 {
        let says = Phrase::new(
            "only part of the floor is perforated: a closed form stands for the way the air spreads from it until the air in the \
             grain is computed; it says what that costs in pressure, while corners and the grain between ducts may get less than \
             half of the mean airflow",
        );
        remarks.add(Remark::new("spread-closed-form", says));
        match self.crop.horizontal_share() {
            Ok(share) => {
                let taken = share.at(CROWDED);
                let says = Phrase::new("air passes {crop} sideways at {share} of the resistance to rising air")
                    .text("crop", self.crop.name.clone())
                    .text("share", format!("{:.0} %", 100.0 * taken));
                remarks.add(Remark::new("spread-sideways", says).from_source(share.source()));
                taken
            }
            Err(_) => {
                let says = Phrase::new(
                    "no sideways resistance of {crop} is published: taken alike in all directions, which reads high for pads and ducts",
                )
                .text("crop", self.crop.name.clone());
                remarks.add(Remark::new("spread-alike", says));
                1.0
            }
        }
    }
}

/// How many ways stand side by side: fans in parallel have one each.
fn paths(outfit: &Outfit) -> f64 {
    match outfit.arrangement() {
        Arrangement::Parallel => outfit.fans().len() as f64,
        Arrangement::Series => 1.0,
    }
}

/// Items of the way with the areas of all paths together.
fn items(way: &WayFacts, paths: f64) -> Vec<Item> {
    let mut items = Vec::new();
    if let Some(inlet) = way.inlet {
        if let Some((open, area)) = inlet.screen {
            items.push(Item::Screen { open, area: area * paths });
        }
        items.push(Item::Inlet { form: inlet.form, area: inlet.area * paths });
    }
    if let Some(duct) = way.duct {
        let area = duct.area * paths;
        items.push(Item::Straight { length: duct.length, diameter: duct.diameter, area, wall: duct.wall });
        if let Some((form, count)) = duct.elbows {
            items.extend((0..count).map(|_| Item::Elbow { form, area }));
        }
    }
    if let Some(t) = way.transition {
        let (from, to) = (t.from * paths, t.to * paths);
        items.push(Item::Transition { change: t.change, from, to, into_plenum: true });
    }
    items
}
