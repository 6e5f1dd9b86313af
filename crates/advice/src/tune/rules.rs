//! The rules that are tried: few thresholds each, as a panel takes them.

use equipment::{BurnerRule, Control, Rule, SensorPlace, Timing};
use physics::grain::dry_basis;
use physics::isotherm::IsothermForm;

/// A rule of a panel.
#[derive(Debug, Clone, PartialEq)]
pub struct PanelRule {
    /// What a control does by it.
    pub control: Control,
    /// How many thresholds are set.
    pub thresholds: usize,
    /// Name of a rule that is usual in practice, against which others are held; nothing for one that is only tried.
    pub usual: Option<&'static str>,
}

/// Dead band of windows, fraction of humidity or of moisture w.b.: what keeps a fan from hunting (judgement).
const DEAD_BAND: (f64, f64) = (0.02, 0.003);
/// Least run and rest of a fan, h: starting is what wears motors (judgement).
const LEAST: f64 = 1.0;
/// Highest humidities of windows.
const HUMIDITIES: [f64; 6] = [0.65, 0.70, 0.75, 0.80, 0.85, 0.90];
/// Lowest humidities of windows; air below only over-dries the floor.
const LOWEST: [f64; 3] = [0.0, 0.45, 0.55];
/// Ends of windows of equilibrium beside the goal, fraction w.b.: below, above.
const BELOW: [f64; 4] = [0.015, 0.03, 0.045, 0.10];
/// Above.
const ABOVE: [f64; 5] = [0.005, 0.015, 0.025, 0.035, 0.05];
/// Moistures of the wettest probe beside the goal above which fans run regardless.
const OVERRIDES: [Option<f64>; 4] = [None, Some(0.02), Some(0.035), Some(0.05)];
/// Settings of a humidistat.
const HUMIDISTATS: [f64; 6] = [0.50, 0.55, 0.60, 0.65, 0.70, 0.75];

/// All rules for a bin whose goal (w.b.) and moisture table are known; with a burner also those that ask for heat. The usual rules come
/// first (common practice, no source).
pub fn rules(present: &Control, goal: f64, isotherm: IsothermForm, burner: bool) -> Vec<PanelRule> {
    let mut list = Vec::new();
    let mut add = |rule: Rule, band: f64, burner: BurnerRule, thresholds: usize, usual: Option<&'static str>| {
        let slow = matches!(rule, Rule::HumidityWindow { .. } | Rule::EquilibriumWindow { .. });
        let timing = match slow {
            true => Timing { dead_band: band, minimum_run_hours: LEAST, minimum_rest_hours: LEAST, ..Timing::PROMPT },
            false => Timing::PROMPT,
        };
        let control = Control { filling: rule, drying: rule, timing, burner, ..*present };
        list.push(PanelRule { control, thresholds, usual });
    };
    let place = SensorPlace::Ambient;
    let wet = |above: Option<f64>| above.map(|above| dry_basis(goal + above));
    let humidity = |low: f64, high: f64, above| Rule::HumidityWindow { low, high, place, wet_override: wet(above) };
    let equilibrium = |below: f64, over: f64, above: Option<f64>| Rule::EquilibriumWindow {
        low: dry_basis((goal - below).max(0.04)),
        high: dry_basis(goal + over),
        place,
        isotherm,
        wet_override: wet(above),
    };
    // Points w.b. as the rule compares them, at the goal.
    let points = DEAD_BAND.1 * (1.0 + dry_basis(goal)).powi(2);
    let off = BurnerRule::Off;
    add(Rule::Continuous, 0.0, off, 0, Some("continuous"));
    add(humidity(0.0, 0.70, None), DEAD_BAND.0, off, 1, Some("below 70 % humidity"));
    add(humidity(0.55, 0.75, None), DEAD_BAND.0, off, 2, Some("55 to 75 % humidity"));
    add(equilibrium(0.015, 0.015, None), points, off, 2, Some("equilibrium within 1.5 points of the goal"));
    // From ten in the morning to ten at night.
    let day = (10..22).fold(0, |set, hour| set | 1 << hour);
    add(Rule::Clock { hours: day, wet_override: None }, 0.0, off, 2, Some("10:00 to 22:00"));
    for above in OVERRIDES {
        let more = usize::from(above.is_some());
        for low in LOWEST {
            for high in HUMIDITIES {
                add(humidity(low, high, above), DEAD_BAND.0, off, 1 + usize::from(low > 0.0) + more, None);
            }
        }
        for below in BELOW {
            for over in ABOVE {
                add(equilibrium(below, over, above), points, off, 2 + more, None);
            }
        }
    }
    if burner {
        for set in HUMIDISTATS {
            add(Rule::Continuous, 0.0, BurnerRule::Humidistat(set), 1, None);
            for high in [0.80, 0.90] {
                for above in OVERRIDES {
                    let thresholds = 2 + usize::from(above.is_some());
                    add(humidity(0.0, high, above), DEAD_BAND.0, BurnerRule::Humidistat(set), thresholds, None);
                }
            }
        }
    }
    list
}
