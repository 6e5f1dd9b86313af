//! Controls, stops and seasons in plain words.

use super::Desk;
use equipment::{Arrangement, BurnerRule, BurnerSide, FanKind, Rule, SensorPlace};
use job::facts::Filling;
use notice::Kind;
use physics::grain::wet_basis;
use season::{CarryOver, StopRule};

/// A share in percent.
fn percent(share: f64) -> String {
    format!("{:.0}\u{a0}%", 100.0 * share)
}

fn place(place: SensorPlace) -> &'static str {
    match place {
        SensorPlace::Ambient => "outside",
        SensorPlace::AfterFan => "behind the fan",
        SensorPlace::AfterBurner => "in the plenum behind the burner",
        SensorPlace::Exhaust => "in the air that leaves the grain",
    }
}

impl Desk<'_> {
    /// When fans run, by a rule.
    pub fn rule(&self, rule: &Rule) -> String {
        let override_of = |wet: &Option<f64>| match wet {
            Some(moisture) => format!(
                "; always while the wettest probe is above {}",
                self.show(Kind::MoistureWetBasis, wet_basis(*moisture))
            ),
            None => String::new(),
        };
        let temperature = |t: f64| self.show(Kind::Temperature, t);
        match rule {
            Rule::Off => "fans off".into(),
            Rule::Continuous => "fans on day and night".into(),
            Rule::Clock { hours, wet_override } => {
                let on: Vec<String> = (0..24).filter(|h| hours & (1 << h) != 0).map(|h| h.to_string()).collect();
                format!("fans on in the hours beginning at {} o’clock{}", on.join(", "), override_of(wet_override))
            }
            Rule::HumidityWindow { low, high, place: at, wet_override } => format!(
                "fans on while the air {} has {} to {} relative humidity{}",
                place(*at),
                percent(*low),
                percent(*high),
                override_of(wet_override)
            ),
            Rule::EquilibriumWindow { low, high, place: at, wet_override, .. } => format!(
                "fans on while the air {} would bring the grain to {} to {}{}",
                place(*at),
                self.show(Kind::MoistureWetBasis, wet_basis(*low)),
                self.show(Kind::MoistureWetBasis, wet_basis(*high)),
                override_of(wet_override)
            ),
            Rule::TemperatureWindow { colder_by, low, high, .. } => format!(
                "fans on while the air is {} colder than the grain and between {} and {}",
                self.show(Kind::TemperatureDifference, *colder_by),
                temperature(*low),
                temperature(*high)
            ),
            Rule::AerationWindow { low, high, .. } => {
                format!(
                    "fans on while they bring the grain on its way, with air from {} to {}",
                    temperature(*low),
                    temperature(*high)
                )
            }
        }
    }

    /// What the burner is asked.
    pub fn burner_rule(&self, rule: &BurnerRule) -> Option<String> {
        let temperature = |t: f64| self.show(Kind::Temperature, t);
        Some(match rule {
            BurnerRule::Off => return None,
            BurnerRule::FixedRise(rise) => {
                format!("warms the air by {}", self.show(Kind::TemperatureDifference, *rise))
            }
            BurnerRule::Thermostat(set) => format!("warms the plenum to {}", temperature(*set)),
            BurnerRule::Humidistat(set) => format!("keeps the plenum below {} relative humidity", percent(*set)),
            BurnerRule::HumidistatWithin { humidity, temperature: highest } => format!(
                "keeps the plenum below {} relative humidity, at most {}",
                percent(*humidity),
                temperature(*highest)
            ),
        })
    }

    /// The outfit in one sentence.
    pub fn outfit_words(&self) -> String {
        let system = &self.of.bin.template.system;
        let fans: Vec<String> = self.fans().iter().map(|(name, count)| self.fan_words(name, *count)).collect();
        let count = system.outfit.fans().len();
        let how = match (count, system.outfit.arrangement()) {
            (0 | 1, _) => "",
            (_, Arrangement::Parallel) => " side by side",
            (_, Arrangement::Series) => " one behind the other",
        };
        let way = match system.direction {
            equipment::Direction::Pressure => "pushing air up through",
            equipment::Direction::Suction => "drawing air down through",
        };
        let burner = match &self.of.bin.template.burner {
            None => String::new(),
            Some(burner) => format!(
                "; {} {}",
                burner_name(&burner.id),
                match burner.side {
                    BurnerSide::Discharge => "between fan and plenum",
                    BurnerSide::Inlet => "at the inlet of the fan",
                }
            ),
        };
        let fans = if fans.is_empty() { "no fan".to_string() } else { fans.join(" and ") };
        format!("{fans}{how}, {way} {} ({}){burner}.", self.floor(), self.control_words())
    }

    /// Fans of a name as one speaks of them: by count, motor and kind, with the name by which they are bought.
    fn fan_words(&self, name: &str, count: usize) -> String {
        let fans = self.of.bin.template.system.outfit.fans();
        let Some(fan) = fans.iter().find(|fan| fan.id == name) else { return format!("{count} × {name}") };
        let kind = match fan.kind {
            FanKind::TubeAxial => "tube-axial",
            FanKind::InlineCentrifugal => "in-line centrifugal",
            FanKind::CentrifugalLowSpeed => "low-speed centrifugal",
            FanKind::CentrifugalHighSpeed => "high-speed centrifugal",
            FanKind::DoubleInletCentrifugal => "double-inlet centrifugal",
            FanKind::Other => "",
        };
        let shown = Kind::ShaftPower.shown(self.reader.0);
        let rated = fan.motor_power * shown.factor;
        let rated = crate::ticks::number(rated, usize::from((rated - rated.round()).abs() > 0.02));
        let each = format!("{rated}\u{a0}{} {kind}", shown.unit);
        let (number, plural) = match count {
            1 => ("one".to_string(), ""),
            2 => ("two".to_string(), "s"),
            3 => ("three".to_string(), "s"),
            4 => ("four".to_string(), "s"),
            more => (more.to_string(), "s"),
        };
        format!("{number} {} fan{plural} ({name})", each.trim_end())
    }

    fn floor(&self) -> String {
        let words = advice::way::floor_words(self.of.bin);
        if words.starts_with('p') || words.starts_with('f') { format!("a {words}") } else { words.to_string() }
    }

    /// The control while drying, in words.
    pub fn control_words(&self) -> String {
        let control = &self.of.bin.template.control;
        let burner = self.burner_rule(&control.burner).map(|says| format!("; the burner {says}")).unwrap_or_default();
        format!("{}{burner}", self.rule(&control.drying))
    }

    /// How the bin is to be filled.
    pub fn filling_words(&self) -> &'static str {
        match self.of.bin.filling {
            Filling::Uniform => "air that goes evenly through all grain, as the site file says",
            Filling::Spout => "grain as it falls from the spout, with its core of fines left in",
            Filling::Levelled => "a level surface, with the core of fines left in",
            Filling::Cored => "a core drawn from the middle, with the peak left on",
            Filling::LevelledAndCored => "a level surface and a core drawn from the middle",
        }
    }

    /// What of winter and spring the programme says.
    pub fn winter_words(&self) -> Option<(String, String)> {
        match self.of.bin.template.programme.carry_over {
            CarryOver::Never => None,
            CarryOver::CoolAndHold { stop_below, resume_above } => Some((
                format!(
                    "When the mean outdoor temperature of seven days is below {}, stop drying, cool the grain to {} and hold it there.",
                    self.show(Kind::Temperature, stop_below),
                    self.show(Kind::Temperature, self.of.bin.template.programme.cool_to)
                ),
                format!(
                    "When it is above {} again, start and dry on to the goal.",
                    self.show(Kind::Temperature, resume_above)
                ),
            )),
        }
    }

    /// When drying is stopped.
    pub fn stop_words(&self) -> String {
        match self.of.bin.template.operations.stop {
            StopRule::Ideal => {
                "The computed seasons stop as soon as mean and wettest tenth are at the goal, as if one could see into the bin; \
                 probe before you stop."
                    .into()
            }
            StopRule::Probe { every, depths } => format!(
                "Probe every {} days at {depths} depths; stop when the mean is at the goal and no reading lies above what the goal allows.",
                every / 24
            ),
            StopRule::Exhaust { hours } => format!(
                "Stop when over {hours} hours of running fans the air that leaves carries no more water than the air that enters."
            ),
        }
    }
}

/// A burner by its name in the catalogue; one that the site file describes itself has no name but what it is.
pub(crate) fn burner_name(id: &str) -> String {
    if id == "burner" { "burner".to_string() } else { format!("burner {id}") }
}
