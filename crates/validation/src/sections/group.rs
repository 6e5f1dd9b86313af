//! Rows for many values of one table: one line for those that agree, one for each that does not.

use crate::page::{Section, Verdict, row};

/// One value of a table.
pub struct Value {
    /// Which.
    pub what: String,
    /// As printed.
    pub printed: f64,
    /// As computed, in the unit printed.
    pub ours: f64,
    /// How far it may be off.
    pub allowed: f64,
}

impl Value {
    /// Percent say nothing of a number that is hardly larger than its allowance.
    fn large(&self) -> bool {
        self.printed.abs() > 20.0 * self.allowed
    }
    fn agrees(&self) -> bool {
        (self.ours - self.printed).abs() <= self.allowed
    }
}

/// Most misses that get a line of their own; beyond that they share one.
const SINGLE: usize = 4;

/// Adds the lines of a group of values in one `unit`; `allowed` in words, `because` for misses and ranges alike.
pub fn group(
    section: &mut Section,
    what: &str,
    unit: &str,
    allowed: &str,
    values: impl Iterator<Item = Value>,
    because: &str,
) {
    let (good, bad): (Vec<Value>, Vec<Value>) = values.partition(Value::agrees);
    let span = |of: &[Value]| {
        let percent = of.iter().all(Value::large);
        let off = |v: &Value| if percent { 100.0 * (v.ours / v.printed - 1.0) } else { v.ours - v.printed };
        let low = of.iter().map(off).fold(f64::INFINITY, f64::min);
        let high = of.iter().map(off).fold(f64::NEG_INFINITY, f64::max);
        let in_unit = if percent { "%" } else { unit };
        match of.len() {
            1 => format!("{low:+.2} {in_unit}, allowed {allowed}"),
            _ => format!("{low:+.2} to {high:+.2} {in_unit}, allowed {allowed}"),
        }
    };
    match good.as_slice() {
        [] => {}
        [one] => {
            let line = row(what, format!("{} {unit}", one.printed), format!("{:.4} {unit}", one.ours));
            section.rows.push(line.off(span(&good)).is(Verdict::Agrees).because(because));
        }
        many => {
            let line = row(what, format!("{} values, {unit}", many.len()), "as printed within the allowance");
            section.rows.push(line.times(many.len()).off(span(many)).is(Verdict::Agrees).because(because));
        }
    }
    if bad.len() > SINGLE {
        let line = row(what, format!("{} values, {unit}", bad.len()), "outside the allowance");
        section.rows.push(line.times(bad.len()).off(span(&bad)).is(Verdict::Differs).because(because));
        return;
    }
    for v in bad {
        let line = row(v.what.clone(), format!("{} {unit}", v.printed), format!("{:.3} {unit}", v.ours));
        let difference = span(&[v]);
        section.rows.push(line.off(difference).is(Verdict::Differs).because(because));
    }
}
