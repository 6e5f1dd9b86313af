//! The lots of each year: as they stand, as the table of the year says, or as the field has dried by the weather of the year.

use super::Site;
use crate::clock;
use crate::facts::{BinFacts, FieldEnd, Harvest, LotFacts, MonthDay};
use crate::job::LotOfYear;
use crops::Crop;
use notice::{Diagnostic, Kind, Phrase, Quantity, Remark, Remarks};
use physics::dry_down::DryDown;
use std::borrow::Cow;

/// Longest list of years in a sentence.
const LONGEST_LIST: usize = 6;

/// What became of the lots of a bin over the years, for what is to be said.
#[derive(Default)]
pub(super) struct Seen {
    /// Lots of every year that has any, in the order of the bin.
    pub years: Vec<(i32, Vec<LotOfYear>)>,
    /// Years that no row of a table names and that took the lot as it stands.
    as_stated: Vec<i32>,
    /// Years in which the field came to the lowest moisture of its rule.
    at_the_end: Vec<i32>,
    /// Years in which the moisture waited for did not come.
    too_late: Vec<i32>,
}

/// Whether all lots of a bin are alike in every year.
pub(super) fn same(bin: &BinFacts) -> bool {
    bin.lots.iter().all(|lot| lot.harvest == Harvest::Same)
}

impl Site<'_> {
    /// The bin with its lots as they were in a year, or why there are none.
    pub(super) fn of_year<'b>(
        &self,
        bin: &'b BinFacts,
        crop: &Crop,
        year: i32,
        seen: &mut Seen,
    ) -> Result<Cow<'b, BinFacts>, String> {
        if same(bin) {
            return Ok(Cow::Borrowed(bin));
        }
        let mut of_year = bin.clone();
        let (mut as_stated, mut at_the_end, mut too_late) = (false, false, false);
        for (k, lot) in of_year.lots.iter_mut().enumerate() {
            match lot.harvest.clone() {
                Harvest::Same => {}
                Harvest::ByYear { rows, others } => match rows.iter().find(|row| row.year == year) {
                    Some(row) => {
                        lot.from = row.from.unwrap_or(lot.from);
                        lot.moisture = row.moisture.unwrap_or(lot.moisture);
                        lot.temperature = row.temperature.or(lot.temperature);
                    }
                    None if others => as_stated = true,
                    None => return Err(format!("by_year of lot {} has no row for {year}", k + 1)),
                },
                Harvest::Field { on, moisture, until } => {
                    let Some(rule) = crop.dry_down.as_ref().map(|rule| &rule.value) else {
                        return Err(format!("no dry-down in the field is recorded for {}", crop.name));
                    };
                    let dried = self.dried(rule, (on, moisture), until, lot, year)?;
                    (lot.from, lot.moisture) = (dried.from, dried.moisture);
                    at_the_end |= dried.at_the_end;
                    too_late |= dried.too_late;
                }
            }
        }
        for (list, is) in
            [(&mut seen.as_stated, as_stated), (&mut seen.at_the_end, at_the_end), (&mut seen.too_late, too_late)]
        {
            list.extend(is.then_some(year));
        }
        let lots = of_year.lots.iter().map(|lot| LotOfYear {
            from: lot.from,
            moisture: lot.moisture,
            temperature: lot.temperature,
        });
        seen.years.push((year, lots.collect()));
        Ok(Cow::Owned(of_year))
    }

    /// Walks the days of a field from its stated day to the harvest.
    fn dried(
        &self,
        rule: &DryDown,
        (on, stated): (MonthDay, f64),
        until: FieldEnd,
        lot: &LotFacts,
        year: i32,
    ) -> Result<Dried, String> {
        let offset = self.facts.place.utc_offset;
        // The year of a season is that of its first load; a field that is dried over the new year was wet the year before.
        let before = (on.month, on.day) > (lot.from.month, lot.from.day);
        let start = clock::utc_hour(if before { year - 1 } else { year }, on, 0, offset);
        let last = clock::utc_hour(year, lot.from, 0, offset);
        let low = rule.range().low;
        let (mut moisture, mut day) = (stated, start);
        let day_of = |day: i64, moisture: f64| -> Result<f64, String> {
            let (maximum, minimum) = self.extremes(day)?;
            Ok(rule.after(moisture, rule.degree_days(maximum, minimum)))
        };
        while day < last {
            if let FieldEnd::Moisture(wanted) = until
                && moisture <= wanted
            {
                break;
            }
            moisture = day_of(day, moisture)?;
            day += 24;
        }
        let date = clock::month_day(day, offset);
        match until {
            FieldEnd::Moisture(wanted) if moisture <= wanted => {
                // A day's drying passes the moisture by a little; the fields are taken as each comes to it.
                Ok(Dried { from: date, moisture: wanted, at_the_end: false, too_late: false })
            }
            FieldEnd::Moisture(_) => Ok(Dried { from: date, moisture, at_the_end: false, too_late: true }),
            FieldEnd::Day => {
                // The field dries on while it is harvested: the lot has the mean of its days.
                let mut sum = 0.0;
                for k in 0..lot.days {
                    sum += moisture;
                    if k + 1 < lot.days {
                        moisture = day_of(day, moisture)?;
                        day += 24;
                    }
                }
                let mean = sum / f64::from(lot.days.max(1));
                Ok(Dried { from: lot.from, moisture: mean, at_the_end: moisture <= low, too_late: false })
            }
        }
    }

    /// Highest and lowest hourly temperature of a day, °C.
    fn extremes(&self, first: i64) -> Result<(f64, f64), String> {
        let day = self.record.series.window(first, 24).map_err(|incomplete| format!("in the field: {incomplete}"))?;
        let fold = |from: f64, pick: fn(f64, f64) -> f64| day.temperature_c.iter().copied().fold(from, pick);
        Ok((fold(f64::NEG_INFINITY, f64::max), fold(f64::INFINITY, f64::min)))
    }

    /// Rows of tables for years that the record does not have: they would be passed over without a word.
    pub(super) fn stray_rows(&self, bin: &BinFacts, years: &[i32], wrong: &mut notice::Diagnostics) {
        for (k, lot) in bin.lots.iter().enumerate() {
            let Harvest::ByYear { rows, .. } = &lot.harvest else { continue };
            let stray: Vec<i32> = rows.iter().map(|row| row.year).filter(|year| !years.contains(year)).collect();
            if stray.is_empty() {
                continue;
            }
            let at = self.at(format!("bins.{}.lots[{k}].by_year", bin.name));
            let found = format!("rows for {} of which the weather record has nothing", list(&stray));
            wrong.add(
                Diagnostic::error("year-without-weather", found, at)
                    .as_warning()
                    .help("they are not used; correct the years, or take a longer record"),
            );
        }
    }
}

/// A field at its harvest.
struct Dried {
    from: MonthDay,
    moisture: f64,
    at_the_end: bool,
    too_late: bool,
}

/// What is to be said of the lots over the years.
pub(super) fn remark(bin: &BinFacts, crop: &Crop, seen: &Seen, remarks: &mut Remarks) {
    let spread_of = |lot: &crate::facts::LotFacts| lot.moisture_sd.unwrap_or(crate::loads::USUAL_SPREAD * lot.moisture);
    if bin.lots.iter().any(|lot| lot.moisture_sd.is_none() && lot.days * lot.loads_per_day > 1) {
        let widest = bin.lots.iter().map(spread_of).fold(0.0, f64::max);
        remarks.add(Remark::new(
            "load-scatter",
            Phrase::new(
                "loads differ about the mean moisture with a standard deviation of a tenth of it, here {sd} points: say moisture_sd where you know better, the wettest loads decide much",
            )
            .text("sd", format!("{:.1}", 100.0 * widest)),
        ));
    }
    if same(bin) {
        remarks.add(Remark::new(
            "same-lot",
            Phrase::new("the same lot, on the same days at the same moisture, meets the weather of every year"),
        ));
        return;
    }
    let mut moistures: Vec<f64> = seen.years.iter().flat_map(|(_, lots)| lots.iter().map(|lot| lot.moisture)).collect();
    moistures.sort_by(f64::total_cmp);
    let wet = |m: Option<&f64>| Quantity::new(m.copied().unwrap_or(f64::NAN), Kind::MoistureWetBasis);
    let spread = |says: &str| {
        Phrase::new(says)
            .with("low", wet(moistures.first()))
            .with("high", wet(moistures.last()))
            .count("n", seen.years.len())
    };
    if bin.lots.iter().any(|lot| matches!(lot.harvest, Harvest::ByYear { .. })) {
        remarks.add(Remark::new(
            "lot-by-year",
            spread("lots by year, from {low} to {high} in {n} years; survey and air show the lot of no single year"),
        ));
    }
    if let Some(rule) =
        crop.dry_down.as_ref().filter(|_| bin.lots.iter().any(|lot| matches!(lot.harvest, Harvest::Field { .. })))
    {
        remarks.add(
            Remark::new(
                "field-dry-down",
                spread(
                    "harvested from {low} to {high} in {n} years, as the field dried by the degree-days of each year \
                     (highest and lowest hour of each day): a general rule without rain and humidity, others' figures differ by half",
                ),
            )
            .from_source(rule.evidence.source.clone()),
        );
        for (code, years, says) in [
            (
                "field-too-late",
                &seen.too_late,
                "the moisture waited for did not come in {years}: harvested on the latest day as it was",
            ),
            (
                "field-dry-down-end",
                &seen.at_the_end,
                "the field came to {end} in {years}, where its rule ends: counted as no drier, which it may have been",
            ),
        ] {
            if !years.is_empty() {
                let end = Quantity::new(rule.value.range().low, Kind::MoistureWetBasis);
                remarks.add(Remark::new(code, Phrase::new(says).text("years", list(years)).with("end", end)));
            }
        }
    }
    if !seen.as_stated.is_empty() {
        remarks.add(Remark::new(
            "lot-as-stated",
            Phrase::new("the table has no row for {years}: the lot as it stands was taken")
                .text("years", list(&seen.as_stated)),
        ));
    }
}

/// The lots a survey shows where they differ from year to year: the mean moisture, the lot's own days.
pub(super) fn middle(bin: &BinFacts, seen: &Seen) -> BinFacts {
    let mut middle = bin.clone();
    let count = seen.years.len();
    for (k, lot) in middle.lots.iter_mut().enumerate() {
        if lot.harvest != Harvest::Same && count > 0 {
            let of_lot = seen.years.iter().filter_map(|(_, lots)| lots.get(k));
            lot.moisture = of_lot.map(|lot| lot.moisture).sum::<f64>() / count as f64;
        }
    }
    middle
}

/// Years in words: all of a few, the first and last of many.
fn list(years: &[i32]) -> String {
    let shown: Vec<String> = years.iter().map(i32::to_string).collect();
    match shown.as_slice() {
        [.., last] if shown.len() > LONGEST_LIST => format!("{} years from {} to {last}", shown.len(), shown[0]),
        _ => shown.join(", "),
    }
}
