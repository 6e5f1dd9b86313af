//! Steps of a process: what each took from its begin to its end.

use super::Lane;
use crate::result::{Step, StepKind};
use bed::Block;

/// A step under way: its figures so far are those of the season less what the season had at its begin.
#[derive(Debug, Clone, Copy)]
pub(super) struct OpenStep {
    step: Step,
    /// Begins with the grain as it was loaded.
    as_loaded: bool,
    fan_hours: f64,
    electricity: f64,
    burner_energy: f64,
    fuel: f64,
}

/// Sums over the loads that came in since they were last cleared.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Loaded {
    /// Dry matter, kg/m².
    pub(super) mass: f64,
    /// Dry matter times moisture.
    pub(super) water: f64,
    /// Dry matter times temperature.
    pub(super) warmth: f64,
}

impl Lane {
    /// Second of now, since 1970-01-01T00:00Z.
    pub(super) fn clock(&self) -> i64 {
        self.first_hour * 3600 + self.second as i64
    }

    /// Begins a step with the grain as it lies.
    pub(super) fn open_step(&mut self, kind: StepKind, to: Option<f64>) {
        let lies = (self.mean_moisture(), self.mean_temperature());
        self.open(kind, to, Some(lies));
    }

    /// Begins a step with the grain as it was loaded: what has come in already and what will.
    pub(super) fn open_step_as_loaded(&mut self, kind: StepKind) {
        self.open(kind, None, None);
    }

    fn open(&mut self, kind: StepKind, to: Option<f64>, lies: Option<(f64, f64)>) {
        let now = self.clock();
        let (moisture, temperature) = lies.unwrap_or_default();
        let r = &self.result;
        self.step_open = Some(OpenStep {
            as_loaded: lies.is_none(),
            step: Step {
                kind,
                to,
                began_at: now,
                reached_at: None,
                ended_at: now,
                fan_hours_to_reach: 0.0,
                fan_hours: 0.0,
                electricity: 0.0,
                burner_energy: 0.0,
                fuel: 0.0,
                dry_matter: 0.0,
                moisture: (moisture, moisture),
                extremes: (moisture, moisture),
                temperature: (temperature, temperature),
            },
            fan_hours: r.air.running,
            electricity: r.electricity(),
            burner_energy: r.burner_energy,
            fuel: r.fuel,
        });
    }

    /// Notes that the step under way has reached what it was for.
    pub(super) fn reach_step(&mut self, lane: usize, blocks: &[Block]) {
        let (now, extremes, running) = (self.clock(), self.extremes_in_bin(lane, blocks), self.result.air.running);
        if let Some(open) = self.step_open.as_mut().filter(|open| open.step.reached_at.is_none()) {
            open.step.reached_at = Some(now);
            open.step.extremes = extremes;
            open.step.fan_hours_to_reach = running - open.fan_hours;
        }
    }

    /// Ends the step under way, if there is one, and keeps it.
    pub(super) fn close_step(&mut self, lane: usize, blocks: &[Block]) {
        let Some(OpenStep { mut step, as_loaded, fan_hours, electricity, burner_energy, fuel }) = self.step_open.take()
        else {
            return;
        };
        let r = &self.result;
        step.ended_at = self.clock();
        step.fan_hours = r.air.running - fan_hours;
        step.electricity = r.electricity() - electricity;
        step.burner_energy = r.burner_energy - burner_energy;
        step.fuel = r.fuel - fuel;
        step.dry_matter = (self.filled - self.gone.dry_matter) * self.spec.bin.floor_area;
        if step.reached_at.is_none() {
            step.fan_hours_to_reach = step.fan_hours;
            step.extremes = self.extremes_in_bin(lane, blocks);
        }
        step.moisture.1 = self.mean_moisture();
        step.temperature.1 = self.mean_temperature();
        let loaded = self.loaded;
        if as_loaded && loaded.mass > 0.0 {
            step.moisture.0 = loaded.water / loaded.mass;
            step.temperature.0 = loaded.warmth / loaded.mass;
        }
        self.result.steps.push(step);
    }
}
