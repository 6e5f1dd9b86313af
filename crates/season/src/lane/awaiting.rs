//! A bin of a farm: which loads come into it is known day by day only.

use super::Lane;
use crate::run::{BinState, Record};
use crate::spec::{CaseSpec, Load};
use bed::Block;
use std::sync::Arc;

impl Lane {
    /// A bin before its first load, which comes at an hour. The loads of the case are the plan: they say how deep the bin is to
    /// be and so how its layers are cut; none of them comes by itself.
    pub fn awaiting(number: usize, plan: Arc<CaseSpec>, record: Record, first: i64) -> Self {
        let mut lane = Self::new(number, plan, record);
        Arc::make_mut(&mut lane.spec).loads = Arc::default();
        lane.first_hour = first;
        lane.result.started_at = first;
        lane.next_stir = lane.spec.operations.stirring.map_or(first, |s| first + s.every);
        (lane.admitted, lane.last_load, lane.open) = (0, i64::MAX, true);
        lane
    }

    /// A load that will come.
    pub fn take(&mut self, load: Load) {
        let loads = &mut Arc::make_mut(&mut self.spec).loads;
        Arc::make_mut(loads).push(load);
        self.admitted = loads.len();
    }

    /// No load comes beyond those known.
    pub fn close(&mut self) {
        self.open = false;
        if let Some(last) = self.spec.loads.iter().map(|load| load.hour).max() {
            (self.last_load, self.result.filled_at) = (last, last);
        }
    }

    /// Whether all loads that will ever come are in.
    pub(super) fn all_in(&self) -> bool {
        !self.open && self.next_load == self.spec.loads.len()
    }

    /// Shuts the fuel of the burner off, or lets it flow again.
    pub fn cut_fuel(&mut self, cut: bool) {
        self.fuel_cut = cut;
    }

    /// What the last tick drew.
    pub fn drew(&self) -> crate::run::Draw {
        self.draw
    }

    /// What the farm sees of the bin.
    pub fn state(&self, lane: usize, blocks: &[Block]) -> BinState {
        let held = self.held() > 0.0;
        let wettest = if held { self.read(self.extremes(lane, blocks).0) } else { 0.0 };
        let lives = blocks.iter().enumerate().map(|(k, block)| self.lives(lane, k, block));
        let worst = lives.fold((0.0f64, 0.0f64), |worst, life| (worst.0.max(life.0), worst.1.max(life.1)));
        BinState { dry_matter: self.filled * self.spec.bin.floor_area, life: worst.1, wettest, phase: self.phase }
    }
}
