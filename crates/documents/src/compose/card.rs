//! The operating card, one page for the control box.

use super::Desk;
use super::common::{month_day, plus_minus};
use crate::paper::{Block, Cell, Paper, PaperKind, Table};
use advice::commission::table::OUTDOOR;
use notice::Kind;

pub(super) fn paper(desk: &Desk<'_>) -> Paper {
    let mut paper = desk.begin(PaperKind::Card, desk.facts());
    paper.one_page = true;
    let blocks = &mut paper.blocks;
    if let Some(missed) = desk.missed() {
        blocks.push(Block::Lead(format!(
            "{missed} Do not fill as planned: fill less deep, drier or earlier, or with another outfit."
        )));
    }
    blocks.push(Block::heading("First fill"));
    blocks.push(Block::points(desk.first_fill()));
    blocks.extend(desk.limits());
    blocks.push(Block::heading("Panel"));
    blocks.push(Block::Table(desk.panel()));
    blocks.push(Block::heading("Winter and spring"));
    blocks.push(Block::points(desk.winter()));
    blocks.push(Block::NewPage);
    blocks.push(Block::heading("Read every week"));
    blocks.push(Block::Table(desk.weekly()));
    let burner = desk.of.bin.template.burner.is_some();
    let mut cautions = vec![
        "Grain that flows or crusts buries: never go in alone or while anything can unload. Lock out, harness, second person.",
        "Lock out fans, burner and augers before hands or covers; guards stay on; a wheel coasts for minutes.",
        "Never run fans against iced or shut roof vents.",
        "Fire: fans off, gas off, call the fire service; open nothing.",
        "Wear hearing protection beside running fans. Wiring and gas are for licensed people.",
    ];
    if burner {
        cautions.insert(3, "Smell of gas: shut the tank, touch no switch, go. Never heat a frosted tank.");
    }
    blocks.push(Block::Cautions(cautions.into_iter().map(String::from).collect()));
    paper
}

impl Desk<'_> {
    fn first_fill(&self) -> Vec<String> {
        let bin = self.of.bin;
        let mut says = vec![
            "Clean floor, plenum and vents; open the vents; run the fans empty once and write the pressure down.".to_string(),
            "Start all fans when the floor is covered all over (common practice, no source), and leave them on while you fill: wet grain \
             without air heats in days."
                .into(),
            format!("The grain must lie with {}.", self.filling_words()),
        ];
        let days = bin
            .years
            .first()
            .and_then(|(_, case)| Some((case.loads.last()?.hour - case.loads.first()?.hour).max(0) / 24 + 1));
        says.push(format!(
            "Planned: {} deep at {}, filled in {} days.",
            self.show(Kind::Length, bin.survey.depth()),
            self.show(Kind::MoistureWetBasis, bin.survey.moisture()),
            days.unwrap_or(1)
        ));
        says
    }

    /// Largest depth by moisture and date.
    fn limits(&self) -> Vec<Block> {
        let mut blocks = vec![Block::heading("How deep, how wet, how late")];
        let Some(map) = &self.of.dossier.limit else {
            blocks.push(Block::note(
                "Not worked out for this card (propose --quick): wetter, deeper or later than planned is another case.",
            ));
            return blocks;
        };
        let mut table = Table::new("Largest depth of level grain", "No moisture of the map can be judged.")
            .numbers(self.reader, "moisture", Kind::MoistureWetBasis)
            .column("filled from")
            .numbers(self.reader, "at most", Kind::Length);
        for (row, deepest) in map.rows.iter().zip(map.deepest()) {
            table.row(vec![
                Cell::of(self.reader, Kind::MoistureWetBasis, row.moisture),
                Cell::text(month_day(row.from)),
                Cell::maybe(self.reader, Kind::Length, deepest, "do not fill"),
            ]);
        }
        blocks.push(Block::Table(table));
        blocks.push(Block::note(format!(
            "So that at least {} in a hundred of the years seen are good. A coarse map on {} layers, five depths to {}; between them in \
             proportion. {}",
            crate::ticks::number(100.0 * map.wanted, 0),
            map.layers,
            self.show(Kind::Length, map.depths.last().copied().unwrap_or(f64::NAN)),
            match map.together {
                true => "Day and moisture move together by the dry-down of the field.",
                false => "Day and moisture do not move together here: a later day is not judged by this table.",
            }
        )));
        blocks
    }

    fn panel(&self) -> Table {
        let control = &self.of.bin.template.control;
        let mut table = Table::new("", "").column("While").wide("Set", 1.0);
        let mut row = |when: &str, says: String| table.row(vec![Cell::Strong(when.into()), Cell::text(says)]);
        row("filling", self.rule(&control.filling));
        if control.drying != control.filling {
            row("drying", self.rule(&control.drying));
        } else {
            row("drying", "the same".into());
        }
        row("cooling", self.rule(&control.cooling));
        row("holding", self.rule(&control.holding));
        if let Some(burner) = self.burner_rule(&control.burner) {
            row("burner", burner);
        }
        if let Some(limit) = self.of.bin.template.burner.as_ref().and_then(|b| b.temperature_limit) {
            row("high limit", self.show(Kind::Temperature, limit));
        }
        row(
            "stop at",
            format!(
                "mean {}, wettest tenth at most {}",
                self.show(Kind::MoistureWetBasis, self.data.years.target_wb),
                self.show(Kind::MoistureWetBasis, self.data.years.target_wb + self.excess())
            ),
        );
        table
    }

    /// What to read every week and on which reading to act or call.
    fn weekly(&self) -> Table {
        let sheet = &self.of.dossier.expected;
        let full = sheet.points.iter().find(|p| p.fill >= 1.0 && p.outdoor == OUTDOOR[2]);
        let unit = |kind: Kind| kind.shown(self.reader.0).unit;
        let band = |kind: Kind, band: Option<advice::commission::table::Band>| {
            band.map_or("as commissioned".to_string(), |b| {
                format!("{}\u{a0}{}", plus_minus(self.reader, kind, b.value, b.half), unit(kind))
            })
        };
        let mut table = Table::new("", "").wide("Read", 1.0).wide("Good", 0.9).wide("Act or call", 1.6);
        let mut row = |read: &str, good: String, act: &str| {
            table.row(vec![Cell::Strong(read.into()), Cell::text(good), Cell::text(act)]);
        };
        row(
            "static pressure, full",
            band(Kind::Pressure, full.and_then(|p| p.pressure)),
            "higher: vents, floor, fines; lower: leak, rotation, belt. Outside twice: call the dealer",
        );
        row(
            "rise, plenum over outdoors",
            band(Kind::TemperatureDifference, full.and_then(|p| p.rise)),
            "with the fans alone. More: too little air; less: air escapes",
        );
        row(
            "motor input",
            band(Kind::ElectricPower, full.and_then(|p| p.input)),
            "above the plate, or legs apart by a tenth: stop, call the electrician",
        );
        row(
            "pressure under the roof",
            format!("below {}", self.show(Kind::Pressure, 0.1 * notice::quantity::INCH_WATER_PA)),
            "above: vents iced or shut: stop the fans now",
        );
        row(
            "grain temperature, probes",
            "steady".into(),
            match self.reader.0 {
                notice::UnitSystem::Us => "10 °F in a week in one place: spoilage; air now, probe, move grain",
                notice::UnitSystem::Si => "5 K in a week in one place: spoilage; air now, probe, move grain",
            },
        );
        row(
            "smell, crust, insects; carbon dioxide under the roof, burner off",
            "none; below 600 ppm".into(),
            "600 ppm and rising: air; above 1500: act at once (Iowa State, seen)",
        );
        row("wettest sample", "falling".into(), "not falling in two weeks of fans: call");
        if self.of.bin.template.burner.is_some() {
            row(
                "tank, gas pressure at fire",
                "as commissioned".into(),
                "frost on the tank, falling pressure: call the supplier; no flame to it",
            );
        }
        table
    }

    fn winter(&self) -> Vec<String> {
        let mut says = Vec::new();
        match self.winter_words() {
            Some((stop, resume)) => says.extend([stop, resume]),
            None => says.push(format!(
                "The plan dries on through winter. Below freezing watch the vents for ice; air below about {} dries little (North Dakota \
                 State University, seen).",
                self.show(Kind::Temperature, 1.67)
            )),
        }
        says.push(self.stop_words());
        says.push("Cover fans that stand: warm air drawn through by wind undoes the cooling, and snow gets in.".into());
        says.push(format!(
            "Look every two weeks in autumn and spring, monthly when cold and steady; do not keep grain in this way beyond {}.",
            self.held_until()
        ));
        says
    }

    fn held_until(&self) -> String {
        let offset = self.of.job.place.utc_offset;
        self.of
            .bin
            .years
            .first()
            .map_or("the season".to_string(), |(_, case)| super::common::of_hour(case.programme.hold_until, offset))
    }
}
