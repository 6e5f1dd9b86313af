//! The commissioning sheet: what should be read beside the running fan, blanks for what is read, the order of work, cautions.

use super::Desk;
use crate::paper::{Block, Cell, Paper, PaperKind, Table};
use advice::commission::table::{Band, SOUND_AT};
use job::readings::Limit;
use notice::Kind;

/// Rows for readings: what, how or where, and whether it needs a second fan or a burner.
const ROWS: [(&str, &str, Needs); 15] = [
    ("static pressure, tap 1", "plenum", Needs::Nothing),
    ("static pressure, tap 2", "plenum", Needs::Nothing),
    ("static pressure, tap 3", "plenum", Needs::Nothing),
    ("pressure above the grain", "headspace", Needs::Nothing),
    ("outdoor temperature", "in the shade, at the fan", Needs::Nothing),
    ("plenum temperature, 3 points", "out of the jet", Needs::Nothing),
    ("volts, legs 1–2, 2–3, 3–1", "by an electrician", Needs::Nothing),
    ("amps, legs 1, 2, 3, first fan", "by an electrician", Needs::Nothing),
    ("amps, legs 1, 2, 3, second fan", "by an electrician", Needs::TwoFans),
    ("speed of the wheel", "", Needs::Nothing),
    ("traverse of the inlet", "mean velocity and area", Needs::Nothing),
    ("gas pressure at rest and at full fire", "by the fitter", Needs::Burner),
    ("fuel burnt in a stated time", "meter or scale", Needs::Burner),
    ("tank level", "", Needs::Burner),
    ("noise", "at the distance of the table", Needs::Nothing),
];

/// What a reading makes sense with.
#[derive(Clone, Copy, PartialEq)]
enum Needs {
    Nothing,
    TwoFans,
    Burner,
}

pub(super) fn paper(desk: &Desk<'_>) -> Paper {
    let mut paper = desk.begin(PaperKind::Commissioning, desk.facts());
    let sheet = &desk.of.dossier.expected;
    let blocks = &mut paper.blocks;
    blocks.push(Block::Blanks(vec![
        ("Date and hour".into(), 0.34),
        ("Read by".into(), 0.33),
        ("Serial numbers".into(), 0.33),
        ("Crop and moisture".into(), 0.34),
        ("Depth, levelled".into(), 0.33),
        ("Barometer, humidity".into(), 0.33),
    ]));
    blocks.push(desk.cautions(&[
        "lock out and tag the fan, burner, sweep and unloading augers before hands, tools or covers come near them; try to start them \
         before you trust the lock; a neighbour fan’s air turns an idle wheel",
        "nobody enters the bin or the plenum to take a reading: both are confined spaces, fans can be started from afar and a burner \
         can light; where entry cannot be avoided, power is locked out, the air tested, and a second person with rescue gear stands by",
        "volts and amps are read by a licensed electrician, the burner is lit with a licensed fitter present; a smell of gas: shut the \
         tank, touch no switch, go",
    ]));
    blocks.push(Block::heading("Order of work"));
    blocks.push(Block::steps(order(desk)));
    blocks.push(Block::heading("What should be read"));
    blocks.push(Block::text(format!(
        "{} running, level grain, {}. Each ± is the band within which a sound bin and instruments with the errors below read \
         ({:.2} standard uncertainties): of the four figures of a row one lies outside at a sound bin in at most {} of a hundred visits. \
         Airflow by a traverse of the fan inlets. Between rows read in proportion.",
        match sheet.fans {
            1 => "The fan".to_string(),
            2 => "Both fans".to_string(),
            more => format!("All {more} fans"),
        },
        if desk.of.bin.template.burner.is_some() { "burner off unless said" } else { "no burner" },
        sheet.coverage,
        crate::ticks::number(100.0 * advice::field::propagate::FALSE_ALARMS, 0)
    )));
    blocks.extend(desk.expected_tables());
    blocks.push(Block::note(format!(
        "Noise at {} from the inlets over hard ground, all fans, estimated from type and duty; the estimate may be off as far as its ±. \
         By the occupational limits 90 dB(A) are allowed for 8 hours, 95 for 4, 100 for 2 (29 CFR 1910.95, Table G-16a, seen).",
        desk.show(Kind::Length, SOUND_AT)
    )));
    blocks.extend(desk.expected_pressure().map(Block::Figure));
    blocks.push(Block::heading("What was read"));
    blocks.push(Block::Table(readings(desk)));
    blocks.push(Block::Table(desk.instruments()));
    blocks.push(Block::under("Result"));
    blocks.push(Block::text(
        "Write the readings into a file and let “binwright commission” compare them: it works out airflow from pressure, \
         from the rise of temperature and from the traverse, and says for each line whether it agrees, does not, or cannot tell. The \
         readings of a bin that agrees are its baseline.",
    ));
    blocks.push(Block::Blanks(vec![
        ("Agrees / does not agree / cannot tell".into(), 0.6),
        ("Signed".into(), 0.4),
        ("Left open".into(), 1.0),
    ]));
    paper
}

fn order(desk: &Desk<'_>) -> Vec<String> {
    let burner = desk.of.bin.template.burner.is_some();
    let mut steps: Vec<String> = [
        "Before power: floor and ducts clean, flashing sealed, doors and unload gates shut, roof vents open and free, guards on, lockout \
         points found and shown to the owner.",
        "Bump each fan: rotation with the arrow. A centrifugal wheel that turns backwards still blows the right way, with much less air. \
         On three phases an electrician swaps two leads.",
        "Run the empty bin: the pressure shows what duct, screen and floor lose alone. Write it down.",
        "Taps: a hole the size of the tube into the air chamber below the floor, flush, without burr, out of the jet; the other leg open \
         to still outdoor air. Take two or more taps around the plenum and average a minute in wind.",
        "With level grain of known depth, crop and moisture: all readings of the sheet, once the fans have run a quarter of an hour.",
        "Correct nothing by hand: the table below is already for air of its outdoor temperature at this elevation.",
    ]
    .map(String::from)
    .to_vec();
    if burner {
        steps.push(
            "Burner, with the fitter: line pressure at rest and at fire, regulator lock-up, high and low fire steady, flame failure, air \
             switch (fan off: gas off), high-limit trip, leak test, smell at the exhaust; carbon monoxide in the plenum."
                .into(),
        );
    }
    steps.push(
        "Check by another way: rise of temperature and fuel, or a traverse. Two ways that agree within their bands are a proof, one is a \
         reading."
            .into(),
    );
    steps.push("Keep the sheet in the control box: later readings are held against it at the same depth.".into());
    steps
}

fn readings(desk: &Desk<'_>) -> Table {
    let mut table = Table::new("Readings", "")
        .wide("Reading", 2.2)
        .blanks("empty bin", "")
        .blanks("first", "")
        .blanks("second", "")
        .blanks("third", "")
        .blanks("expected", "");
    let there = |needs: Needs| match needs {
        Needs::Nothing => true,
        Needs::TwoFans => desk.of.dossier.expected.fans > 1,
        Needs::Burner => desk.of.bin.template.burner.is_some(),
    };
    for (what, how, _) in ROWS.into_iter().filter(|row| there(row.2)) {
        let name = if how.is_empty() { what.to_string() } else { format!("{what} ({how})") };
        let mut row = vec![Cell::text(name)];
        row.extend(std::iter::repeat_n(Cell::Blank, 5));
        table.row(row);
    }
    table
}

impl Desk<'_> {
    /// One table for each outdoor temperature.
    fn expected_tables(&self) -> Vec<Block> {
        let sheet = &self.of.dossier.expected;
        let lit = sheet.points.iter().any(|p| p.rise_lit.is_some());
        let mut outdoors: Vec<f64> = Vec::new();
        for point in &sheet.points {
            if !outdoors.contains(&point.outdoor) {
                outdoors.push(point.outdoor);
            }
        }
        outdoors
            .into_iter()
            .map(|outdoor| {
                let mut table = Table::new(
                    format!("At {} outdoors", self.show(Kind::Temperature, outdoor)),
                    "Nothing can be expected.",
                )
                .plain("filled", "%")
                .numbers(self.reader, "depth", Kind::Length)
                .numbers(self.reader, "static pressure", Kind::Pressure)
                .plain("±", "")
                .numbers(self.reader, "airflow", Kind::Airflow)
                .plain("±", "")
                .numbers(self.reader, "motor input", Kind::ElectricPower)
                .plain("±", "")
                .numbers(self.reader, "rise", Kind::TemperatureDifference)
                .plain("±", "");
                if lit {
                    table = table.numbers(self.reader, "rise, full fire", Kind::TemperatureDifference).plain("±", "");
                }
                table = table.plain("noise", "dB(A)").plain("±", "");
                for p in sheet.points.iter().filter(|p| p.outdoor == outdoor) {
                    let mut row = vec![Cell::number(100.0 * p.fill, 0), Cell::of(self.reader, Kind::Length, p.depth)];
                    let words = match p.outcome {
                        equipment::Outcome::Works | equipment::Outcome::HeldBelowFirst => "–",
                        _ => "stalls",
                    };
                    row.extend(self.band(Kind::Pressure, p.pressure, words));
                    row.extend(self.band(Kind::Airflow, p.airflow, words));
                    row.extend(self.band(Kind::ElectricPower, p.input, words));
                    row.extend(self.band(Kind::TemperatureDifference, p.rise, words));
                    if lit {
                        row.extend(self.band(Kind::TemperatureDifference, p.rise_lit, words));
                    }
                    row.extend(match p.sound {
                        Some(band) => [Cell::number(band.value, 0), Cell::number(band.half, 0)],
                        None => [Cell::None(words.into()), Cell::text("")],
                    });
                    table.row(row);
                }
                Block::Table(table)
            })
            .collect()
    }

    fn band(&self, kind: Kind, band: Option<Band>, words: &str) -> [Cell; 2] {
        let shown = kind.shown(self.reader.0);
        // A rounder number is read just as well beside its band.
        let decimals = match kind {
            Kind::Airflow => 0,
            Kind::ElectricPower => 1,
            _ => shown.decimals,
        };
        match band {
            None => [Cell::None(words.into()), Cell::text("")],
            Some(band) => [
                Cell::number(self.reader.value(kind, band.value), decimals),
                Cell::number(band.half * shown.factor, decimals),
            ],
        }
    }

    /// Errors of the instruments that the bands allow for.
    fn instruments(&self) -> Table {
        let i = &self.of.dossier.expected.instruments;
        let mut table = Table::new("Instruments the bands allow for", "")
            .wide("Instrument", 1.0)
            .column("error taken, at most")
            .blanks("yours", "");
        let absolute = |kind: Kind, v: f64| {
            let shown = kind.shown(self.reader.0);
            format!("± {}\u{a0}{}", crate::ticks::number(v * shown.factor, shown.decimals.max(1)), shown.unit)
        };
        let limit = |kind: Kind, limit: Limit| match limit {
            Limit::Absolute(v) => absolute(kind, v),
            Limit::Share(share) => format!("± {}\u{a0}%", crate::ticks::number(100.0 * share, 1)),
        };
        for (name, says) in [
            ("manometer", limit(Kind::Pressure, i.pressure)),
            ("thermometer", limit(Kind::TemperatureDifference, i.temperature)),
            ("volt meter", limit(Kind::Voltage, i.volts)),
            ("clamp meter", limit(Kind::Current, i.amps)),
            ("traverse", limit(Kind::Airflow, i.traverse)),
            ("depth of grain", limit(Kind::Length, i.depth)),
        ] {
            table.row(vec![Cell::text(name), Cell::text(says), Cell::Blank]);
        }
        table
    }
}
