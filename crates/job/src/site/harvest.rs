//! When a lot comes and how wet: alike every year, by a table, or as the field has dried by then.

use super::bin::{MOISTURE, TEMPERATURE};
use crate::facts::{FieldEnd, Harvest, LotYear, MonthDay};
use crate::parse;
use crops::Crop;
use notice::{Diagnostic, Kind};
use sheet::Node;

/// Years a table may name.
const YEARS: (u32, u32) = (1800, 2200);
/// Most rows of a table.
const MOST_ROWS: usize = 400;

/// What a lot says of its time and moisture.
pub(super) struct When {
    pub moisture: f64,
    pub from: MonthDay,
    pub harvest: Harvest,
}

/// Reads `by_year` and `field` beside the lot's own `moisture` and `from`, each absent, faulty (`None`) or read.
pub(super) fn read(
    node: &Node<'_, '_>,
    moisture: Option<Option<f64>>,
    from: Option<Option<MonthDay>>,
    crop: Option<&Crop>,
) -> Option<When> {
    let rows = node.tables("by_year");
    let field = node.table("field");
    if node.has("by_year") && node.has("field") {
        node.fault(
            "field",
            "harvest-twice",
            "field beside by_year",
            "one of the two says how the lot goes with the years",
        );
        return None;
    }
    if let Some(field) = field {
        return of_field(node, &field, moisture, from, crop);
    }
    if node.has("by_year") {
        return by_year(node, rows, moisture?, from?);
    }
    let need =
        |key: &str, example: &str| node.missing(key, &format!("{key} = {example:?}, or a table by_year, or field"));
    if !node.has("moisture") {
        need("moisture", "20 %");
    }
    if !node.has("from") {
        need("from", "10-10");
    }
    Some(When { moisture: moisture??, from: from??, harvest: Harvest::Same })
}

fn by_year(
    node: &Node<'_, '_>,
    tables: Vec<Node<'_, '_>>,
    moisture: Option<f64>,
    from: Option<MonthDay>,
) -> Option<When> {
    if tables.is_empty() || tables.len() > MOST_ROWS {
        let found = format!("by_year of {} rows", tables.len());
        node.fault("by_year", "number-of-rows", found, format!("must have from 1 to {MOST_ROWS}"));
        return None;
    }
    let mut rows: Vec<LotYear> = Vec::new();
    let mut whole = true;
    for table in tables {
        if !table.has("year") {
            table.missing("year", "year = 2009");
        }
        let year = table.count("year", YEARS.0, YEARS.1);
        // What the lot says for all years may be left out of a row.
        if moisture.is_none() && !table.has("moisture") {
            table.missing("moisture", "moisture = \"20 %\", here or for all years in the lot");
        }
        if from.is_none() && !table.has("from") {
            table.missing("from", "from = \"10-10\", here or for all years in the lot");
        }
        let row = LotYear {
            year: year.map_or(0, |y| y as i32),
            from: table.parsed("from", parse::month_day),
            moisture: table.quantity("moisture", Kind::MoistureWetBasis, MOISTURE),
            temperature: table.quantity("temperature", Kind::Temperature, TEMPERATURE),
        };
        table.close();
        // The day is the row's own, or that of the lot for all years.
        if let (Some(year), Some(day)) = (year, row.from.or(from))
            && (day.month, day.day) == (2, 29)
            && !leap(year)
        {
            let found = format!("29 February in {year}");
            table.fault(
                if row.from.is_some() { "from" } else { "year" },
                "not-a-day",
                found,
                "there is no such day in that year",
            );
            whole = false;
            continue;
        }
        let faulty = (table.has("from") && row.from.is_none())
            || (table.has("moisture") && row.moisture.is_none())
            || (table.has("temperature") && row.temperature.is_none());
        let lacks = (moisture.is_none() && row.moisture.is_none()) || (from.is_none() && row.from.is_none());
        if year.is_none() || faulty || lacks {
            whole = false;
            continue;
        }
        if rows.iter().any(|other| other.year == row.year) {
            let found = format!("second row of {}", row.year);
            table.fault("year", "year-twice", found, "must be one row a year");
            whole = false;
        }
        rows.push(row);
    }
    if !whole {
        return None;
    }
    rows.sort_by_key(|row| row.year);
    let others = moisture.is_some() && from.is_some();
    let said: Vec<f64> = rows.iter().filter_map(|row| row.moisture).collect();
    let moisture = moisture.or_else(|| (!said.is_empty()).then(|| said.iter().sum::<f64>() / said.len() as f64));
    let mut days: Vec<MonthDay> = rows.iter().filter_map(|row| row.from).collect();
    days.sort();
    let from = from.or_else(|| days.get(days.len() / 2).copied());
    Some(When { moisture: moisture?, from: from?, harvest: Harvest::ByYear { rows, others } })
}

/// Whether a year of the Gregorian calendar has a 29 February.
fn leap(year: u32) -> bool {
    (year.is_multiple_of(4) && !year.is_multiple_of(100)) || year.is_multiple_of(400)
}

fn of_field(
    node: &Node<'_, '_>,
    field: &Node<'_, '_>,
    moisture: Option<Option<f64>>,
    from: Option<Option<MonthDay>>,
    crop: Option<&Crop>,
) -> Option<When> {
    let rule = crop.and_then(|crop| crop.dry_down.as_ref());
    if let (Some(crop), None) = (crop, rule) {
        node.add(
            Diagnostic::error("no-field-dry-down", format!("field of {}", crop.name), node.place("field"))
                .allowed("a dry-down in the field is recorded for corn and for crops of your own with [field_dry_down]")
                .help("give moisture and from, or a table by_year with those of each year"),
        );
    }
    let range = rule.map_or(notice::Range::new(0.03, 0.45), |rule| rule.value.range());
    let of_rule = |text: &str| {
        let value = parse::quantity(Kind::MoistureWetBasis, text)?;
        if range.contains(value) {
            return Ok(value);
        }
        let found = format!("{:?} is outside the evidence of the dry-down in the field", parse::shown(text));
        let allowed = format!("must be from {:.0} % to {:.0} % wet basis", 100.0 * range.low, 100.0 * range.high);
        Err(parse::QuantityError::new("out-of-bounds", found).allowed(allowed))
    };
    let on = field.needed("on", "09-20", parse::month_day);
    let start = field.needed("moisture", "30 %", of_rule);
    let had_latest = field.has("latest");
    let latest = field.parsed("latest", parse::month_day);
    field.close();
    let wanted = match moisture? {
        Some(_) => node.parsed("moisture", of_rule).map(Some),
        None => Some(None),
    };
    let (wanted, from) = (wanted?, from?);
    rule?;
    let (on, start) = (on?, start?);
    match (wanted, from) {
        (Some(_), Some(_)) => node.fault(
            "field",
            "harvest-twice",
            "field beside both moisture and from",
            "must stand beside one: from (harvested that day, as wet as it is) or moisture (harvested when it is reached)",
        ),
        (None, None) => node.fault(
            "field",
            "harvest-never",
            "field without moisture or from",
            "must stand beside one: from (harvested that day, as wet as it is) or moisture (harvested when it is reached)",
        ),
        (None, Some(from)) => {
            if had_latest {
                field.fault("latest", "harvest-twice", "latest beside from", "latest goes with a moisture to wait for");
                return None;
            }
            let harvest = Harvest::Field { on, moisture: start, until: FieldEnd::Day };
            return after(node, "from", on, from).map(|from| When { moisture: start, from, harvest });
        }
        (Some(wanted), None) => {
            if !had_latest {
                field.missing("latest", "latest = \"11-15\", the day on which it is harvested however wet it is");
            }
            if wanted > start {
                let found = "moisture to wait for above that of the field";
                node.fault("moisture", "harvest-never", found, "must be at or below it: the field only dries");
                return None;
            }
            let harvest = Harvest::Field { on, moisture: start, until: FieldEnd::Moisture(wanted) };
            return after(field, "latest", on, latest?).map(|from| When { moisture: wanted, from, harvest });
        }
    }
    None
}

/// The day of harvest, when it follows the day of the field within a season.
fn after(node: &Node<'_, '_>, key: &str, on: MonthDay, day: MonthDay) -> Option<MonthDay> {
    const LONGEST: i32 = 150;
    if super::goal::days_between(on, day) <= LONGEST {
        return Some(day);
    }
    let found = format!("{key} of {:02}-{:02} with the field as on {:02}-{:02}", day.month, day.day, on.month, on.day);
    node.fault(key, "harvest-before-field", found, format!("must follow within {LONGEST} days"));
    None
}
