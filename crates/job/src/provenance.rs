//! Where the figures of catalogued equipment come from: the keys `source`, `date` and `rating`, and what is to be said when
//! figures are old or of unknown origin.

use crate::job::{BinJob, Job};
use crate::parse::{QuantityError, clean, shown};
use equipment::{DataDate, Origin, Provenance};
use notice::{Phrase, Remark, Remarks};
use sheet::Node;

/// Age from which data are remarked on, whole years. Judgement, no source: makers change wheels and motors within a decade.
pub const OLD_YEARS: i32 = 10;
/// Longest text of a source or rating, characters: a citation, not a chapter.
const LONGEST: usize = 300;
/// Years data may be of.
const YEARS: std::ops::RangeInclusive<i32> = 1900..=2199;

/// Reads the three keys of a fan or burner; what is wrong with them is recorded.
pub(crate) fn read(node: &Node<'_, '_>) -> Provenance {
    Provenance {
        source: node.parsed("source", line),
        date: node.parsed("date", date),
        rating: node.parsed("rating", line),
    }
}

/// One line of text that says something.
fn line(text: &str) -> Result<String, QuantityError> {
    let wrong = |found: String| {
        Err(QuantityError::new("not-a-line", found)
            .allowed(format!("must be one line of at most {LONGEST} characters"))
            .help("leave the key out where nothing is known"))
    };
    let trimmed = text.trim();
    match trimmed.chars().count() {
        0 => wrong("empty text".into()),
        length if length > LONGEST => wrong(format!("text of {length} characters")),
        _ if trimmed.chars().any(notice::unseen) => {
            wrong(format!("{:?} holds line breaks, tabs or characters that are not seen", shown(trimmed)))
        }
        _ => Ok(trimmed.to_string()),
    }
}

/// Reads a date of data: `"2019"`, `"2019-06"` or `"2019-06-15"`.
///
/// # Errors
/// When it is not of that form, there is no such day, or the year is not from 1900 to 2199.
pub fn date(text: &str) -> Result<DataDate, QuantityError> {
    let clean = clean(text)?;
    let wrong = || {
        QuantityError::new("not-a-date", format!("date {:?}", shown(text)))
            .allowed("must be a year from 1900 to 2199, as \"2019\", \"2019-06\" or \"2019-06-15\"")
    };
    let digits = |part: &str, length: usize| -> Option<i32> {
        let fits = part.len() == length && part.bytes().all(|b| b.is_ascii_digit());
        if fits { part.parse().ok() } else { None }
    };
    let parts: Vec<&str> = clean.split('-').collect();
    if parts.len() > 3 {
        return Err(wrong());
    }
    let year = digits(parts[0], 4).filter(|year| YEARS.contains(year)).ok_or_else(wrong)?;
    let small =
        |k: usize| parts.get(k).map(|part| digits(part, 2).and_then(|n| u8::try_from(n).ok()).ok_or_else(wrong));
    let (month, day) = (small(1).transpose()?, small(2).transpose()?);
    let (on_month, on_day) = (month.unwrap_or(1), day.unwrap_or(1));
    if weather::calendar::days(year, u32::from(on_month), u32::from(on_day)).is_none() {
        return Err(wrong().help("there is no such day"));
    }
    Ok(DataDate { year, month, day })
}

/// One piece of equipment of a bin and where its figures come from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Piece<'a> {
    /// `fan` or `burner`.
    pub what: &'static str,
    /// Key of the catalogue.
    pub id: &'a str,
    /// Whether it is made up for demonstration.
    pub invented: bool,
    /// Source, date and conditions.
    pub provenance: &'a Provenance,
}

impl BinJob {
    /// Fans and burner, each key once, in the order of the site file.
    pub fn pieces(&self) -> Vec<Piece<'_>> {
        let fans = self.template.system.outfit.fans().iter().map(|fan| Piece {
            what: "fan",
            id: &fan.id,
            invented: fan.origin == Origin::Invented,
            provenance: &fan.provenance,
        });
        let burner = self.template.burner.iter().map(|burner| Piece {
            what: "burner",
            id: &burner.id,
            invented: burner.invented,
            provenance: &burner.provenance,
        });
        let mut pieces: Vec<Piece<'_>> = Vec::new();
        for piece in fans.chain(burner) {
            if !pieces.iter().any(|known| (known.what, known.id) == (piece.what, piece.id)) {
                pieces.push(piece);
            }
        }
        pieces
    }
}

/// Code of the remark that data of a piece are old.
pub const DATA_OLD: &str = "data-old";

impl Job {
    /// The job as seen on a day: says which data of its equipment are old by then. This crate reads no clock.
    pub fn seen_on(mut self, today: DataDate) -> Self {
        self.seen_on = Some(today);
        for bin in &mut self.bins {
            let said: Vec<Remark> = bin.pieces().into_iter().filter_map(|piece| age(piece, today)).collect();
            said.into_iter().for_each(|remark| bin.remarks.add(remark));
        }
        self
    }
}

/// What is to be said of the age of data.
fn age(piece: Piece<'_>, today: DataDate) -> Option<Remark> {
    let date = piece.provenance.date.filter(|_| !piece.invented)?;
    let named = |template: &str| {
        Phrase::new(template).text("what", piece.what).text("id", piece.id).text("date", date.to_string())
    };
    if date.is_after(today) {
        let says = named("{what} {id}: its data are dated {date}, after {today}: one of the two dates is wrong");
        return Some(Remark::new("data-date-ahead", says.text("today", today.to_string())));
    }
    let years = date.whole_years_to(today);
    (years >= OLD_YEARS).then(|| {
        let says = named(
            "{what} {id}: its data of {date} are {years} years old (said from {limit} years on, a judgement): ask the maker \
             whether they still hold",
        );
        Remark::new(DATA_OLD, says.count("years", years as usize).count("limit", OLD_YEARS as usize))
    })
}

/// Fans whose curve names no source, unless they are made up. Of burners it is not said: what counts of them stands on
/// their plate.
pub(crate) fn remark_unsourced(fans: &[equipment::Fan], remarks: &mut Remarks) {
    for fan in fans.iter().filter(|fan| fan.origin != Origin::Invented && fan.provenance.source.is_none()) {
        remarks.add(Remark::new(
            "data-without-source",
            Phrase::new("fan {id}: its curve names no source, and airflow rests on it: write source and date into the catalogue")
                .text("id", fan.id.as_str()),
        ));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dates_of_data_may_leave_out_day_and_month() {
        let read = |text: &str| date(text).map(|d| d.to_string());
        for good in ["2019", "2019-06", "2020-02-29"] {
            assert_eq!(read(good).as_deref(), Ok(good));
        }
        for bad in ["19", "2019-6", "2019-13", "2019-02-29", "2019-06-15-1", "1899", "2200", "June 2019", "", "2019-00"]
        {
            assert_eq!(read(bad).unwrap_err().code, "not-a-date", "{bad}");
        }
    }
}
