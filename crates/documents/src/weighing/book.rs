//! The workbook of a weighing: candidates that ran, the front, the excluded with reasons and numbers, the years, what matters.

use super::measure;
use crate::shown::Reader;
use advice::weigh::matters::Mattering;
use advice::weigh::score::YearScore;
use advice::weigh::{Answer, Shown, Standing, says};
use notice::Kind;
use rust_xlsxwriter::{DocProperties, ExcelDateTime, Format, Workbook, Worksheet, XlsxError};

/// Fuel by its weight.
const FUEL: Kind = Kind::Mass;

/// One cell.
enum Datum {
    Text(String),
    Number(f64),
    Nothing,
}

impl Datum {
    fn of(value: Option<f64>) -> Self {
        value.filter(|value| value.is_finite()).map_or(Self::Nothing, Self::Number)
    }
}

impl From<&str> for Datum {
    fn from(text: &str) -> Self {
        Self::Text(text.into())
    }
}

impl From<String> for Datum {
    fn from(text: String) -> Self {
        Self::Text(text)
    }
}

impl From<f64> for Datum {
    fn from(value: f64) -> Self {
        Self::of(Some(value))
    }
}

impl From<usize> for Datum {
    fn from(value: usize) -> Self {
        Self::Number(value as f64)
    }
}

/// A sheet: its columns with widths, its rows.
struct Sheet {
    name: &'static str,
    columns: Vec<(String, f64)>,
    rows: Vec<Vec<Datum>>,
}

/// Returns the workbook of one bin. The same weighing gives the same bytes. `date` is that of the work: year, month, day.
///
/// # Errors
/// When the library refuses it, which no content of ours causes.
pub fn workbook(
    answer: &Answer,
    matters: Option<&Mattering>,
    reader: Reader,
    (year, month, day): (u16, u8, u8),
) -> Result<Vec<u8>, XlsxError> {
    let mut book = Workbook::new();
    let date = ExcelDateTime::from_ymd(year, month, day)?;
    let title = format!("Outfits weighed, bin {}", answer.bin);
    book.set_properties(&DocProperties::new().set_title(&title).set_creation_datetime(&date));
    let strong = Format::new().set_bold();
    about(book.add_worksheet(), answer, reader, (&title, &strong))?;
    let mut sheets = vec![
        outfits("candidates", answer, reader, &in_order(answer)),
        outfits("front", answer, reader, &answer.front),
        excluded(answer, reader),
        years(answer, reader),
    ];
    if let Some(found) = matters {
        sheets.push(effects(answer, found));
        sheets.push(breaks(answer, found, reader));
        sheets.extend(shares(found));
    }
    for sheet in sheets {
        write(book.add_worksheet(), &sheet, &strong)?;
    }
    book.save_to_buffer()
}

/// The choice, the front, then by cost.
fn in_order(answer: &Answer) -> Vec<usize> {
    let mut order: Vec<usize> = (0..answer.outfits.len()).collect();
    let rank = |place: usize| (Some(place) != answer.chosen, !answer.front.contains(&place));
    order.sort_by(|&a, &b| {
        let cost = |place: usize| answer.outfits[place].score.cost();
        rank(a).cmp(&rank(b)).then(cost(a).total_cmp(&cost(b))).then(a.cmp(&b))
    });
    order
}

fn about(
    sheet: &mut Worksheet,
    answer: &Answer,
    reader: Reader,
    (title, strong): (&str, &Format),
) -> Result<(), XlsxError> {
    sheet.set_name("about")?;
    sheet.write_with_format(0, 0, title, strong)?;
    let mut facts = vec![
        ("answer", reader.sentence(&says::headline(answer))),
        (
            "costs are",
            format!("{}, mean of the years run, owning and remedies of failed years included", measure(answer)),
        ),
        ("wanted", format!("{:.0} % of the years met or held", 100.0 * answer.wanted)),
        ("years", format!("{} ({} to {})", answer.years.len(), first(&answer.years), last(&answer.years))),
        ("candidates", format!("{} of which {} excluded", answer.candidates, answer.excluded.len())),
        ("seasons", format!("{} on {} layers", answer.seasons, answer.layers)),
    ];
    if let Some(why) = says::unpriced(answer) {
        facts.push(("marked costs", format!("are the least they can be, because {why}")));
    }
    if let Some(check) = &answer.surface {
        facts.push((
            "not run",
            format!(
                "{} outfits read off a surface of {} seasons; it is off by {:.3} in the mean and {:.3} at most",
                answer.not_run, check.seasons, check.cost.0, check.cost.1
            ),
        ));
    }
    if answer.partial {
        facts.push(("cut short", "not all that was asked has run".into()));
    }
    facts.push(("caution", "estimates: wiring, gas, roofs and noise are for local codes and licensed practice".into()));
    for (row, (name, text)) in facts.iter().enumerate() {
        sheet.write(row as u32 + 2, 0, *name)?;
        sheet.write(row as u32 + 2, 1, text.as_str())?;
    }
    sheet.set_column_width(0, 16)?;
    sheet.set_column_width(1, 110)?;
    Ok(())
}

fn first(years: &[i32]) -> i32 {
    years.first().copied().unwrap_or(0)
}

fn last(years: &[i32]) -> i32 {
    years.last().copied().unwrap_or(0)
}

fn outfits(name: &'static str, answer: &Answer, reader: Reader, places: &[usize]) -> Sheet {
    let unit = |name: &str, kind: Kind| (reader.axis(name, kind), 13.0);
    let money = answer.currency.as_deref().unwrap_or("");
    let columns = vec![
        ("outfit".to_string(), 52.0),
        ("stands".into(), 12.0),
        (format!("cost, {}", measure(answer)), 13.0),
        ("all priced".into(), 10.0),
        ("years failed".into(), 12.0),
        ("years run".into(), 10.0),
        unit("airflow", Kind::SpecificAirflow),
        unit("static pressure", Kind::Pressure),
        unit("connected load", Kind::ElectricPower),
        ("current by code, A".into(), 13.0),
        ("sound at the house, dB(A)".into(), 13.0),
        unit("electricity", Kind::ElectricEnergy),
        unit("fuel", FUEL),
        (format!("first cost, {money}"), 13.0),
        ("worst year".into(), 11.0),
        ("why".into(), 110.0),
    ];
    let row = |&place: &usize| -> Vec<Datum> {
        let shown = &answer.outfits[place];
        let there = if shown.present { " (stands there)" } else { "" };
        vec![
            format!("{}{there}", shown.name).into(),
            stands(answer, place).into(),
            shown.score.cost().into(),
            if shown.unpriced { "no" } else { "yes" }.into(),
            shown.score.failures().into(),
            shown.score.run().into(),
            reader.value(Kind::SpecificAirflow, shown.specific_airflow).into(),
            reader.value(Kind::Pressure, shown.point.fan_static_pressure).into(),
            reader.value(Kind::ElectricPower, shown.point.input_power).into(),
            Datum::of(shown.amperes),
            Datum::of(shown.sound),
            reader.value(Kind::ElectricEnergy, mean(shown, |year| year.electricity)).into(),
            reader.value(FUEL, mean(shown, |year| year.fuel)).into(),
            Datum::of(shown.first_cost),
            Datum::of(shown.worst().map(|year| f64::from(year.year))),
            reader.sentence(&says::why(answer, place)).into(),
        ]
    };
    Sheet { name, columns, rows: places.iter().map(row).collect() }
}

fn stands(answer: &Answer, place: usize) -> &'static str {
    match &answer.outfits[place].standing {
        _ if answer.chosen == Some(place) => "the choice",
        _ if answer.equal.contains(&place) => "as good",
        Standing::Front => "front",
        Standing::Beaten(_) => "not worth it",
        Standing::Hopeless => "fails always",
        Standing::Unknown => "not known",
    }
}

fn mean(shown: &Shown, pick: fn(&YearScore) -> f64) -> f64 {
    shown.score.years.iter().flatten().map(pick).sum::<f64>() / shown.score.run().max(1) as f64
}

fn excluded(answer: &Answer, reader: Reader) -> Sheet {
    let columns = vec![("outfit".to_string(), 52.0), ("code".into(), 16.0), ("why".into(), 90.0)];
    let rows = answer.excluded.iter().map(|out| {
        vec![out.name.as_str().into(), out.reason.code().into(), reader.sentence(&out.reason.says()).into()]
    });
    Sheet { name: "excluded", columns, rows: rows.collect() }
}

fn years(answer: &Answer, reader: Reader) -> Sheet {
    let columns = vec![
        ("outfit".to_string(), 52.0),
        ("year".into(), 8.0),
        ("outcome".into(), 40.0),
        (format!("cost, {}", measure(answer)), 13.0),
        (reader.axis("electricity", Kind::ElectricEnergy), 13.0),
        (reader.axis("fuel", FUEL), 13.0),
        ("days to dry".into(), 12.0),
        ("storage life used, %".into(), 13.0),
        (reader.axis("moisture at the end", Kind::MoistureWetBasis), 13.0),
        ("remedy".into(), 90.0),
    ];
    let mut rows = Vec::new();
    for place in in_order(answer) {
        let shown = &answer.outfits[place];
        for year in shown.score.years.iter().flatten() {
            let outcome = match year.verdict {
                advice::Verdict::Met => "met",
                advice::Verdict::Held => "held",
                advice::Verdict::Failed(cause) => advice::sentences::cause_says(cause),
            };
            let remedy = year.cost.as_ref().and_then(|cost| cost.remedy.as_ref());
            rows.push(vec![
                shown.name.as_str().into(),
                f64::from(year.year).into(),
                outcome.into(),
                shown.score.cost_of(year).into(),
                reader.value(Kind::ElectricEnergy, year.electricity).into(),
                reader.value(FUEL, year.fuel).into(),
                Datum::of(year.days),
                Datum::of(year.life.map(|life| 100.0 * life)),
                reader.value(Kind::MoistureWetBasis, physics::grain::wet_basis(year.moisture)).into(),
                remedy.map_or(Datum::Nothing, |remedy| reader.sentence(&remedy.how).into()),
            ]);
        }
    }
    Sheet { name: "years", columns, rows }
}

fn effects(answer: &Answer, found: &Mattering) -> Sheet {
    let columns = vec![
        ("one assumption changed".to_string(), 44.0),
        (format!("cost then, {}", measure(answer)), 16.0),
        ("change".into(), 12.0),
        ("failed years then, %".into(), 16.0),
        ("change, points".into(), 14.0),
    ];
    let rows = found.effects.iter().map(|effect| {
        vec![
            effect.name.as_str().into(),
            effect.cost.into(),
            (effect.cost - effect.cost_before).into(),
            (100.0 * effect.failures).into(),
            (100.0 * (effect.failures - effect.failures_before)).into(),
        ]
    });
    Sheet { name: "what matters", columns, rows: rows.collect() }
}

fn breaks(answer: &Answer, found: &Mattering, reader: Reader) -> Sheet {
    let columns = vec![("the choice changes with".to_string(), 130.0)];
    let changes = found.breaks.found.iter().map(|at| reader.sentence(&says::breaking(answer, at)));
    let stays = found
        .breaks
        .stays
        .iter()
        .map(|&(axis, low, high)| format!("It stays with {}.", says::staying(axis, low, high).render(reader.0)));
    Sheet { name: "where it changes", columns, rows: changes.chain(stays).map(|says| vec![says.into()]).collect() }
}

fn shares(found: &Mattering) -> Option<Sheet> {
    let shares = found.shares.as_ref()?;
    let columns = vec![
        (format!("all assumptions together, {} points", shares.points), 44.0),
        ("share of the variance of cost, %".into(), 16.0),
        ("standard error".into(), 14.0),
        ("of failed years, %".into(), 16.0),
        ("standard error".into(), 14.0),
    ];
    let percent = |value: f64| Datum::from(100.0 * value);
    let row = |name: &str, cost: (f64, f64), failed: (f64, f64)| {
        vec![name.into(), percent(cost.0), percent(cost.1), percent(failed.0), percent(failed.1)]
    };
    let mut rows: Vec<Vec<Datum>> =
        shares.list.iter().map(|share| row(&share.name, share.cost, share.failures)).collect();
    rows.push(vec![
        "told by the fit at points it has not seen".into(),
        percent(shares.told.0),
        Datum::Nothing,
        percent(shares.told.1),
        Datum::Nothing,
    ]);
    Some(Sheet { name: "shares of variance", columns, rows })
}

fn write(sheet: &mut Worksheet, of: &Sheet, strong: &Format) -> Result<(), XlsxError> {
    sheet.set_name(of.name)?;
    for (c, (heading, width)) in of.columns.iter().enumerate() {
        sheet.write_with_format(0, c as u16, heading.as_str(), strong)?;
        sheet.set_column_width(c as u16, *width)?;
    }
    for (r, row) in of.rows.iter().enumerate() {
        for (c, datum) in row.iter().enumerate() {
            let (r, c) = (r as u32 + 1, c as u16);
            match datum {
                Datum::Text(text) => sheet.write(r, c, text.as_str())?,
                Datum::Number(value) => sheet.write(r, c, *value)?,
                Datum::Nothing => sheet,
            };
        }
    }
    sheet.set_freeze_panes(1, 1)?;
    if !of.rows.is_empty() {
        sheet.autofilter(0, 0, of.rows.len() as u32, of.columns.len() as u16 - 1)?;
    }
    Ok(())
}
