//! Fuel: what the burner is asked, the train from tank or main to the orifice, the tanks through the season.

use crate::compose::Desk;
use crate::compose::common::written;
use crate::paper::{Block, Cell, Table};
use crate::ticks::number;
use advice::heat::duty::Duty;
use advice::heat::train::{Condition, Tanks, Train};
use equipment::fuel_train::{Duty as Part, Element};
use job::facts::SupplyFacts;
use notice::Kind;

impl Desk<'_> {
    /// The fuel sheet.
    pub fn fuel(&self) -> Vec<Block> {
        let heat = &self.of.dossier.heat;
        if self.of.bin.template.burner.is_none() {
            return vec![Block::text("The outfit of this bin has no burner: there is no fuel to size.")];
        }
        let mut blocks = Vec::new();
        match heat.bins.get(self.place()).and_then(|bin| bin.duty.as_ref()) {
            Some(duty) => {
                blocks.push(Block::Table(self.duty(duty)));
                blocks.extend(self.weekly_heat().map(Block::Figure));
            }
            None => blocks.push(Block::text("The control never asks the burner for heat in this weather.")),
        }
        let Some(train) = &heat.train else {
            blocks.push(Block::note(
                "The site file says nothing of the fuel’s supply and line ([fuel] with its tank or main and [[fuel.line]]): no train can be told.",
            ));
            return blocks;
        };
        blocks.push(Block::text(format!(
            "All burners of the site at full fire take {} on the invoice. In air of {}, which only {} of the hours are colder than, the \
             train sustains {} of that.",
            self.show(Kind::HeatRate, train.full),
            self.show(Kind::Temperature, train.cold),
            self.show(Kind::Fraction, 1.0 - train.share),
            sustained(train)
        )));
        blocks.push(Block::Table(self.train(train)));
        blocks.push(Block::Table(self.line(train)));
        blocks.push(Block::Table(self.burners(train)));
        if let Some(tanks) = &train.tanks {
            blocks.push(Block::Table(self.tanks(tanks)));
            blocks.push(Block::text(self.stock(tanks)));
        }
        let mut remarks = heat.remarks.clone();
        remarks.extend(heat.bins.get(self.place()).map(|bin| bin.remarks.clone()).unwrap_or_default());
        let says: Vec<String> = remarks
            .0
            .iter()
            .filter(|r| {
                !["motor", "single-phase", "large-for", "no-code"].iter().any(|begin| r.code.starts_with(begin))
            })
            .map(|r| self.says(&r.says))
            .collect();
        blocks.push(Block::points(says));
        blocks
    }

    fn duty(&self, duty: &Duty) -> Table {
        let design = &duty.design;
        let hour = &design.hour;
        let mut table = Table::new(
            format!(
                "Duty of the burner: the hour that {} of all hours do not exceed",
                self.show(Kind::Fraction, design.share)
            ),
            "",
        )
        .column("What")
        .wide("Value", 1.0);
        let mut row = |what: &str, says: String| table.row(vec![Cell::text(what), Cell::text(says)]);
        row(
            "outdoors",
            format!(
                "{}, {}",
                self.show(Kind::Temperature, hour.temperature),
                self.show(Kind::RelativeHumidity, design.humidity_outside)
            ),
        );
        row("air at the fan inlets", self.show(Kind::Airflow, hour.airflow));
        row(
            "rise",
            format!(
                "{} by the fans, {} by the burner, to {}",
                self.show(Kind::TemperatureDifference, hour.fan_heat),
                self.show(Kind::TemperatureDifference, hour.rise),
                self.show(Kind::Temperature, hour.plenum())
            ),
        );
        row(
            "heat to the air",
            format!(
                "{}; the burner gives up to {}",
                self.show(Kind::HeatRate, hour.heat),
                self.show(Kind::HeatRate, duty.installed)
            ),
        );
        row("on the invoice", self.show(Kind::HeatRate, design.invoiced));
        let mut fuel: Vec<String> = Vec::new();
        fuel.extend(design.fuel.map(|f| self.show(Kind::MassFlow, f)));
        fuel.extend(design.liquid.map(|f| format!("{} as a liquid", self.show(Kind::LiquidFlow, f))));
        fuel.extend(design.gas.map(|f| format!("{} as a gas", self.show(Kind::GasFlow, f))));
        row("fuel", if fuel.is_empty() { "none: electric".into() } else { fuel.join(", ") });
        let seasons: Vec<f64> = duty.years.iter().map(|y| y.heat).collect();
        if let Some(mean) = numerics::quantile::mean(&seasons) {
            let short: usize = duty.years.iter().map(|y| y.short).sum();
            row(
                "a season",
                format!(
                    "{} of heat on the mean of {} years; the burner is short in {short} of {} hours",
                    self.show(Kind::Heat, mean),
                    duty.years.len(),
                    duty.hours.len()
                ),
            );
        }
        table
    }

    fn train(&self, train: &Train) -> Table {
        let mut table = Table::new("The train at full fire, element by element", "No element is described.")
            .wide("Element", 1.6)
            .column("needed")
            .column("there")
            .column("verdict")
            .column("smallest steel pipe");
        for element in &train.elements {
            let smallest = match element.duty {
                Part::Pipe(number) => train.smallest.iter().find(|(n, _)| *n == number).map(|(_, pipe)| match pipe {
                    Some(size) => format!("{size} in."),
                    None => "none to 4 in.".to_string(),
                }),
                _ => None,
            };
            table.row(vec![
                Cell::text(self.element(train, element)),
                Cell::text(self.show(element.kind, element.need)),
                Cell::text(self.show(element.kind, element.have)),
                if element.met() { Cell::text("enough") } else { Cell::Strong("SHORT".into()) },
                Cell::text(smallest.unwrap_or_default()),
            ]);
        }
        table
    }

    fn element(&self, train: &Train, element: &Element) -> String {
        match element.duty {
            Part::Supply => match train.facts.supply {
                SupplyFacts::Vapor(tanks) => {
                    let plural = if tanks.count == 1 { "" } else { "s" };
                    format!(
                        "vapor of {} tank{plural} at {} full",
                        tanks.count,
                        self.show(Kind::Fraction, tanks.lowest_fill)
                    )
                }
                SupplyFacts::Liquid(..) => "heat of the vaporizer, a quarter over the load".into(),
                SupplyFacts::Main(_) => "meter".into(),
            },
            Part::SupplyPressure => match train.facts.supply {
                SupplyFacts::Vapor(_) => "pressure of the tank at rest".into(),
                SupplyFacts::Liquid(..) => "pressure of the vaporizer".into(),
                SupplyFacts::Main(_) => "pressure of the main".into(),
            },
            Part::Regulator(number) => format!("inlet of regulator {number}"),
            Part::Pipe(0) => "pipe from the meter".into(),
            Part::Pipe(number) => format!("pipe behind regulator {number}"),
            Part::BurnerPressure => "pressure at the burner".into(),
            Part::Orifice => "orifice".into(),
        }
    }

    fn line(&self, train: &Train) -> Table {
        let mut table = Table::new("The line at full fire, from the supply to the burner", "No line is described.")
            .wide("Pipe", 1.2)
            .column("regulator set")
            .numbers(self.reader, "length", Kind::Length)
            .numbers(self.reader, "at its head", Kind::GasPressure)
            .numbers(self.reader, "at its end", Kind::GasPressure);
        for (piece, (from, to)) in train.facts.line.iter().zip(&train.pressures) {
            let pipe = match &piece.nominal {
                Some(size) => format!("{size} in."),
                None => self.show(Kind::Bore, piece.inside),
            };
            table.row(vec![
                Cell::text(pipe),
                Cell::text(piece.regulator.map_or("goes on".into(), |set| self.show(Kind::GasPressure, set))),
                Cell::of(self.reader, Kind::Length, piece.length),
                Cell::of(self.reader, Kind::GasPressure, *from),
                Cell::of(self.reader, Kind::GasPressure, *to),
            ]);
        }
        table
    }

    fn burners(&self, train: &Train) -> Table {
        let mut table = Table::new("Burners at the end of the line", "No burner is fed.")
            .wide("Bin", 1.0)
            .plain("number", "")
            .numbers(self.reader, "full fire of one", Kind::HeatRate)
            .numbers(self.reader, "pressure", Kind::GasPressure)
            .numbers(self.reader, "orifice", Kind::Bore)
            .numbers(self.reader, "it passes", Kind::HeatRate)
            .numbers(self.reader, "would fit", Kind::Bore);
        for b in &train.burners {
            table.row(vec![
                Cell::text(&b.bin),
                Cell::count(b.burners),
                Cell::of(self.reader, Kind::HeatRate, b.full / b.burners as f64),
                Cell::of(self.reader, Kind::GasPressure, b.pressure),
                Cell::maybe(self.reader, Kind::Bore, b.orifice, "not said"),
                Cell::maybe(self.reader, Kind::HeatRate, b.passes, "–"),
                Cell::of(self.reader, Kind::Bore, b.fitting),
            ]);
        }
        table
    }

    fn tanks(&self, tanks: &Tanks) -> Table {
        let facts = &tanks.facts;
        let mut table = Table::new(
            format!(
                "Tanks: {} of {}, and what they boil off in cold",
                facts.count,
                self.show(Kind::LiquidVolume, facts.capacity)
            ),
            "",
        )
        .wide("When", 1.3)
        .numbers(self.reader, "outdoors", Kind::Temperature)
        .numbers(self.reader, "drawn", Kind::HeatRate)
        .numbers(self.reader, &format!("boils, {} full", self.show(Kind::Fraction, facts.lowest_fill)), Kind::HeatRate)
        .numbers(self.reader, &format!("{} full", self.show(Kind::Fraction, facts.filled_to)), Kind::HeatRate)
        .plain("tanks needed", "")
        .column("verdict");
        for row in &tanks.rows {
            let when = match row.condition {
                Condition::ColdHours => "cold hours, full fire".to_string(),
                Condition::ColdestWeek(hour) => {
                    let from = job::clock::day_of(hour * 3600 + i64::from(self.of.job.place.utc_offset));
                    format!("coldest week, from {}, its mean draw", written(crate::compose::day(from)))
                }
                Condition::Mean => "mean of all hours".to_string(),
            };
            table.row(vec![
                Cell::text(when),
                Cell::of(self.reader, Kind::Temperature, row.air),
                Cell::of(self.reader, Kind::HeatRate, row.need),
                Cell::of(self.reader, Kind::HeatRate, row.lowest),
                Cell::of(self.reader, Kind::HeatRate, row.filled),
                row.tanks.map_or(Cell::None("none boils".into()), Cell::count),
                match (tanks.vapour, row.met()) {
                    (false, _) => Cell::text("liquid drawn"),
                    (true, true) => Cell::text("enough"),
                    (true, false) => Cell::Strong("SHORT".into()),
                },
            ]);
        }
        table
    }

    fn stock(&self, tanks: &Tanks) -> String {
        let stock = &tanks.stock;
        let volume = |v: f64| self.show(Kind::LiquidVolume, v);
        format!(
            "A filling gives {} of liquid: it lasts {} in the coldest week, {} on the mean. What is left at the lowest fill lasts {} in \
             the coldest week; a delivery takes {} days. Firing in every hour to the goal or to winter takes {} on the mean \
             of the years, {} at most; grain that is dry before takes less, as the cost in the proposal counts. A vaporizer for full fire in \
             the cold hours would need {} of heat, a quarter over the load.",
            volume(stock.usable),
            lasts(stock.days_coldest),
            lasts(stock.days_mean),
            lasts(stock.left_days),
            number(tanks.facts.delivery / 86_400.0, 0),
            volume(stock.season),
            volume(stock.most),
            self.show(Kind::HeatRate, tanks.vaporizer)
        )
    }
}

/// How long liquid lasts, in words.
fn lasts(days: Option<f64>) -> String {
    days.map_or("no time that ends".into(), |days| format!("{} days", number(days, 1)))
}

/// The share of full fire that a train sustains, in words where it is all of it.
fn sustained(train: &Train) -> String {
    let share = train.sustained / train.full.max(f64::MIN_POSITIVE);
    if share >= 0.9995 { "all".into() } else { format!("{}\u{a0}%", number(100.0 * share, 0)) }
}
