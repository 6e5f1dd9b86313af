//! The numbers behind every picture of a paper as a workbook: a first sheet that says what they are, then a sheet for each list.

use super::{Align, Cell, Datum, Paper, Series, Table};
use rust_xlsxwriter::{DocProperties, ExcelDateTime, Format, Workbook, Worksheet, XlsxError};

/// Longest name of a sheet.
const LONGEST: usize = 31;

/// Returns the workbook.
///
/// # Errors
/// When the library refuses it, which no content of ours causes.
pub fn write(paper: &Paper) -> Result<Vec<u8>, XlsxError> {
    let mut book = Workbook::new();
    let (year, month, day) = paper.date;
    // The date of the paper, not of the writing: the same paper gives the same bytes.
    let date = ExcelDateTime::from_ymd(u16::try_from(year).unwrap_or(2000), month, day)?;
    book.set_properties(&DocProperties::new().set_title(paper.title()).set_creation_datetime(&date));
    let strong = Format::new().set_bold();
    let mut names: Vec<String> = Vec::new();
    let first = book.add_worksheet();
    first.set_name(sheet_name("about", &mut names))?;
    about(first, paper, &strong)?;
    for figure in paper.figures() {
        for series in &figure.behind {
            let sheet = book.add_worksheet();
            sheet.set_name(sheet_name(&series.name, &mut names))?;
            list(sheet, paper, &figure.name, series, &strong)?;
        }
    }
    for table in paper.tables().filter(|table| table.columns.iter().any(|c| c.align == Align::Number)) {
        let sheet = book.add_worksheet();
        sheet.set_name(sheet_name(&table.caption, &mut names))?;
        rows(sheet, paper, table, &strong)?;
    }
    book.save_to_buffer()
}

/// A name that a workbook takes, and that no other sheet of it has.
fn sheet_name(wanted: &str, taken: &mut Vec<String>) -> String {
    let plain: String = wanted
        .chars()
        .filter(|c| c.is_alphanumeric() || matches!(c, ' ' | '-' | '%' | '.' | ',' | '°' | '(' | ')'))
        .collect();
    let plain = if plain.trim().is_empty() { "sheet" } else { plain.trim() };
    // Cut behind a word where that leaves most of the name.
    let cut = |room: usize| {
        let short: String = plain.chars().take(room).collect();
        let whole = short.len() == plain.len() || plain[short.len()..].starts_with(' ');
        let end = short.rfind(' ').filter(|end| !whole && *end > room / 2).unwrap_or(short.len());
        short[..end].trim().to_string()
    };
    let mut name = cut(LONGEST);
    let mut number = 1;
    while taken.iter().any(|other| other.to_lowercase() == name.to_lowercase()) {
        number += 1;
        name = format!("{} {number}", cut(LONGEST - 4));
    }
    taken.push(name.clone());
    name
}

/// Title, marks and facts.
fn about(sheet: &mut Worksheet, paper: &Paper, strong: &Format) -> Result<(), XlsxError> {
    sheet.write_with_format(0, 0, paper.title(), strong)?;
    let mut row = 1;
    for mark in &paper.marks {
        sheet.write_with_format(row, 0, mark.as_str(), strong)?;
        row += 1;
    }
    for (name, says) in &paper.facts {
        sheet.write(row, 0, name.as_str())?;
        sheet.write(row, 1, says.as_str())?;
        row += 1;
    }
    sheet.write(row, 0, paper.foot.as_str())?;
    sheet.set_column_width(0, 24)?;
    sheet.set_column_width(1, 70)?;
    Ok(())
}

/// What the sheet is, with the marks that every page carries; returns the row below.
fn head(sheet: &mut Worksheet, paper: &Paper, name: &str, strong: &Format) -> Result<u32, XlsxError> {
    sheet.write_with_format(0, 0, name, strong)?;
    let marks: Vec<&str> = paper.marks.iter().map(String::as_str).chain([paper.foot.as_str()]).collect();
    sheet.write(1, 0, marks.join(" · "))?;
    Ok(3)
}

fn list(sheet: &mut Worksheet, paper: &Paper, name: &str, series: &Series, strong: &Format) -> Result<(), XlsxError> {
    let top = head(sheet, paper, &format!("{name}: {}", series.name), strong)?;
    for (c, heading) in series.columns.iter().enumerate() {
        sheet.write_with_format(top, c as u16, heading.as_str(), strong)?;
    }
    for (r, row) in series.rows.iter().enumerate() {
        for (c, datum) in row.iter().enumerate() {
            let place = (top + 1 + r as u32, c as u16);
            match datum {
                Datum::Number(value) if value.is_finite() => sheet.write(place.0, place.1, *value)?,
                Datum::Number(_) => sheet,
                Datum::Text(text) => sheet.write(place.0, place.1, text.as_str())?,
            };
        }
    }
    sheet.set_freeze_panes(top + 1, 0)?;
    Ok(())
}

fn rows(sheet: &mut Worksheet, paper: &Paper, table: &Table, strong: &Format) -> Result<(), XlsxError> {
    let top = head(sheet, paper, &table.caption, strong)?;
    for (c, column) in table.columns.iter().enumerate() {
        let unit = if column.unit.is_empty() { String::new() } else { format!(", {}", column.unit) };
        sheet.write_with_format(top, c as u16, format!("{}{unit}", column.heading), strong)?;
    }
    for (r, row) in table.rows.iter().enumerate() {
        for (c, cell) in row.iter().enumerate() {
            let place = (top + 1 + r as u32, c as u16);
            match cell {
                Cell::Number { value, .. } => sheet.write(place.0, place.1, *value)?,
                other => sheet.write(place.0, place.1, other.shown())?,
            };
        }
    }
    sheet.set_freeze_panes(top + 1, 0)?;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sheets_have_names_of_their_own() {
        let mut taken = Vec::new();
        let long = "Mean moisture of every year over the days from its first load";
        let names: Vec<String> =
            ["years", "Years", long, long, "[]:*?/\\", ""].iter().map(|name| sheet_name(name, &mut taken)).collect();
        assert!(names.iter().all(|name| (1..=LONGEST).contains(&name.chars().count())), "{names:?}");
        let mut folded: Vec<String> = names.iter().map(|name| name.to_lowercase()).collect();
        folded.sort();
        folded.dedup();
        assert_eq!(folded.len(), names.len());
        assert_eq!(sheet_name("At 15.0 °F outdoors", &mut Vec::new()), "At 15.0 °F outdoors");
        assert_eq!(sheet_name(long, &mut Vec::new()), "Mean moisture of every year");
    }
}
