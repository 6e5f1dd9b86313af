//! What all papers share: head, marks, foot, cautions, and small ways of saying things.

use super::Desk;
use crate::calendar::Date;
use crate::paper::{Block, Cell, Paper, PaperKind, Table};
use crate::shown::Reader;
use notice::{Kind, Phrase};

/// A date as papers write it.
pub fn written((year, month, day): (i32, u8, u8)) -> String {
    Date { year, month: u32::from(month), day: u32::from(day) }.long()
}

/// A month and day as papers write it.
pub fn month_day(day: job::facts::MonthDay) -> String {
    Date { year: 2001, month: u32::from(day.month), day: u32::from(day.day) }.short()
}

/// A month and day of an hour at a place.
pub fn of_hour(hour: i64, offset: i32) -> String {
    month_day(job::clock::month_day(hour, offset))
}

impl Desk<'_> {
    /// A paper of a kind with its head and foot and no content yet.
    pub fn begin(&self, kind: PaperKind, facts: Vec<(String, String)>) -> Paper {
        let title = &self.data.title;
        let run = self.of.bin.identity("verdict");
        Paper {
            kind,
            subject: format!("{}, bin {}", title.site, title.bin),
            facts,
            marks: title.marks.iter().map(|mark| mark.text().to_string()).collect(),
            foot: format!(
                "{}, bin {} · {} · text {} · run {} · model {} · {}",
                title.site,
                title.bin,
                title.date,
                self.of.version,
                run.get(..12).unwrap_or(&run),
                job::MODEL,
                self.of.program
            ),
            date: self.date,
            one_page: false,
            blocks: Vec::new(),
        }
    }

    /// A quantity with its unit.
    pub fn show(&self, kind: Kind, value: f64) -> String {
        self.reader.text(kind, value)
    }

    /// A phrase as a sentence.
    pub fn says(&self, phrase: &Phrase) -> String {
        self.reader.sentence(phrase)
    }

    /// Money, whole.
    pub fn money(&self, amount: f64) -> String {
        let code = self.of.job.prices.as_ref().map_or("", |prices| prices.currency.as_str());
        format!("{}\u{a0}{code}", crate::ticks::number(amount, 0))
    }

    /// The fans by name, each with how many.
    pub fn fans(&self) -> Vec<(String, usize)> {
        let mut names: Vec<(String, usize)> = Vec::new();
        for fan in self.of.bin.template.system.outfit.fans() {
            match names.iter_mut().find(|(name, _)| *name == fan.id) {
                Some((_, count)) => *count += 1,
                None => names.push((fan.id.clone(), 1)),
            }
        }
        names
    }

    /// Facts of a head that every reader wants.
    pub fn facts(&self) -> Vec<(String, String)> {
        let title = &self.data.title;
        let fact = |name: &str, says: String| (name.to_string(), says);
        vec![
            fact("Lot", title.lot.clone()),
            fact("Outfit", title.outfit.clone()),
            fact("Date", title.date.clone()),
            fact("Weather", format!("{}, {} seasons", self.of.job.weather_name, self.of.dossier.proof.of())),
        ]
    }

    /// Cautions of all papers, and some of one's own.
    pub fn cautions(&self, own: &[&str]) -> Block {
        let mut all: Vec<String> = own.iter().map(|says| crate::shown::sentence(says)).collect();
        all.extend(self.data.cautions.iter().map(|caution| self.says(caution)));
        all.push(
            "Local codes and licensed practice decide. What is computed here is no look into the bin and replaces nobody who \
             answers for the work."
                .into(),
        );
        Block::Cautions(all)
    }

    /// Where the figures of the equipment come from: fans, burner.
    pub fn equipment(&self) -> Table {
        let mut table = Table::new("Equipment and where its figures come from", "No equipment is named.")
            .column("Piece")
            .plain("number", "")
            .wide("Source", 2.0)
            .column("Date")
            .wide("Conditions of its rating", 2.0);
        for piece in self.of.bin.pieces() {
            let count = self.fans().iter().find(|(name, _)| name == piece.id).map_or(1, |(_, count)| *count);
            let known = piece.provenance;
            let source = match (&known.source, piece.invented) {
                (Some(source), true) if !source.contains("DEMO") => format!("DEMO, invented: {source}"),
                (Some(source), _) => source.clone(),
                (None, true) => "DEMO: invented, of no maker".into(),
                (None, false) => "no source named".into(),
            };
            let fan = self.of.bin.template.system.outfit.fans().iter().find(|fan| fan.id == piece.id);
            let mut rating: Vec<String> = known.rating.iter().cloned().collect();
            if let Some(fan) = fan {
                rating.push(format!("motor {}", self.show(Kind::ShaftPower, fan.motor_power)));
                rating.push(format!("{} rpm", crate::ticks::number(60.0 * fan.speed, 0)));
                if fan.curve.power_band.is_some() {
                    rating.push("power ESTIMATED from type".into());
                }
            }
            if let Some(burner) = self.of.bin.template.burner.as_ref().filter(|burner| burner.id == piece.id) {
                rating.push(format!("up to {}", self.show(Kind::HeatRate, burner.capacity)));
            }
            table.row(vec![
                Cell::text(if piece.what == piece.id {
                    piece.id.to_string()
                } else {
                    format!("{} {}", piece.what, piece.id)
                }),
                Cell::count(count),
                Cell::text(source),
                Cell::text(known.date.map_or("not dated".to_string(), |date| date.to_string())),
                Cell::text(if rating.is_empty() { "not stated".to_string() } else { rating.join("; ") }),
            ]);
        }
        table
    }

    /// Who decides what.
    pub fn who_decides(&self, rows: &[(&str, &str, &str)]) -> Table {
        let mut table =
            Table::new("Who decides", "").wide("Subject", 1.2).wide("This paper tells", 1.5).wide("Decided by", 1.5);
        for (subject, tells, decides) in rows {
            table.row(vec![Cell::Strong((*subject).into()), Cell::text(*tells), Cell::text(*decides)]);
        }
        table
    }
}

/// "12.3 ± 0.4" with the decimals of a kind, without unit.
pub fn plus_minus(reader: Reader, kind: Kind, value: f64, half: f64) -> String {
    let shown = kind.shown(reader.0);
    let number = |v: f64| crate::ticks::number(v, shown.decimals);
    format!("{} ± {}", number(reader.value(kind, value)), number(half * shown.factor))
}
