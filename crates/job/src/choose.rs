//! What may be chosen for a bin: the field of the weighing, as the site says it.

use crate::facts::{Amount, BinFacts, DwellingPlace, LayersFacts, PowerFacts, SiteFacts, YardFacts};
use equipment::{Arrangement, Burner, BurnerRule, Control, Fan, wiring};
use physics::electric::Phases;
use physics::sound::Surroundings;
use season::Stirring;

/// Supply of the place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Supply {
    /// One phase or three.
    pub phases: Phases,
    /// Voltage, V.
    pub volts: f64,
    /// Current that may be drawn for this bin, A; `None` where nobody says how much there is.
    pub amps: Option<f64>,
}

impl Supply {
    /// What `[power]` leaves to one bin of a site: the service less the other load and the motors of the other bins, by the code's
    /// table of currents.
    fn of(power: &PowerFacts, site: &SiteFacts, bin: usize) -> Self {
        let lines = if power.phases == Phases::Three { 3f64.sqrt() } else { 1.0 };
        let others = site.bins.iter().enumerate().filter(|(k, _)| *k != bin).flat_map(|(_, other)| &other.outfit.fans);
        let taken: f64 = others
            .filter_map(|fan| wiring::code_current(fan.motor_power, power.volts, power.phases))
            .chain([power.other / (lines * power.volts)])
            .sum();
        Self { phases: power.phases, volts: power.volts, amps: power.service.map(|amps| (amps - taken).max(0.0)) }
    }

    /// The supply of a bin: as its `choose` says it, else what `[power]` leaves.
    pub fn of_bin(site: &SiteFacts, bin: usize) -> Option<Self> {
        let said = site.bins[bin].choose.as_ref().and_then(|choose| choose.supply);
        said.or_else(|| site.power.as_ref().map(|power| Self::of(power, site, bin)))
    }
}

/// Most sound where somebody lives.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Quiet {
    /// Sound pressure, dB(A).
    pub level: f64,
    /// Distance of the house, m.
    pub distance: f64,
    /// What throws the sound back.
    pub surroundings: Surroundings,
}

impl Quiet {
    /// What `[yard]` asks of a bin: the stricter of its limits, because fans that dry run day and night, at the nearest dwelling.
    /// Nothing without a limit, a dwelling or a place for the bin.
    pub fn of_yard(yard: &YardFacts, bin: &str) -> Option<Self> {
        let level = yard.limit_day.into_iter().chain(yard.limit_night).reduce(f64::min)?;
        let place = yard.bins.iter().find(|place| place.bin == bin)?;
        let away = yard.dwellings.iter().map(|dwelling| match dwelling.at {
            DwellingPlace::Distance(metres) => metres,
            DwellingPlace::Position(east, north, up) => (place.at.0 - east).hypot(place.at.1 - north).hypot(up),
        });
        let surroundings = match (yard.hard_ground, place.wall) {
            (true, true) => Surroundings::GroundAndWall,
            (true, false) | (false, true) => Surroundings::Ground,
            (false, false) => Surroundings::Free,
        };
        Some(Self { level, distance: away.reduce(f64::min)?, surroundings })
    }

    /// What is asked of a bin: as its `choose` says it, else what `[yard]` asks.
    pub fn of_bin(site: &SiteFacts, bin: usize) -> Option<Self> {
        let said = site.bins[bin].choose.as_ref().and_then(|choose| choose.quiet);
        said.or_else(|| Self::of_yard(site.yard.as_ref()?, &site.bins[bin].name))
    }
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
