//! Remarks of many years as one list: each once, with how many years it was said of and the worst of its figures.

use crate::phrase::{Filling, Phrase};
use crate::remark::{Remark, Remarks};

/// A remark and the years it was said of.
struct Sum {
    remark: Remark,
    years: usize,
    last: usize,
    differs: bool,
}

impl Remarks {
    /// One list from those of several years. Remarks of the same code and wording become one: it shows the worst figure (the
    /// lowest of a blank called `low`, the highest of any other) and says of how many years it was said. A single year keeps
    /// its remarks as they are.
    pub fn over_years<'a>(years: impl IntoIterator<Item = &'a Self>) -> Self {
        let mut sums: Vec<Sum> = Vec::new();
        let mut of = 0;
        for (year, remarks) in years.into_iter().enumerate() {
            of = year + 1;
            for remark in &remarks.0 {
                match sums.iter_mut().find(|sum| alike(&sum.remark, remark)) {
                    Some(sum) => sum.add(remark, year),
                    None => sums.push(Sum { remark: remark.clone(), years: 1, last: year, differs: false }),
                }
            }
        }
        Self(sums.into_iter().map(|sum| if of > 1 { sum.said(of) } else { sum.remark }).collect())
    }
}

/// Whether two remarks differ in their figures alone.
fn alike(a: &Remark, b: &Remark) -> bool {
    let same = |(x, y): (&(String, Filling), &(String, Filling))| {
        x.0 == y.0
            && match (&x.1, &y.1) {
                (Filling::Quantity(x), Filling::Quantity(y)) => x.kind == y.kind,
                (Filling::Count(_), Filling::Count(_)) => true,
                (x, y) => x == y,
            }
    };
    let (x, y) = (&a.says, &b.says);
    a.code == b.code
        && a.source == b.source
        && x.template == y.template
        && x.fillings.len() == y.fillings.len()
        && x.fillings.iter().zip(&y.fillings).all(same)
}

impl Sum {
    fn add(&mut self, other: &Remark, year: usize) {
        if self.last != year {
            self.years += 1;
            self.last = year;
        }
        for ((name, kept), (_, met)) in self.remark.says.fillings.iter_mut().zip(&other.says.fillings) {
            self.differs |= kept != met;
            let lowest = name == "low";
            match (kept, met) {
                (Filling::Quantity(kept), Filling::Quantity(met)) if (met.value < kept.value) == lowest => *kept = *met,
                (Filling::Count(kept), Filling::Count(met)) if (*met < *kept) == lowest => *kept = *met,
                _ => {}
            }
        }
    }

    fn said(self, of: usize) -> Remark {
        let worst = if self.differs { ", the worst shown" } else { "" };
        let Phrase { template, fillings } = self.remark.says;
        let says = Phrase { template: format!("{template} (in {{years}} of {{of_years}} years{worst})"), fillings }
            .count("years", self.years)
            .count("of_years", of);
        Remark { says, ..self.remark }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Kind, Quantity, UnitSystem};

    fn stall(hours: f64) -> Remark {
        let says = Phrase::new("a fan surged for {hours}").with("hours", Quantity::new(3600.0 * hours, Kind::Hours));
        Remark::new("stall", says)
    }

    fn moistures(low: f64, high: f64) -> Remark {
        let says = Phrase::new("between {low} and {high}")
            .with("low", Quantity::new(low, Kind::MoistureWetBasis))
            .with("high", Quantity::new(high, Kind::MoistureWetBasis));
        Remark::new("storage-range", says)
    }

    fn shown(years: &[Remarks]) -> Vec<String> {
        let sum = Remarks::over_years(years);
        sum.0.iter().map(|r| r.says.render(UnitSystem::Us).replace('\u{a0}', " ")).collect()
    }

    #[test]
    fn the_worst_year_is_shown_and_the_years_are_counted() {
        let still = || Remark::new("still-air", Phrase::new("no sun on the wall"));
        let years = [
            Remarks(vec![still(), stall(12.0), moistures(0.12, 0.20)]),
            Remarks(vec![still()]),
            Remarks(vec![still(), stall(240.0), moistures(0.13, 0.22)]),
            Remarks(vec![still(), stall(3.0), moistures(0.11, 0.21)]),
        ];
        assert_eq!(
            shown(&years),
            [
                "no sun on the wall (in 4 of 4 years)",
                "a fan surged for 240 h (in 3 of 4 years, the worst shown)",
                "between 11.0 % w.b. and 22.0 % w.b. (in 3 of 4 years, the worst shown)",
            ]
        );
    }

    #[test]
    fn one_year_and_none_are_left_as_they_are() {
        assert_eq!(shown(&[Remarks(vec![stall(12.0)])]), ["a fan surged for 12.0 h"]);
        assert!(shown(&[]).is_empty());
        assert!(shown(&[Remarks::default(), Remarks::default()]).is_empty());
    }

    #[test]
    fn other_words_are_other_remarks() {
        let text = |id: &str| Remark::new("fan", Phrase::new("fan {id}").text("id", id));
        let years = [Remarks(vec![text("a"), text("b")]), Remarks(vec![text("b")])];
        assert_eq!(shown(&years), ["fan a (in 1 of 2 years)", "fan b (in 2 of 2 years)"]);
    }
}
