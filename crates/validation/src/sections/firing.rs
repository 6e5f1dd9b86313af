//! Ways of firing on one case: closed forms and hourly means beside a run in steps of a second.
//!
//! A step of a minute would pass over ignition and thermal mass; a second resolves both.

use crate::page::{Against, Section, Verdict, row};
use advice::heat::duty::{Duty, Hour};
use advice::heat::firing::{LOW_FIRE, STEEL_PER_FLOOR, STEEL_SPECIFIC_HEAT};
use equipment::firing::{Cycle, Switching, ThermalMass, of_burner};
use equipment::{Burner, BurnerCommand, Firing};
use job::BinJob;

/// The case: the bundled invented site with a burner, in measured weather.
const SITE: &str = include_str!("../../../job/data/heated.toml");
/// Hours of the run over a week.
const WEEK: usize = 168;
/// Seconds of an hour.
const HOUR: usize = 3600;
/// Allowed of a temperature, K: a step of a second near the fastest change.
const KELVIN: f64 = 0.3;
/// Allowed of the energy of a week. A cycle's mean lies beside the middle of its band, which hourly means do not know.
const ENERGY: f64 = 0.03;

/// Rise, fire and clock of a burner that a thermostat switches second by second.
struct Fire {
    firing: Firing,
    full: f64,
    low: f64,
    rise: f64,
    up: bool,
    /// Seconds since the call for more fire; it burns when the ignition has passed.
    called: f64,
}

impl Fire {
    /// One second; returns the rate that burnt, as a steady rise (K).
    fn second(&mut self, switching: &Switching, constant: f64) -> f64 {
        let wanted = switching.wanted;
        let (upper, lower) = (wanted + 0.5 * switching.dead_band, wanted - 0.5 * switching.dead_band);
        if self.up && self.rise >= upper {
            (self.up, self.called) = (false, 0.0);
        } else if !self.up && self.rise <= lower {
            self.called += 1.0;
            if self.called > switching.delay_up {
                self.up = true;
            }
        }
        let (idle, burning) = match self.firing {
            Firing::OnOff => (0.0, self.full),
            Firing::HighLow if wanted > self.low => (self.low, self.full),
            Firing::Modulating if wanted >= self.low => (wanted.min(self.full), wanted.min(self.full)),
            Firing::HighLow | Firing::Modulating => (0.0, self.low),
        };
        let rate = if self.up { burning } else { idle };
        self.rise += (rate - self.rise) * (1.0 - (-1.0 / constant).exp());
        rate
    }
}

/// Case, hour and settings that the rows share.
struct Case {
    bin: BinJob,
    burner: Burner,
    duty: Duty,
    low_fire: f64,
    steel: f64,
}

impl Case {
    fn open() -> Option<Self> {
        let job = job::open(SITE, "heated.toml", &job::BuiltIn::new()).ok()?;
        let bin = job.bins.first()?.clone();
        let duty = advice::heat::of(&job, &bin).duty?;
        let burner = bin.template.burner.clone()?;
        let low_fire = if burner.minimum_fire < 1.0 { burner.minimum_fire } else { LOW_FIRE };
        let steel = bin.firing.steel.unwrap_or(STEEL_PER_FLOOR * bin.survey.floor_area);
        Some(Self { bin, burner, duty, low_fire, steel })
    }

    fn mass(&self, hour: &Hour) -> ThermalMass {
        ThermalMass { heat_capacity: self.steel * STEEL_SPECIFIC_HEAT, conductance: hour.per_kelvin() }
    }

    fn switching(&self, hour: &Hour) -> Switching {
        let firing = &self.bin.firing;
        Switching { wanted: hour.rise, dead_band: firing.dead_band, delay_down: 0.0, delay_up: firing.ignition }
    }

    fn fire(&self, firing: Firing, hour: &Hour, rise: f64) -> Fire {
        let full = self.burner.capacity / hour.per_kelvin();
        Fire { firing, full, low: self.low_fire * full, rise, up: true, called: 0.0 }
    }

    /// The steady cycle of an hour by the closed form, and by twenty hours in steps of a second, the first left out.
    fn cycles(&self, firing: Firing, hour: &Hour) -> (Cycle, Cycle) {
        let (mass, switching) = (self.mass(hour), self.switching(hour));
        let full = self.burner.capacity / hour.per_kelvin();
        let closed = of_burner(firing, full, self.low_fire, mass, switching);
        let mut fire = self.fire(firing, hour, 0.0);
        let (mut peak, mut trough, mut sum, mut up, mut starts) = (f64::MIN, f64::MAX, 0.0, 0.0, 0.0);
        const HOURS: usize = 20;
        for second in 0..HOURS * HOUR {
            let before = fire.up;
            fire.second(&switching, mass.time_constant());
            if second < HOUR {
                continue;
            }
            peak = fire.rise.max(peak);
            trough = fire.rise.min(trough);
            sum += fire.rise;
            up += f64::from(u8::from(fire.up));
            starts += f64::from(u8::from(fire.up && !before));
        }
        let all = ((HOURS - 1) * HOUR) as f64;
        let duty = up / all;
        // A fire that never switches has no period.
        let period = if starts > 0.0 { all / starts } else { f64::INFINITY };
        let stepped = Cycle { up: duty * period, down: (1.0 - duty) * period, duty, peak, trough, mean: sum / all };
        (closed, stepped)
    }

    /// Heat (J) of the coldest week: by the hour as a season takes it, and in steps of a second under the same weather.
    fn week(&self, firing: Firing) -> Option<(f64, f64)> {
        let mean = |week: &[Hour]| week.iter().map(|h| h.temperature).sum::<f64>();
        let whole = self.duty.hours.windows(WEEK).filter(|w| w[WEEK - 1].hour - w[0].hour == WEEK as i64 - 1);
        let week = whole.min_by(|a, b| mean(a).total_cmp(&mean(b)))?;
        let burner = Burner { firing, minimum_fire: self.low_fire, temperature_limit: None, ..self.burner.clone() };
        let mut fire = self.fire(firing, &week[0], 0.0);
        let (mut hourly, mut stepped) = (0.0, 0.0);
        for hour in week {
            let (mass, switching) = (self.mass(hour), self.switching(hour));
            let command = BurnerCommand::Rise(hour.rise);
            let fired =
                burner.fire(command, hour.before(burner.side), hour.humidity_ratio, hour.pressure, hour.dry_air);
            hourly += fired.heat * HOUR as f64;
            fire = Fire { rise: fire.rise, up: fire.up, called: fire.called, ..self.fire(firing, hour, 0.0) };
            for _ in 0..HOUR {
                let rate = if hour.rise > 0.0 { fire.second(&switching, mass.time_constant()) } else { 0.0 };
                stepped += rate * hour.per_kelvin();
            }
        }
        Some((hourly, stepped))
    }
}

const WAYS: [(&str, Firing); 3] =
    [("on-off", Firing::OnOff), ("high-low", Firing::HighLow), ("modulating", Firing::Modulating)];

/// The section.
pub fn section() -> Section {
    let mut section = Section::new(
        "Ways of firing: closed forms beside a run by the second",
        Against::Computed,
        "The bundled invented site with a burner (`crates/job/data/heated.toml`). The swing inside an hour is a closed form of thermal \
         mass, dead band and ignition; a season takes the heat of an hour from duty alone. Beside them a thermostat switched second by \
         second: in the usual hour for 20 h, and through the coldest week of 28 autumns. Allowed 0.3 K of a temperature, 3 % of the \
         energy of the week.",
    );
    let Some(case) = Case::open() else { return section };
    for (name, firing) in WAYS {
        let (closed, stepped) = case.cycles(firing, &case.duty.usual);
        for (what, ours, run) in [
            ("highest rise", closed.peak, stepped.peak),
            ("lowest rise", closed.trough, stepped.trough),
            ("mean rise", closed.mean, stepped.mean),
        ] {
            let said = row(format!("{name}, usual hour: {what}"), format!("{run:.2} K"), format!("{ours:.2} K"));
            let off = format!("{:+.2} K, allowed {KELVIN} K", ours - run);
            section.rows.push(said.off(off).is(Verdict::of(ours - run, KELVIN)));
        }
    }
    for (name, firing) in WAYS {
        let Some((hourly, stepped)) = case.week(firing) else { continue };
        let gigajoule = |heat: f64| format!("{:.2} GJ", heat / 1e9);
        let off = hourly / stepped - 1.0;
        let said = row(format!("{name}, coldest week: heat"), gigajoule(stepped), gigajoule(hourly));
        let said = said.off(format!("{:+.2} %, allowed {:.0} %", 100.0 * off, 100.0 * ENERGY));
        section.rows.push(said.is(Verdict::of(off, ENERGY)).because(match firing {
            Firing::Modulating => "",
            _ => "the ignition lets the mean of a cycle lie a little below the middle of its band",
        }));
    }
    section
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hourly_duty_is_what_a_run_by_the_second_gives() {
        let case = Case::open().unwrap();
        for (name, firing) in WAYS {
            let (closed, stepped) = case.cycles(firing, &case.duty.usual);
            for (a, b) in [(closed.peak, stepped.peak), (closed.trough, stepped.trough), (closed.mean, stepped.mean)] {
                assert!((a - b).abs() < KELVIN, "{name}: {closed:?} against {stepped:?}");
            }
            assert!((closed.duty - stepped.duty).abs() < 0.03, "{name}: {closed:?} against {stepped:?}");
            let (hourly, run) = case.week(firing).unwrap();
            assert!((hourly / run - 1.0).abs() < ENERGY, "{name}: {hourly} against {run}");
        }
    }
}
