//! Structure and roof: pressures of the air, vents, weight of the grain on the floor.

use crate::compose::Desk;
use crate::paper::{Block, Cell, Table};
use equipment::{Arrangement, STANDARD_DENSITY, roof};
use notice::Kind;

/// Gravity, m/s².
const GRAVITY: f64 = 9.806_65;

impl Desk<'_> {
    /// The structure sheet.
    pub fn structure(&self) -> Vec<Block> {
        let mut blocks = vec![Block::Table(self.pressures())];
        blocks.push(Block::Table(self.budget()));
        blocks.push(Block::text(
            "The roof carries what stands under it: with open vents the headspace pressure, with vents shut by ice or chaff all that the \
             fans can give. Roofs have been lifted off in that way. Never run fans against closed or iced vents.",
        ));
        blocks.push(Block::note(
            "Weight on the floor is the whole column of grain, as if no wall carried any of it; walls take part of it by friction and \
             are pushed out by it. What floor, wall and roof bear is not worked out here.",
        ));
        let remarks = advice::way::remarks(self.of.bin, &self.of.dossier.air);
        blocks.push(Block::points(remarks.0.iter().map(|remark| self.says(&remark.says)).collect()));
        blocks
    }

    /// The most that the fans give against a shut way, in standard air, Pa.
    fn highest(&self) -> f64 {
        let outfit = &self.of.bin.template.system.outfit;
        let peaks = outfit.fans().iter().map(|fan| fan.curve.peak_pressure());
        match outfit.arrangement() {
            Arrangement::Parallel => peaks.fold(0.0, f64::max),
            Arrangement::Series => peaks.sum(),
        }
    }

    fn pressures(&self) -> Table {
        let bin = self.of.bin;
        let mut table =
            Table::new("Loads of air and grain", "").wide("Load", 1.2).column("Value").wide("How it was found", 1.6);
        let mut row = |what: &str, value: String, how: String| {
            table.row(vec![Cell::text(what), Cell::text(value), Cell::text(how)]);
        };
        let pressure = |pa: f64| self.show(Kind::Pressure, pa);
        let diameter = bin.template.bin.diameter;
        let area = 0.25 * std::f64::consts::PI * diameter * diameter;
        let highest = self.highest();
        if let Some(full) = self.of.dossier.air.fills.last() {
            let point = &full.point;
            row(
                "static pressure in the plenum, full",
                pressure(point.plenum_pressure),
                "the fans against the grain in October air, all lots in".into(),
            );
            let out = point.fan_airflow * point.dry_air_flow / point.fan_dry_air_flow.max(f64::MIN_POSITIVE);
            match bin.template.system.budget.vents {
                Some(vents) => {
                    let check = roof::check(
                        out,
                        vents.area,
                        vents.discharge_coefficient,
                        point.inlet_density,
                        diameter,
                        highest,
                    );
                    row(
                        "pressure under the roof, vents open",
                        pressure(check.pressure),
                        format!(
                            "{} of vents, air through them at {}",
                            self.show(Kind::Area, vents.area),
                            self.show(Kind::Velocity, check.velocity)
                        ),
                    );
                    row(
                        "uplift on the roof, vents open",
                        self.show(Kind::Force, check.uplift),
                        "that pressure on the plan of the bin".into(),
                    );
                    row(
                        "vents that keep the headspace low",
                        self.show(Kind::Area, check.area_for_design),
                        format!("{} under the roof (recalled from the trade)", pressure(roof::DESIGN_PRESSURE)),
                    );
                }
                None => row(
                    "pressure under the roof, vents open",
                    "not told".into(),
                    "no roof vents are described: taken as an open top".into(),
                ),
            }
            let rule = out / roof::VENT_VELOCITY;
            row(
                "vents by the rule of the trade",
                self.show(Kind::Area, rule),
                "1 ft² for each 1,000 cfm (Wilcke and Hellevang 2002, seen)".into(),
            );
        }
        row(
            "most the fans can give",
            pressure(highest),
            format!("peak of their curves in air of {}", self.show(Kind::Density, STANDARD_DENSITY)),
        );
        row(
            "uplift on the roof, vents shut by ice",
            self.show(Kind::Force, physics::opening::roof_uplift(highest, diameter)),
            "that pressure on the plan of the bin".into(),
        );
        if let Some(bears) = bin.way.roof_bears {
            row("the roof bears by its maker", pressure(bears), "as the site file says".into());
        }
        let weight = bin.survey.wet_mass() * GRAVITY;
        row(
            "weight of the grain as filled",
            self.show(Kind::Force, weight),
            format!("{} deep, all lots in", self.show(Kind::Length, bin.survey.depth())),
        );
        row(
            "weight on the floor",
            self.floor_load(weight / area),
            format!("on {} of floor, nothing carried by the wall", self.show(Kind::Area, area)),
        );
        table
    }

    /// A load on a floor in the units that floors are rated in.
    fn floor_load(&self, pascal: f64) -> String {
        match self.reader.0 {
            notice::UnitSystem::Si => format!("{}\u{a0}kPa", crate::ticks::number(pascal / 1e3, 1)),
            notice::UnitSystem::Us => format!("{}\u{a0}lb/ft²", crate::ticks::number(pascal / 47.880_259, 0)),
        }
    }
}
