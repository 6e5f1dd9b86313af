//! What can be done to the layers of a column: grain is added, mixed, drawn from the floor, removed from the top, and
//! layers are split and merged. Water and enthalpy are kept to rounding; on mixing the mean feeds heat and mass, the worst
//! parcel feeds what is judged.

use crate::block::{Block, LayerState};
use numerics::WIDTH;
use physics::sorption::SorptionTerms;

/// Grain of one state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Parcel {
    /// Dry matter, kg/m².
    pub dry_matter: f64,
    /// Moisture of the shell, fraction d.b.
    pub shell: f64,
    /// Moisture of the core, fraction d.b.
    pub core: f64,
    /// Enthalpy, J per kg of dry matter.
    pub enthalpy: f64,
    /// Storage life used by the published relation.
    pub life_published: f64,
    /// Storage life used by the strict relation.
    pub life_strict: f64,
    /// Equivalent time of the loss law, s.
    pub equivalent_time: f64,
}

impl Parcel {
    /// Two parcels in one: means by dry matter, the worse of the judged quantities.
    pub fn with(&self, other: &Self) -> Self {
        // An empty slot has no say, neither in means nor in what is judged.
        if other.dry_matter <= 0.0 {
            return *self;
        }
        if self.dry_matter <= 0.0 {
            return *other;
        }
        let dry = self.dry_matter + other.dry_matter;
        let mean = |a: f64, b: f64| (self.dry_matter * a + other.dry_matter * b) / dry;
        Self {
            dry_matter: dry,
            shell: mean(self.shell, other.shell),
            core: mean(self.core, other.core),
            enthalpy: mean(self.enthalpy, other.enthalpy),
            life_published: self.life_published.max(other.life_published),
            life_strict: self.life_strict.max(other.life_strict),
            equivalent_time: self.equivalent_time.max(other.equivalent_time),
        }
    }

    /// The same grain, another mass.
    pub fn of_mass(&self, dry_matter: f64) -> Self {
        Self { dry_matter, ..*self }
    }
}

/// Why an operation was not done; the column is unchanged.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum OperationError {
    /// All slots are taken.
    NoFreeSlot,
    /// No such layer, or it is empty.
    NoSuchLayer(usize),
    /// A mass or share that is none: negative, above what numbers hold, or not a number.
    NotAnAmount(f64),
    /// More was asked for than is there, kg/m².
    NotEnough {
        /// Asked.
        asked: f64,
        /// There.
        held: f64,
    },
}

impl Block {
    /// A parcel of even kernels at a moisture (d.b.) and temperature, with a lane's constants.
    pub fn parcel(&self, lane: usize, dry_matter: f64, moisture: f64, temperature: f64) -> Parcel {
        Parcel {
            dry_matter,
            shell: moisture,
            core: moisture,
            enthalpy: self.enthalpy_of(lane, moisture, temperature),
            life_published: 0.0,
            life_strict: 0.0,
            equivalent_time: 0.0,
        }
    }

    /// Puts grain on top: the top layer is filled up to `full` kg/m² of dry matter, then the next slot is begun.
    ///
    /// # Errors
    /// [`OperationError::NoFreeSlot`] when the slots do not hold it, [`OperationError::NotAnAmount`].
    pub fn add(&mut self, lane: usize, parcel: &Parcel, full: f64) -> Result<(), OperationError> {
        for amount in [parcel.dry_matter, full] {
            if !amount.is_finite() || amount < 0.0 {
                return Err(OperationError::NotAnAmount(amount));
            }
        }
        let top = self.top(lane);
        let slots = self.slots();
        let room_on_top = top.map_or(0.0, |i| (full - self.get(lane, i).dry_matter).max(0.0));
        let free = slots - top.map_or(0, |i| i + 1);
        if parcel.dry_matter > room_on_top + free as f64 * full * (1.0 + 1e-9) {
            return Err(OperationError::NoFreeSlot);
        }
        let mut left = parcel.dry_matter;
        let mut slot = top.unwrap_or(0);
        while left > full * 1e-12 {
            let here = self.get(lane, slot);
            let last = slot + 1 == slots;
            let take = if last { left } else { left.min((full - here.dry_matter).max(0.0)) };
            if take > 0.0 {
                self.put(lane, slot, &parcel.of_mass(take).with(&here));
                left -= take;
            }
            slot += 1;
            if last {
                break;
            }
        }
        let balance = &mut self.brought[lane];
        // What is too little to begin a slot for was not added.
        let added = parcel.dry_matter - left;
        balance.water_in += added * mean(self.lanes.shell_share[lane], parcel.shell, parcel.core);
        balance.energy_in += added * parcel.enthalpy;
        Ok(())
    }

    /// Mixes the layers `from..to` into one state, each keeping its dry matter.
    ///
    /// # Errors
    /// [`OperationError::NoSuchLayer`] when the range is empty or runs past the slots.
    pub fn mix(&mut self, lane: usize, from: usize, to: usize) -> Result<(), OperationError> {
        if from >= to || to > self.slots() {
            return Err(OperationError::NoSuchLayer(to));
        }
        let mixed = (from..to).map(|i| self.get(lane, i)).reduce(|a, b| a.with(&b)).filter(|m| m.dry_matter > 0.0);
        let mixed = mixed.ok_or(OperationError::NoSuchLayer(from))?;
        for i in from..to {
            let mass = self.get(lane, i).dry_matter;
            if mass > 0.0 {
                self.put(lane, i, &mixed.of_mass(mass));
            }
        }
        Ok(())
    }

    /// Draws dry matter from the floor (kg/m²); what is above sinks. Returns what was drawn, mixed.
    ///
    /// # Errors
    /// [`OperationError::NotEnough`] or [`OperationError::NotAnAmount`].
    pub fn draw_bottom(&mut self, lane: usize, dry_matter: f64) -> Result<Parcel, OperationError> {
        self.take(lane, dry_matter, false)
    }

    /// Removes dry matter from the top (kg/m²), as levelling and coring do. Returns what was removed, mixed.
    ///
    /// # Errors
    /// [`OperationError::NotEnough`] or [`OperationError::NotAnAmount`].
    pub fn remove(&mut self, lane: usize, dry_matter: f64) -> Result<Parcel, OperationError> {
        self.take(lane, dry_matter, true)
    }

    /// Splits a layer in two of equal state; the upper gets `share` of the dry matter. Layers above move up a slot.
    ///
    /// # Errors
    /// [`OperationError::NoFreeSlot`], [`OperationError::NoSuchLayer`], or [`OperationError::NotAnAmount`] when the share
    /// does not lie between 0 and 1: a slot without grain inside a column would be neither layer nor gap.
    pub fn split(&mut self, lane: usize, layer: usize, share: f64) -> Result<(), OperationError> {
        if !(share > 0.0 && share < 1.0) {
            return Err(OperationError::NotAnAmount(share));
        }
        let top = self.top(lane).ok_or(OperationError::NoSuchLayer(layer))?;
        if layer > top {
            return Err(OperationError::NoSuchLayer(layer));
        }
        if top + 1 >= self.slots() {
            return Err(OperationError::NoFreeSlot);
        }
        for i in (layer + 1..=top).rev() {
            let above = self.get(lane, i);
            self.put(lane, i + 1, &above);
        }
        let whole = self.get(lane, layer);
        let upper = whole.dry_matter * share;
        self.put(lane, layer, &whole.of_mass(whole.dry_matter - upper));
        self.put(lane, layer + 1, &whole.of_mass(upper));
        Ok(())
    }

    /// Merges a layer with the one above it; layers above sink a slot.
    ///
    /// # Errors
    /// [`OperationError::NoSuchLayer`].
    pub fn merge(&mut self, lane: usize, layer: usize) -> Result<(), OperationError> {
        let top = self.top(lane).ok_or(OperationError::NoSuchLayer(layer))?;
        if layer >= top {
            return Err(OperationError::NoSuchLayer(layer + 1));
        }
        let merged = self.get(lane, layer).with(&self.get(lane, layer + 1));
        self.put(lane, layer, &merged);
        for i in layer + 1..top {
            let above = self.get(lane, i + 1);
            self.put(lane, i, &above);
        }
        self.clear(lane, top);
        Ok(())
    }

    /// Says how much of its life a layer has used: published, strict and the equivalent time of the loss law, s. For grain
    /// that the storage relations do not cover; water and heat are untouched.
    pub fn set_age(&mut self, lane: usize, layer: usize, (published, strict): (f64, f64), equivalent: f64) {
        let at = layer * WIDTH + lane;
        let s = &mut self.state;
        (s.published[at], s.strict[at], s.equivalent[at]) = (published, strict, equivalent);
    }

    /// A parcel with what follows from a lane's constants: its mean moisture and its temperature.
    pub fn state_of(&self, lane: usize, parcel: &Parcel) -> LayerState {
        let moisture = mean(self.lanes.shell_share[lane], parcel.shell, parcel.core);
        let terms: SorptionTerms<f64> = self.lanes.sorption[lane].terms();
        let capacity = self.lanes.dry_heat[lane] + self.lanes.water_heat[lane] * moisture;
        LayerState {
            dry_matter: parcel.dry_matter,
            shell: parcel.shell,
            core: parcel.core,
            moisture,
            temperature: (parcel.enthalpy + terms.both(moisture).0) / capacity,
            life_published: parcel.life_published,
            life_strict: parcel.life_strict,
            equivalent_time: parcel.equivalent_time,
        }
    }

    /// Gives heat to a layer, J/m² (negative: takes it), as what surrounds the column does.
    pub(crate) fn warm(&mut self, lane: usize, layer: usize, heat: f64) {
        let at = layer * WIDTH + lane;
        let dry = self.state.dry[at];
        if dry <= 0.0 {
            return;
        }
        let m = mean(self.lanes.shell_share[lane], self.state.shell[at], self.state.core[at]);
        let terms: SorptionTerms<f64> = self.lanes.sorption[lane].terms();
        let enthalpy = self.state.enthalpy[at] + heat / dry;
        let t = (enthalpy + terms.both(m).0) / self.heat_capacity(lane, m);
        self.state.enthalpy[at] = enthalpy;
        self.state.temperature[at] = t;
        let tally = &mut self.tally;
        tally.energy_to_wall[lane] -= heat;
        tally.energy_moved[lane] += heat.abs();
        tally.t_low[lane] = tally.t_low[lane].min(t);
        tally.t_high[lane] = tally.t_high[lane].max(t);
    }

    /// Highest slot that holds grain.
    pub fn top(&self, lane: usize) -> Option<usize> {
        (0..self.slots()).rev().find(|&i| self.state.dry[i * WIDTH + lane] > 0.0)
    }

    fn take(&mut self, lane: usize, dry_matter: f64, from_top: bool) -> Result<Parcel, OperationError> {
        if !dry_matter.is_finite() || dry_matter <= 0.0 {
            return Err(OperationError::NotAnAmount(dry_matter));
        }
        let held = self.mean_moisture(lane).1;
        if dry_matter > held * (1.0 + 1e-12) {
            return Err(OperationError::NotEnough { asked: dry_matter, held });
        }
        let mut taken: Option<Parcel> = None;
        let mut left = dry_matter.min(held);
        let order: Vec<usize> = if from_top { (0..self.slots()).rev().collect() } else { (0..self.slots()).collect() };
        for i in order {
            let here = self.get(lane, i);
            if here.dry_matter <= 0.0 || left <= 0.0 {
                continue;
            }
            // A layer of which only rounding would stay goes whole, so that nothing is lost.
            let whole = left >= here.dry_matter * (1.0 - 1e-12);
            let part = if whole { here.dry_matter } else { left };
            left -= part;
            let piece = here.of_mass(part);
            taken = Some(taken.map_or(piece, |t| t.with(&piece)));
            if whole {
                self.clear(lane, i);
            } else {
                self.put(lane, i, &here.of_mass(here.dry_matter - part));
            }
        }
        self.sink(lane);
        let taken = taken.ok_or(OperationError::NotEnough { asked: dry_matter, held })?;
        let water = taken.dry_matter * mean(self.lanes.shell_share[lane], taken.shell, taken.core);
        let balance = &mut self.brought[lane];
        balance.water_out += water;
        balance.energy_out += taken.dry_matter * taken.enthalpy;
        Ok(taken)
    }

    /// Moves layers down over empty slots at the floor.
    fn sink(&mut self, lane: usize) {
        let kept: Vec<Parcel> = (0..self.slots()).map(|i| self.get(lane, i)).filter(|p| p.dry_matter > 0.0).collect();
        for i in 0..self.slots() {
            match kept.get(i) {
                Some(parcel) => self.put(lane, i, parcel),
                None => self.clear(lane, i),
            }
        }
    }

    fn get(&self, lane: usize, layer: usize) -> Parcel {
        let at = layer * WIDTH + lane;
        let s = &self.state;
        Parcel {
            dry_matter: s.dry[at],
            shell: s.shell[at],
            core: s.core[at],
            enthalpy: s.enthalpy[at],
            life_published: s.published[at],
            life_strict: s.strict[at],
            equivalent_time: s.equivalent[at],
        }
    }

    fn put(&mut self, lane: usize, layer: usize, parcel: &Parcel) {
        let at = layer * WIDTH + lane;
        let m = mean(self.lanes.shell_share[lane], parcel.shell, parcel.core);
        let terms: SorptionTerms<f64> = self.lanes.sorption[lane].terms();
        let capacity = self.lanes.dry_heat[lane] + self.lanes.water_heat[lane] * m;
        let s = &mut self.state;
        s.dry[at] = parcel.dry_matter;
        s.shell[at] = parcel.shell;
        s.core[at] = parcel.core;
        s.enthalpy[at] = parcel.enthalpy;
        s.temperature[at] = (parcel.enthalpy + terms.both(m).0) / capacity;
        s.published[at] = parcel.life_published;
        s.strict[at] = parcel.life_strict;
        s.equivalent[at] = parcel.equivalent_time;
        s.drift[at] = 0.0;
    }

    fn clear(&mut self, lane: usize, layer: usize) {
        self.state.dry[layer * WIDTH + lane] = 0.0;
    }
}

/// Mean moisture of a kernel from the share of its shell.
fn mean(share: f64, shell: f64, core: f64) -> f64 {
    share * shell + (1.0 - share) * core
}
