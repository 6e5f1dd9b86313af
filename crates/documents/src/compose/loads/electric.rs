//! Electricity: each motor, running and code currents, demand, feeder, generator; the sound of the fans.

use crate::compose::Desk;
use crate::paper::{Block, Cell, Table};
use crate::ticks::number;
use advice::heat::power::{BinPower, MotorPoint, SitePower};
use equipment::motor_load::LoadVerdict;
use notice::Kind;
use physics::electric::Phases;

impl Desk<'_> {
    /// The electric sheet.
    pub fn electric(&self) -> Vec<Block> {
        let heat = &self.of.dossier.heat;
        let Some(power) = heat.bins.get(self.place()).and_then(|bin| bin.power.as_ref()) else {
            return vec![Block::note("No season has complete weather, so no hour is known to load the motors by.")];
        };
        let supplied = self.of.job.power.is_some();
        let mut blocks = vec![Block::Table(self.motors(power, supplied)), Block::Table(self.currents(power, supplied))];
        if !supplied {
            blocks.push(Block::note(
                "The site file says nothing of the supply ([power]: phases, volts, service, feeder): no currents, feeder or service can \
                 be told.",
            ));
        }
        if let Some(site) = &heat.common.power {
            blocks.push(Block::Table(self.site_power(site)));
        }
        blocks.push(Block::Table(self.demand()));
        if let (Some((mean, most)), Some(_)) = (heat.common.demand.cost, &self.of.job.prices) {
            blocks.push(Block::note(format!(
                "Demand charge of a season: {} in the mean year, {} in the dearest.",
                self.money(mean),
                self.money(most)
            )));
        }
        blocks.extend(self.motor_load().map(Block::Figure));
        blocks.push(Block::points(self.remarks_of(electric)));
        blocks
    }

    /// The sound of the fans, for whoever lives nearby.
    pub fn sound_sheet(&self) -> Vec<Block> {
        vec![Block::Table(self.sound()), Block::points(self.remarks_of(heard))]
    }

    /// Remarks of the heat sheet that belong to a part, by their codes.
    fn remarks_of(&self, belongs: fn(&str) -> bool) -> Vec<String> {
        let heat = &self.of.dossier.heat;
        let mut remarks = heat.common.remarks.clone();
        remarks.extend(heat.bins.get(self.place()).map(|bin| bin.remarks.clone()).unwrap_or_default());
        remarks.0.iter().filter(|r| belongs(&r.code)).map(|r| self.says(&r.says)).collect()
    }

    fn motors(&self, power: &BinPower, supplied: bool) -> Table {
        let mut table = Table::new(
            "Motors, in the hours between first load and goal, all lots in unless said, no burner lit",
            "The outfit has no motor.",
        )
        .wide("Motor", 1.4)
        .wide("When", 1.0)
        .numbers(self.reader, "outdoors", Kind::Temperature)
        .plain("filled", "%")
        .numbers(self.reader, "shaft", Kind::ShaftPower)
        .plain("load", "% of rating")
        .numbers(self.reader, "input", Kind::ElectricPower)
        .plain("power factor", "")
        .numbers(self.reader, "running", Kind::Current)
        .wide("", 0.9);
        for m in &power.motors {
            let name = if m.count == 1 { m.fan.clone() } else { format!("{}, each of {}", m.fan, m.count) };
            let mut row = |name: String, when: &str, p: &MotorPoint| {
                let l = &p.load;
                let judged = match l.judged {
                    LoadVerdict::Within => "within its rating",
                    LoadVerdict::InServiceFactor => "in its service factor",
                    LoadVerdict::Over => "OVERLOAD",
                };
                table.row(vec![
                    Cell::text(name),
                    Cell::text(when),
                    Cell::of(self.reader, Kind::Temperature, p.temperature),
                    Cell::number(100.0 * p.fill, 0),
                    Cell::of(self.reader, Kind::ShaftPower, p.shaft),
                    Cell::number(100.0 * l.load, 0),
                    Cell::of(self.reader, Kind::ElectricPower, l.input),
                    Cell::number(l.power_factor, 2),
                    match supplied {
                        true => Cell::of(self.reader, Kind::Current, l.current),
                        false => Cell::None("no [power]".into()),
                    },
                    Cell::text(judged),
                ]);
            };
            row(name, "hardest hour", &m.most);
            row(String::new(), "usual hour", &m.usual);
            if m.worst_fill.fill < 1.0 {
                row(String::new(), "part full", &m.worst_fill);
            }
        }
        table
    }

    fn currents(&self, power: &BinPower, supplied: bool) -> Table {
        let mut table = Table::new("Plates and code currents, each motor", "The outfit has no motor.")
            .wide("Motor", 1.4)
            .plain("number", "")
            .numbers(self.reader, "rated", Kind::ShaftPower)
            .plain("service factor", "")
            .numbers(self.reader, "code current", Kind::Current)
            .plain("start, from", "A")
            .plain("to", "A")
            .column("letter")
            .plain("above rating", "h");
        let otherwise = if supplied { "not in the table" } else { "no [power]" };
        for m in &power.motors {
            let rotor = |pick: fn((f64, f64)) -> f64| {
                Cell::maybe(self.reader, Kind::Current, m.locked_rotor.map(pick), otherwise)
            };
            table.row(vec![
                Cell::text(&m.fan),
                Cell::count(m.count),
                Cell::of(self.reader, Kind::ShaftPower, m.plate.rated),
                Cell::number(m.plate.service_factor, 2),
                Cell::maybe(self.reader, Kind::Current, m.code_current, otherwise),
                rotor(|r| r.0),
                rotor(|r| r.1),
                Cell::text(m.code_letter.to_string()),
                Cell::count(m.above.0),
            ]);
        }
        table
    }

    fn site_power(&self, site: &SitePower) -> Table {
        let show = |kind, v| self.show(kind, v);
        let mut table = Table::new("The site, everything on at once", "").column("What").wide("Value", 1.0);
        let mut row = |what: &str, says: String| table.row(vec![Cell::text(what), Cell::text(says)]);
        let phases = match site.supply.phases {
            Phases::Single => "one phase",
            Phases::Three => "three phases",
        };
        row("supply", format!("{}, {phases}", show(Kind::Voltage, site.supply.volts)));
        row(
            "running",
            format!(
                "{}, {}, {}",
                show(Kind::ElectricPower, site.running),
                show(Kind::ApparentPower, site.apparent),
                show(Kind::Current, site.current)
            ),
        );
        row(
            "code currents",
            match site.code_current {
                Some(code) => format!(
                    "{} with a quarter of the largest added: sizes conductors and protection, and is not what flows",
                    show(Kind::Current, code)
                ),
                None => "not known: a motor lies outside the code’s table".into(),
            },
        );
        row("service", site.supply.service.map_or("not said".into(), |a| show(Kind::Current, a)));
        row(
            "feeder",
            match (site.drop, &site.supply.feeder) {
                (Some((runs, starts)), Some(feeder)) => format!(
                    "{} of {}: {}\u{a0}% of the voltage lost running, {}\u{a0}% while the largest starts last",
                    show(Kind::Length, feeder.length),
                    feeder.conductor,
                    number(100.0 * runs, 1),
                    number(100.0 * starts, 1)
                ),
                _ => "not said".into(),
            },
        );
        row(
            "start",
            format!(
                "{} while the largest starts last ({})",
                show(Kind::Current, site.starting_current),
                show(Kind::ApparentPower, site.generator.starting)
            ),
        );
        row(
            "generator, estimate",
            format!(
                "about {}, engine {} to {}; {}",
                show(Kind::ApparentPower, site.generator_rating),
                show(Kind::ShaftPower, site.generator.engine.0),
                show(Kind::ShaftPower, site.generator.engine.1),
                site.supply.generator.map_or("none is said to be there".into(), |w| format!(
                    "there is one of {}",
                    show(Kind::ElectricPower, w)
                ))
            ),
        );
        table
    }

    fn demand(&self) -> Table {
        const MONTHS: [&str; 12] = [
            "January",
            "February",
            "March",
            "April",
            "May",
            "June",
            "July",
            "August",
            "September",
            "October",
            "November",
            "December",
        ];
        let mut table = Table::new("Demand: largest power of each month, all bins at once", "No month is known.")
            .wide("Month", 1.0)
            .numbers(self.reader, "mean of the years", Kind::ElectricPower)
            .numbers(self.reader, "highest", Kind::ElectricPower);
        for (month, mean, highest) in &self.of.dossier.heat.common.demand.months {
            let name = MONTHS.get(usize::from(*month).wrapping_sub(1)).copied().unwrap_or("");
            table.row(vec![
                Cell::text(name),
                Cell::of(self.reader, Kind::ElectricPower, *mean),
                Cell::of(self.reader, Kind::ElectricPower, *highest),
            ]);
        }
        table
    }

    fn sound(&self) -> Table {
        let mut table = Table::new(
            "Sound at dwellings, all fans",
            "No sound is told: the site file says nothing of the yard ([yard] with its bins and dwellings).",
        )
        .wide("Dwelling", 1.0)
        .numbers(self.reader, "distance", Kind::Length)
        .plain("level", "dB(A)")
        .plain("good to", "± dB")
        .column("by day")
        .column("by night");
        let Some(sound) = &self.of.dossier.heat.common.sound else { return table };
        let word = |verdict: Option<physics::sound::LimitVerdict>, limit: Option<f64>| {
            let limit = limit.map_or("no limit said".to_string(), |l| format!("limit {}", number(l, 0)));
            match verdict {
                None => limit,
                Some(physics::sound::LimitVerdict::Kept) => format!("{limit}: kept"),
                Some(physics::sound::LimitVerdict::Exceeded) => format!("{limit}: EXCEEDED"),
                Some(physics::sound::LimitVerdict::Uncertain) => format!("{limit}: cannot tell"),
            }
        };
        for d in &sound.dwellings {
            table.row(vec![
                Cell::text(&d.name),
                Cell::of(self.reader, Kind::Length, d.distance),
                Cell::number(d.level, 0),
                Cell::number(d.uncertainty, 0),
                Cell::text(word(d.day, sound.limits.0)),
                Cell::text(word(d.night, sound.limits.1)),
            ]);
        }
        table
    }
}

/// Remarks on sound.
fn heard(code: &str) -> bool {
    ["sound", "bins-unplaced", "tone"].iter().any(|begin| code.starts_with(begin))
}

/// Remarks that belong to this sheet.
fn electric(code: &str) -> bool {
    ["motor", "single-phase", "large-for", "no-code", "service", "feeder", "start", "generator"]
        .iter()
        .any(|begin| code.starts_with(begin))
}
