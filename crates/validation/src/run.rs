//! Running beds of even grain from the text of a case, and reading what they give.

use crate::table::celsius;
use notice::Diagnostics;
use season::column::{ColumnProfile, ColumnRun};

/// Runs a case given as text.
///
/// # Errors
/// What is wrong with the text, for the page to show.
pub fn case(text: &str) -> Result<ColumnRun, String> {
    with_table(text, "")
}

/// The same with a table of the inlet air, whatever name the case calls it by.
///
/// # Errors
/// What is wrong with the text or the table.
pub fn with_table(text: &str, table: &str) -> Result<ColumnRun, String> {
    let job = job::column::read("case", text, &|_| Ok(table.to_string())).map_err(|d: Diagnostics| said(&d))?;
    Ok(season::column::run(&job.case))
}

fn said(wrong: &Diagnostics) -> String {
    wrong.0.iter().map(|d| d.render().replace('\n', " ")).collect::<Vec<_>>().join("; ")
}

/// Even grain under constant air.
#[derive(Clone)]
pub struct Bed {
    /// Crop id.
    pub crop: &'static str,
    /// Further lines of the case, such as a law.
    pub more: String,
    /// Depth, m.
    pub depth: f64,
    /// Airflow, cfm/bu.
    pub airflow: f64,
    /// Moisture, % wb.
    pub moisture: f64,
    /// Temperature of the grain, °C.
    pub grain: f64,
    /// Temperature of the air, °C.
    pub air: f64,
    /// Relative humidity of the air, %.
    pub humidity: f64,
    /// Last hour.
    pub last: f64,
    /// Hours between two profiles.
    pub every: f64,
    /// Longest step, s.
    pub step: f64,
}

impl Bed {
    /// Layers of these runs: mean and front of a bed under constant air change little beyond.
    pub const LAYERS: usize = 72;

    /// A bed of the usual depth of 18 ft, grain as warm as the air: airflow cfm/bu, moisture % wb, air °F and %.
    pub fn usual(crop: &'static str, airflow: f64, moisture: f64, fahrenheit: f64, humidity: f64, days: f64) -> Bed {
        let air = celsius(fahrenheit);
        Bed {
            crop,
            more: String::new(),
            depth: 18.0 * 0.3048,
            airflow,
            moisture,
            grain: air,
            air,
            humidity,
            last: 24.0 * days,
            every: 12.0,
            step: 1800.0,
        }
    }

    /// The case as text.
    pub fn text(&self) -> String {
        let count = (self.last / self.every).round() as usize;
        let hours: Vec<String> = (1..=count).map(|i| format!("{}", i as f64 * self.every)).collect();
        format!(
            "crop = \"{}\"\n{}\ndepth = \"{} m\"\nairflow = \"{} cfm/bu\"\nmoisture = \"{} %\"\ngrain_temperature = \"{} C\"\n\
             respiration = false\nlayers = {}\nstep = \"{} s\"\nhours = [{}]\ndepths = [\"{} m\", \"{} m\"]\n[inlet]\nair = \"{} C\"\n\
             relative_humidity = \"{} %\"\n",
            self.crop,
            self.more,
            self.depth,
            self.airflow,
            self.moisture,
            self.grain,
            Self::LAYERS,
            self.step,
            hours.join(", "),
            0.02 * self.depth,
            0.98 * self.depth,
            self.air,
            self.humidity,
        )
    }

    /// Hours until the mean moisture is at or below a target (% wb), between profiles linear.
    ///
    /// # Errors
    /// What is wrong with the case; none within the hours asked for is `Ok(None)`.
    pub fn hours_to(&self, target: f64) -> Result<Option<f64>, String> {
        // Most beds are there long before the last hour that one is ready to wait for.
        for share in [0.25, 1.0] {
            let last = (share * self.last / self.every).ceil() * self.every;
            let run = case(&Self { last, ..self.clone() }.text())?;
            let found = crossing(&run.profiles, (0.0, self.moisture), |p| crate::table::wet(p.mean_moisture), target);
            if found.is_some() {
                return Ok(found);
            }
        }
        Ok(None)
    }

    /// Days until the mean moisture is at a target, in words: "23.4", or "more than 80".
    pub fn days(&self, target: f64) -> Days {
        match self.hours_to(target) {
            Ok(Some(hours)) => Days::In(hours / 24.0),
            Ok(None) => Days::Beyond(self.last / 24.0),
            Err(why) => Days::Broken(why),
        }
    }
}

/// A time of drying.
#[derive(Debug, Clone, PartialEq)]
pub enum Days {
    /// Days.
    In(f64),
    /// Not within so many days.
    Beyond(f64),
    /// The case could not run.
    Broken(String),
}

impl Days {
    /// The number, or infinity when it was not reached; NaN for a broken case.
    pub fn number(&self) -> f64 {
        match self {
            Self::In(days) => *days,
            Self::Beyond(_) => f64::INFINITY,
            Self::Broken(_) => f64::NAN,
        }
    }

    /// In words.
    pub fn said(&self) -> String {
        match self {
            Self::In(days) => format!("{days:.1}"),
            Self::Beyond(days) => format!("not within {days:.0}"),
            Self::Broken(why) => why.clone(),
        }
    }
}

/// The shortest and the longest of several times, in words; `scale` is 1 for days, 24 for hours.
pub fn band(all: &[Days], scale: f64) -> String {
    if let Some(Days::Broken(why)) = all.iter().find(|d| matches!(d, Days::Broken(_))) {
        return why.clone();
    }
    let low = all.iter().map(Days::number).fold(f64::INFINITY, f64::min);
    let said = |v: f64| match v * scale {
        v if v.is_infinite() => "never".into(),
        v => format!("{v:.*}", usize::from(v < 10.0)),
    };
    let high = all.iter().map(Days::number).fold(0.0, f64::max);
    format!("{} to {}", said(low), said(high))
}

/// First time at which a falling value of the profiles passes a limit; `start` is its value before the first.
pub fn crossing(
    profiles: &[ColumnProfile],
    start: (f64, f64),
    value: impl Fn(&ColumnProfile) -> f64,
    limit: f64,
) -> Option<f64> {
    let (mut hour, mut before) = start;
    for p in profiles {
        let now = value(p);
        if now <= limit {
            let share = if before > now { ((before - limit) / (before - now)).clamp(0.0, 1.0) } else { 1.0 };
            return Some(hour + share * (p.hour - hour));
        }
        (hour, before) = (p.hour, now);
    }
    None
}

/// Relative humidity (%) of air after it has been warmed at constant humidity ratio; °F, percent, °F.
pub fn warmed(fahrenheit: f64, humidity: f64, rise: f64) -> f64 {
    let pressure = |f: f64| physics::air::saturation_pressure(crate::table::celsius(f));
    // Four digits: what goes into a case must not hang on the last bits.
    (humidity * pressure(fahrenheit) / pressure(fahrenheit + rise) * 100.0).round() / 100.0
}
