//! Text with a unit to numbers in SI, and the refusals that say what to write instead.
//!
//! One door for site files, catalogues, the command line and forms. Leaves out where the text stood: the caller puts a
//! refusal in its place with [`QuantityError::at`].

use crate::units::{self, Unit};
use notice::nearest;
use notice::{Diagnostic, Kind, Place};

/// Longest text that is looked at; longer ones are no quantity.
const LONGEST: usize = 120;
/// Coldest temperature there is, °C.
const ABSOLUTE_ZERO: f64 = -273.15;

/// Why a text is no quantity.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{found}")]
pub struct QuantityError {
    /// Stable code in kebab case.
    pub code: &'static str,
    /// What was found, lower case, no full stop.
    pub found: String,
    /// What is allowed.
    pub allowed: Option<String>,
    /// What to write instead.
    pub help: Option<String>,
}

impl QuantityError {
    /// A refusal with its code and what was found.
    pub fn new(code: &'static str, found: impl Into<String>) -> Self {
        Self { code, found: found.into(), allowed: None, help: None }
    }

    /// The same with what is allowed.
    pub fn allowed(mut self, allowed: impl Into<String>) -> Self {
        self.allowed = Some(allowed.into());
        self
    }

    /// The same with what to write instead.
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(help.into());
        self
    }

    /// The same as a diagnostic at a place.
    pub fn at(self, place: Place) -> Diagnostic {
        let mut diagnostic = Diagnostic::error(self.code, self.found, place);
        diagnostic.allowed = self.allowed;
        diagnostic.help = self.help;
        diagnostic
    }
}

/// A moisture with the basis it was said on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moisture {
    /// Fraction wet basis.
    pub wet_basis: f64,
    /// Whether the text gave it on dry basis.
    pub said_dry: bool,
}

/// Reads a quantity of a kind in the unit kept inside the program (see [`Kind`]).
///
/// `"36 ft"`, `"21 ft 6 in"`, `"1.1 cfm/bu"`, `"0.5 in. w.g."`, `"20 % wb"`. Spaces between number and unit are free. A
/// moisture may be given on either basis and comes back on the basis of its kind; temperatures come back in °C.
///
/// # Errors
/// [`QuantityError`]: no number, a decimal comma, no unit, an unknown or ambiguous unit, a number too large to keep, a
/// temperature below absolute zero, a moisture that no grain can have.
///
/// ```
/// use notice::Kind;
/// assert!((sheet::quantity(Kind::Length, "21 ft 6 in").unwrap() - 6.5532).abs() < 1e-12);
/// assert!(sheet::quantity(Kind::Length, "21 yd").is_err());
/// ```
pub fn quantity(kind: Kind, text: &str) -> Result<f64, QuantityError> {
    match kind {
        Kind::MoistureWetBasis => return moisture(text).map(|m| m.wet_basis),
        Kind::MoistureDryBasis => return moisture(text).map(|m| m.wet_basis / (1.0 - m.wet_basis)),
        _ => {}
    }
    let value = in_units(units::units(kind), text)?;
    if kind == Kind::Temperature && value < ABSOLUTE_ZERO {
        return Err(QuantityError::new("below-absolute-zero", format!("temperature of {:?}", shown(text)))
            .allowed("must be above absolute zero"));
    }
    Ok(value)
}

/// Reads a moisture: `"20 %"` and `"20 % wb"` are wet basis, `"25 % db"` is dry basis.
///
/// # Errors
/// As [`quantity`]; also when it is negative or not below 100 % wet basis.
pub fn moisture(text: &str) -> Result<Moisture, QuantityError> {
    let clean = clean(text)?;
    let (number, unit) = split(&clean, text)?;
    let said_dry = units::find(units::DRY_BASIS, unit).is_some();
    if !said_dry && units::find(units::WET_BASIS, unit).is_none() {
        return Err(match unit.is_empty() {
            true => missing_unit(units::WET_BASIS, text, &format!("{number} %")).allowed(BASES),
            false => QuantityError::new("unknown-unit", format!("moisture of {:?} in {unit:?}", shown(text)))
                .allowed(BASES)
                .help(format!("write \"{number} %\" for wet basis, \"{number} % db\" for dry basis")),
        });
    }
    let fraction = number / 100.0;
    let wet_basis = if said_dry { fraction / (1.0 + fraction) } else { fraction };
    if !(fraction >= 0.0 && wet_basis < 1.0) {
        let error = QuantityError::new("moisture-impossible", format!("moisture of {:?}", shown(text)))
            .allowed("must be from 0 % to below 100 % wet basis");
        return Err(match said_dry || fraction < 0.0 {
            true => error,
            false => error.help(format!(
                "water is a share of the whole grain: no more than all of it; on dry basis write \"{number} % db\""
            )),
        });
    }
    Ok(Moisture { wet_basis, said_dry })
}

const BASES: &str = "must be in % (wet basis) or % db (dry basis)";

/// An airflow through grain as it was said.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum GrainAirflow {
    /// Per volume of grain as filled, m³/s per m³.
    PerVolume(f64),
    /// Per mass of grain as filled (wet), m³/s per kg.
    PerMass(f64),
}

impl GrainAirflow {
    /// Per volume of grain, 1/s: a mass fills a volume by its bulk density as filled (kg/m³ of moist grain).
    pub fn per_volume(self, bulk_density: f64) -> f64 {
        match self {
            Self::PerVolume(flow) => flow,
            Self::PerMass(flow) => flow * bulk_density,
        }
    }
}

/// Reads an airflow through grain, per volume (`"1 cfm/bu"`, `"40 m3/h/m3"`) or per mass (`"0.8 m3/min/t"`, `"13 L/s/t"`).
///
/// # Errors
/// As [`quantity`].
pub fn grain_airflow(text: &str) -> Result<GrainAirflow, QuantityError> {
    let cleaned = clean(text)?;
    let (_, unit) = split(&cleaned, text)?;
    if units::find(units::airflow_per_mass(), unit).is_some() {
        return in_units(units::airflow_per_mass(), text).map(GrainAirflow::PerMass);
    }
    quantity(Kind::SpecificAirflow, text).map(GrainAirflow::PerVolume)
}

/// Reads a difference of moistures in percentage points, as a fraction: `"1.5 %"`, `"1.5 points"`.
///
/// # Errors
/// As [`quantity`].
pub fn points(text: &str) -> Result<f64, QuantityError> {
    in_units(units::points(), text)
}

/// Number and unit of a text in one of a table of units, in SI.
pub fn in_units(table: &'static [Unit], text: &str) -> Result<f64, QuantityError> {
    let clean = clean(text)?;
    if let Some(inches) = feet_and_inches(table, &clean) {
        return finite(inches, text);
    }
    if let Some((number, unit)) = fraction(table, &clean) {
        return finite(number * unit.factor, text);
    }
    let (number, unit) = split(&clean, text)?;
    match units::find(table, unit) {
        Some(found) => finite(number * found.factor + found.offset, text),
        None if unit.is_empty() => {
            let first = table.first().and_then(|u| u.names.first()).copied().unwrap_or_default();
            Err(missing_unit(table, text, &format!("{number} {first}")))
        }
        None => Err(unknown_unit(table, text, unit)),
    }
}

/// `1/8 in`, `1 1/4 in`, `1-1/4"`: vulgar fractions of a length, as holes, pipes and sheets are sold.
fn fraction(table: &'static [Unit], clean: &str) -> Option<(f64, &'static Unit)> {
    // Other quantities write no fractions, and "1/s" is a unit.
    table.iter().find(|u| u.names.contains(&"ft") && table.iter().any(|other| other.names.contains(&"in")))?;
    let (above, rest) = clean.split_once(['/', '⁄'])?;
    let digits = |text: &str| (1..=4).contains(&text.len()) && text.bytes().all(|b| b.is_ascii_digit());
    let end = rest.find(|c: char| !c.is_ascii_digit())?;
    let (below, unit) = (&rest[..end], &rest[end..]);
    let (whole, above) = above.trim().rsplit_once([' ', '-']).unwrap_or(("0", above.trim()));
    let whole = whole.trim();
    if !digits(whole) || !digits(above) || !digits(below) {
        return None;
    }
    let (whole, above, below): (f64, f64, f64) = (whole.parse().ok()?, above.parse().ok()?, below.parse().ok()?);
    let unit = units::find(table, unit.trim())?;
    (below > 0.0 && above < below).then_some((whole + above / below, unit))
}

/// `21 ft 6 in`, `21' 6"`: feet with inches below a foot.
fn feet_and_inches(table: &'static [Unit], clean: &str) -> Option<f64> {
    let foot = table.iter().find(|u| u.names.contains(&"ft"))?;
    let inch = table.iter().find(|u| u.names.contains(&"in"))?;
    let (feet, rest) = number_of(clean)?;
    let end = rest.find(|c: char| c.is_ascii_digit())?;
    let (inches, last) = number_of(&rest[end..])?;
    let is = |unit: &Unit, spelling: &str| units::find(table, spelling.trim()).is_some_and(|u| u == unit);
    let sound = feet >= 0.0 && (0.0..12.0).contains(&inches) && is(foot, &rest[..end]) && is(inch, last);
    sound.then_some(feet * foot.factor + inches * inch.factor)
}

/// The text with one kind of space, minus and prime.
pub fn clean(text: &str) -> Result<String, QuantityError> {
    if text.len() > LONGEST {
        return Err(QuantityError::new("not-a-number", format!("text of {} characters", text.chars().count()))
            .allowed("must be a number with a unit"));
    }
    let one = |c: char| match c {
        '−' | '–' | '‐' | '‑' => '-',
        '\u{a0}' | '\u{202f}' | '\u{2009}' | '\u{2007}' => ' ',
        '′' | '’' => '\'',
        '″' | '”' => '"',
        c => c,
    };
    Ok(text.chars().map(one).collect::<String>().trim().to_string())
}

/// Leading number and what follows, trimmed.
fn number_of(clean: &str) -> Option<(f64, &str)> {
    let bytes = clean.as_bytes();
    let mut end = 0;
    if matches!(bytes.first(), Some(b'+' | b'-')) {
        end = 1;
    }
    let digits = |from: usize| bytes[from..].iter().take_while(|b| b.is_ascii_digit()).count();
    let whole = digits(end);
    end += whole;
    let mut fraction = 0;
    if bytes.get(end) == Some(&b'.') {
        fraction = digits(end + 1);
        // "12. ft" keeps its dot for the number, as people write it.
        end += 1 + fraction;
    }
    if whole + fraction == 0 {
        return None;
    }
    if matches!(bytes.get(end), Some(b'e' | b'E')) {
        let sign = usize::from(matches!(bytes.get(end + 1), Some(b'+' | b'-')));
        let exponent = digits((end + 1 + sign).min(bytes.len()));
        if exponent > 0 {
            end += 1 + sign + exponent;
        }
    }
    let number = clean[..end].parse().ok()?;
    Some((number, clean[end..].trim()))
}

/// Number and unit of a cleaned text.
pub fn split<'c>(clean: &'c str, text: &str) -> Result<(f64, &'c str), QuantityError> {
    let Some((number, unit)) = number_of(clean) else {
        return Err(QuantityError::new("not-a-number", format!("{:?} does not begin with a number", shown(text)))
            .allowed("must be a number with a unit"));
    };
    if let Some(rest) = unit.strip_prefix(',') {
        let digits: String = rest.chars().take_while(char::is_ascii_digit).collect();
        let mut error = QuantityError::new("number-with-comma", format!("{:?} holds a comma", shown(text)))
            .allowed("must be written with a decimal point and without marks between thousands");
        if !digits.is_empty() {
            let whole: String = clean.chars().take_while(|c| *c != ',').collect();
            let as_point = clean.replacen(',', ".", 1);
            error = match digits.len() == 3 {
                true => error.help(format!("write \"{whole}{rest}\", or \"{as_point}\" if it is a fraction")),
                false => error.help(format!("write \"{as_point}\"")),
            };
        }
        return Err(error);
    }
    if unit.starts_with(|c: char| c.is_ascii_digit()) {
        return Err(QuantityError::new("not-a-number", format!("{:?} holds two numbers", shown(text)))
            .allowed("must be one number with a unit")
            .help("write thousands without a space"));
    }
    Ok((finite(number, text)?, unit))
}

fn finite(value: f64, text: &str) -> Result<f64, QuantityError> {
    if value.is_finite() {
        return Ok(value);
    }
    Err(QuantityError::new("number-too-large", format!("{:?} is too large", shown(text))))
}

/// A text for a message: cut where it is long.
pub fn shown(text: &str) -> String {
    const MOST: usize = 48;
    match text.char_indices().nth(MOST) {
        Some((end, _)) => format!("{}...", &text[..end]),
        None => text.to_string(),
    }
}

fn list(table: &'static [Unit]) -> String {
    let names: Vec<&str> = table.iter().filter_map(|u| u.names.first()).copied().filter(|n| !n.is_empty()).collect();
    match names.len() {
        0 => "must be a number without a unit".into(),
        1 => format!("must be a number with the unit {}", names[0]),
        _ => format!("must be a number with one of the units {}", names.join(", ")),
    }
}

/// The refusal of a number without unit.
pub fn missing_unit(table: &'static [Unit], text: &str, example: &str) -> QuantityError {
    QuantityError::new("missing-unit", format!("{:?} has no unit", shown(text)))
        .allowed(list(table))
        .help(format!("write \"{example}\""))
}

/// The refusal of a unit that is none of a table, with the words people mean by it.
pub fn unknown_unit(table: &'static [Unit], text: &str, unit: &str) -> QuantityError {
    let error = QuantityError::new("unknown-unit", format!("{:?} has the unit {:?}", shown(text), shown(unit)))
        .allowed(list(table));
    let key = units::key(unit);
    let knows = |name: &str| units::find(table, name).is_some();
    match key.as_str() {
        "ton" | "tons" if knows("t") => error
            .help("a ton may be short (2000 lb), long (2240 lb) or metric: write \"short ton\", \"long ton\" or \"t\""),
        "T" if knows("t") => error.help("write \"t\" for the tonne of 1000 kg"),
        "MBtu/h" | "MBtuh" | "MBH" | "mbtu/h" | "MBtu/hr" if knows("MMBtu/h") => {
            error.help("the prefix M is read as a thousand or a million: write \"Btu/h\" or \"MMBtu/h\"")
        }
        "in" | "\"" | "inch" | "inches" if knows("in wc") => error.help("say what of: \"in wc\" for inches of water"),
        "gal" | "gals" | "gallon" | "gallons" => error.help("a gallon may be US or imperial"),
        per_mass if knows("cfm/bu") && ["/t", "/tonne", "/kg"].iter().any(|end| per_mass.ends_with(end)) => error
            .help("airflow per mass depends on the density of the grain: write it per volume, in cfm/bu or m3/h/m3"),
        "ppm" | "" => error,
        _ => {
            let names = table.iter().flat_map(|u| u.names.iter().copied()).filter(|name| !name.is_empty());
            match nearest(unit, names) {
                Some(near) => error.help(format!("did you mean {near:?}?")),
                None => error,
            }
        }
    }
}

#[cfg(test)]
#[path = "quantity_tests.rs"]
mod tests;
