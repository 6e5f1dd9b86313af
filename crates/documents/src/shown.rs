//! Values of a kind in the units of the reader.

use crate::{
    colour::Hues,
    ticks::{number, widen},
};
use notice::{Kind, Phrase, UnitSystem, phrase::Filling};

/// What stands where there is no number.
pub const NOT_REACHED: &str = "not reached";

/// How wide a picture is laid out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// For a desk or a sheet of paper: 720 units.
    Wide,
    /// For a telephone: 344 units.
    Narrow,
}

impl Form {
    /// Width in scene units.
    pub fn width(self) -> f64 {
        match self {
            Self::Wide => 720.0,
            Self::Narrow => 344.0,
        }
    }
}

/// A reader's unit system, with what is asked of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Reader(pub UnitSystem);

impl Reader {
    /// The value in the unit shown.
    pub fn value(self, kind: Kind, value: f64) -> f64 {
        let shown = kind.shown(self.0);
        value * shown.factor + shown.offset
    }

    /// The number alone, with the kind's usual decimals; none when it is no number.
    pub fn number(self, kind: Kind, value: f64) -> Option<String> {
        let value = self.value(kind, value);
        value.is_finite().then(|| number(value, kind.decimals(self.0, value)))
    }

    /// Number and unit, or "not reached".
    pub fn text(self, kind: Kind, value: f64) -> String {
        match (self.number(kind, value), kind.shown(self.0).unit) {
            (None, _) => NOT_REACHED.into(),
            (Some(number), "") => number,
            (Some(number), unit) => format!("{number}\u{a0}{unit}"),
        }
    }

    /// "name, unit", for axes.
    pub fn axis(self, name: &str, kind: Kind) -> String {
        match kind.shown(self.0).unit {
            "" => name.to_string(),
            unit => format!("{name}, {unit}"),
        }
    }

    /// Points with their second value in the unit shown.
    pub fn series(self, kind: Kind, points: &[(f64, f64)]) -> Vec<(f64, f64)> {
        points.iter().map(|(x, y)| (*x, self.value(kind, *y))).collect()
    }

    /// A phrase as a sentence: first letter large, a full stop at its end.
    pub fn sentence(self, phrase: &Phrase) -> String {
        let mut phrase = phrase.clone();
        for (_, filling) in &mut phrase.fillings {
            if matches!(filling, Filling::Quantity(q) if !q.value.is_finite()) {
                *filling = Filling::Text(NOT_REACHED.into());
            }
        }
        sentence(&phrase.render(self.0))
    }
}

/// Text with its first letter large and a full stop at its end, where it has none ("% w.b." ends with one).
pub fn sentence(text: &str) -> String {
    let mut chars = text.trim().chars();
    let Some(first) = chars.next() else { return String::new() };
    let stop = if text.trim().ends_with(['.', '!', '?', ':']) { "" } else { "." };
    format!("{}{}{stop}", first.to_uppercase(), chars.as_str())
}

/// Smallest and largest of the finite values; none when there are none.
pub fn extremes(values: impl IntoIterator<Item = f64>) -> Option<(f64, f64)> {
    values
        .into_iter()
        .filter(|v| v.is_finite())
        .fold(None, |ends, v| ends.map_or(Some((v, v)), |(low, high): (f64, f64)| Some((low.min(v), high.max(v)))))
}

/// Ends of an axis around values: whole steps, or 0 to 1 when there are no values.
pub fn around(values: impl IntoIterator<Item = f64>, wanted: usize) -> (f64, f64) {
    extremes(values).map_or((0.0, 1.0), |(low, high)| widen(low, high, wanted))
}

/// The run of hues for a kind.
pub fn hues(kind: Kind) -> Hues {
    match kind {
        Kind::MoistureWetBasis | Kind::MoistureDryBasis | Kind::RelativeHumidity | Kind::HumidityRatio => {
            Hues::StrawToWater
        }
        Kind::Temperature | Kind::TemperatureDifference => Hues::SkyToEmber,
        _ => Hues::ChalkToPlum,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_no_number_is_said_in_words() {
        let us = Reader(UnitSystem::Us);
        assert_eq!(us.text(Kind::Temperature, f64::NAN), "not reached");
        assert_eq!(us.text(Kind::Temperature, f64::INFINITY), "not reached");
        assert_eq!(us.text(Kind::Temperature, 0.0), "32.0\u{a0}°F");
        assert_eq!(us.text(Kind::GrainVolume, 20_000.0 * notice::quantity::BUSHEL_M3), "20\u{202f}000\u{a0}bu");
        assert_eq!(around([f64::NAN], 5), (0.0, 1.0));
        assert_eq!(extremes([3.0, f64::NAN, -1.0]), Some((-1.0, 3.0)));
    }

    #[test]
    fn phrases_become_sentences() {
        let us = Reader(UnitSystem::Us);
        assert_eq!(us.sentence(&Phrase::new("it dries")), "It dries.");
        assert_eq!(us.sentence(&Phrase::new("")), "");
        assert_eq!(sentence("15 % w.b."), "15 % w.b.");
    }
}
