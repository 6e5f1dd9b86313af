//! What may be chosen for a bin: the field of the weighing, as the site says it.

use crate::facts::{Amount, BinFacts, LayersFacts};
use equipment::{Arrangement, Burner, BurnerRule, Control, Fan};
use physics::electric::Phases;
use season::Stirring;

/// Supply of the place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Supply {
    /// One phase or three.
    pub phases: Phases,
    /// Voltage, V.
    pub volts: f64,
    /// Current that may be drawn for this bin, A.
    pub amps: f64,
}

/// Most sound where somebody lives.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Quiet {
    /// Sound pressure, dB(A).
    pub level: f64,
    /// Distance of the house, m.
    pub distance: f64,
}

/// One way of filling the bin beside that of its lots.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FillChoice {
    /// Share of the quantity of every lot.
    pub share: f64,
    /// Days of filling of every lot; `None` as it stands.
    pub days: Option<u32>,
    /// Filled in layers, so many of equal size; 1 for none.
    pub layers: u32,
}

impl FillChoice {
    /// As the lots stand.
    pub const AS_IT_STANDS: Self = Self { share: 1.0, days: None, layers: 1 };

    /// Fills a bin so: every lot its share, over so many days, and cut into layers that come as the ones below dry.
    pub fn fill(&self, bin: &mut BinFacts) {
        let mut lots = Vec::new();
        for lot in &bin.lots {
            let mut part = lot.clone();
            let share = self.share / f64::from(self.layers.max(1));
            part.amount = match part.amount {
                Amount::WetMass(kg) => Amount::WetMass(kg * share),
                Amount::Bushels(n) => Amount::Bushels(n * share),
                Amount::Depth(m) => Amount::Depth(m * share),
            };
            let days = self.days.unwrap_or(lot.days);
            part.days = days.div_ceil(self.layers.max(1)).max(1);
            lots.extend(std::iter::repeat_n(part, self.layers.max(1) as usize));
        }
        bin.lots = lots;
        if self.layers > 1 && bin.layers.is_none() {
            bin.layers = Some(LayersFacts { dry_enough: None });
        }
    }
}

/// A control of fans with what it asks of a burner where there is one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ControlChoice {
    /// The control; its number of fans is that of the outfit it comes to.
    pub control: Control,
}

impl ControlChoice {
    /// Whether it asks for a burner.
    pub fn heats(&self) -> bool {
        self.control.burner != BurnerRule::Off
    }
}

/// What may be chosen.
#[derive(Debug, Clone, PartialEq)]
pub struct ChooseFacts {
    /// Fans to choose from.
    pub fans: Vec<Fan>,
    /// Most fans of an outfit.
    pub most_fans: u32,
    /// How they may stand.
    pub arrangements: Vec<Arrangement>,
    /// Burners to choose from, beside none.
    pub burners: Vec<Burner>,
    /// Controls to choose from; empty for that of the outfit.
    pub controls: Vec<ControlChoice>,
    /// Ways of filling beside that of the lots.
    pub fillings: Vec<FillChoice>,
    /// Stirring machine that may be chosen beside none.
    pub stirring: Option<Stirring>,
    /// Names of equipment that is owned already, as often as there are pieces: it costs nothing to buy.
    pub owned: Vec<String>,
    /// Supply; `None` for no limit.
    pub supply: Option<Supply>,
    /// Whether there is fuel.
    pub gas: bool,
    /// Most sound; `None` for no limit.
    pub quiet: Option<Quiet>,
    /// Most money for what is not owned; `None` for no limit.
    pub budget: Option<f64>,
    /// Grain that comes from the field each day and cannot wait; `None` for no limit.
    pub harvest_per_day: Option<Amount>,
}
