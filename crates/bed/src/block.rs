//! Sixteen columns side by side: their state, what one stretch of time needs, and what comes out.

use crate::balance::{Balance, Residual};
use crate::kernel::Tick;
use crate::params::{ColumnParams, GroupParams, LaneParams};
use numerics::{InstructionSet, WIDTH, dispatch_block};
use physics::sorption::SorptionTerms;
use physics::storability::{ReadyStorageLaw, StorageLaw};

/// The air that enters the columns of a block during one stretch of time. A lane with `seconds` zero rests.
#[derive(Debug, Clone, Copy, PartialEq)]
#[repr(align(64))]
pub struct Air {
    /// Temperature at the inlet of the grain, °C.
    pub temperature: [f64; WIDTH],
    /// Humidity ratio there, kg/kg.
    pub humidity_ratio: [f64; WIDTH],
    /// Dry-air flux, kg/(s m²); 0 means still air.
    pub flux: [f64; WIDTH],
    /// Barometric pressure, Pa.
    pub pressure: [f64; WIDTH],
    /// Length of the stretch, s.
    pub seconds: [f64; WIDTH],
    /// Temperature outside the wall and above the grain, °C (used when the air is still).
    pub outside: [f64; WIDTH],
}

impl Default for Air {
    fn default() -> Self {
        Self {
            temperature: [10.0; WIDTH],
            humidity_ratio: [0.005; WIDTH],
            flux: [0.0; WIDTH],
            pressure: [physics::air::STANDARD_PRESSURE; WIDTH],
            seconds: [0.0; WIDTH],
            outside: [10.0; WIDTH],
        }
    }
}

/// The air that leaves the columns of a block at the end of a stretch; for still columns the air in the outlet layer.
#[derive(Debug, Clone, Copy, PartialEq)]
#[repr(align(64))]
pub struct Exhaust {
    /// Temperature, °C.
    pub temperature: [f64; WIDTH],
    /// Humidity ratio, kg/kg.
    pub humidity_ratio: [f64; WIDTH],
}

impl Default for Exhaust {
    fn default() -> Self {
        Self { temperature: [0.0; WIDTH], humidity_ratio: [0.0; WIDTH] }
    }
}

/// One layer of one column, read out.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct LayerState {
    /// Dry matter, kg/m².
    pub dry_matter: f64,
    /// Moisture of the shell, fraction d.b.
    pub shell: f64,
    /// Moisture of the core, fraction d.b.
    pub core: f64,
    /// Mean moisture, fraction d.b.
    pub moisture: f64,
    /// Temperature, °C.
    pub temperature: f64,
    /// Storage life used by the published relation (worst parcel), 1 = spent.
    pub life_published: f64,
    /// Storage life used by the strict relation (worst parcel), 1 = spent.
    pub life_strict: f64,
    /// Equivalent time of the loss law, s.
    pub equivalent_time: f64,
}

/// Lowest and highest values met while air or time passed, for remarks about ranges.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Extremes {
    /// Grain temperature, °C.
    pub temperature: (f64, f64),
    /// Humidity of the air in the layers, fraction.
    pub humidity: (f64, f64),
    /// Moisture, fraction d.b.
    pub moisture: (f64, f64),
}

/// State arrays, `layers × WIDTH` numbers each, lane innermost.
#[derive(Debug, Clone)]
pub(crate) struct State {
    pub dry: Vec<f64>,
    pub shell: Vec<f64>,
    pub core: Vec<f64>,
    pub enthalpy: Vec<f64>,
    pub temperature: Vec<f64>,
    pub published: Vec<f64>,
    pub strict: Vec<f64>,
    pub equivalent: Vec<f64>,
    /// Change of the shell in the last step of moving air, per second: where the search for the next begins.
    pub drift: Vec<f64>,
}

/// Tallies and extremes, one number a lane.
#[derive(Debug, Clone)]
pub(crate) struct Tally {
    pub water_to_air: [f64; WIDTH],
    pub water_moved: [f64; WIDTH],
    pub energy_to_air: [f64; WIDTH],
    pub energy_moved: [f64; WIDTH],
    pub energy_to_wall: [f64; WIDTH],
    pub respired_water: [f64; WIDTH],
    pub respired_energy: [f64; WIDTH],
    pub t_low: [f64; WIDTH],
    pub t_high: [f64; WIDTH],
    pub h_low: [f64; WIDTH],
    pub h_high: [f64; WIDTH],
    pub m_low: [f64; WIDTH],
    pub m_high: [f64; WIDTH],
}

impl Tally {
    fn new() -> Self {
        Self {
            water_to_air: [0.0; WIDTH],
            water_moved: [0.0; WIDTH],
            energy_to_air: [0.0; WIDTH],
            energy_moved: [0.0; WIDTH],
            energy_to_wall: [0.0; WIDTH],
            respired_water: [0.0; WIDTH],
            respired_energy: [0.0; WIDTH],
            t_low: [f64::INFINITY; WIDTH],
            t_high: [f64::NEG_INFINITY; WIDTH],
            h_low: [f64::INFINITY; WIDTH],
            h_high: [f64::NEG_INFINITY; WIDTH],
            m_low: [f64::INFINITY; WIDTH],
            m_high: [f64::NEG_INFINITY; WIDTH],
        }
    }
}

/// Sixteen columns of one group. A lane without dry matter is an empty column.
#[derive(Debug, Clone)]
pub struct Block {
    pub(crate) group: GroupParams,
    pub(crate) lanes: LaneParams,
    pub(crate) published: Vec<ReadyStorageLaw>,
    pub(crate) strict: Vec<ReadyStorageLaw>,
    pub(crate) sorption: [[f64; WIDTH]; 5],
    pub(crate) state: State,
    pub(crate) tally: Tally,
    pub(crate) brought: [Balance; WIDTH],
    pub(crate) scratch: [Vec<f64>; 4],
    set: InstructionSet,
}

impl Block {
    /// Empty columns of a group, on the widest instruction set of this processor.
    pub fn new(group: GroupParams, column: &ColumnParams) -> Self {
        Self::on(InstructionSet::detect(), group, column)
    }

    /// Empty columns on a chosen instruction set (results do not depend on it).
    pub fn on(set: InstructionSet, group: GroupParams, column: &ColumnParams) -> Self {
        let size = group.layers * WIDTH;
        let zeros = || vec![0.0; size];
        let mut block = Self {
            lanes: LaneParams::filled_with(column),
            published: group.published.iter().map(StorageLaw::ready).collect(),
            strict: group.strict.iter().map(StorageLaw::ready).collect(),
            sorption: [[0.0; WIDTH]; 5],
            state: State {
                dry: zeros(),
                shell: zeros(),
                core: zeros(),
                enthalpy: zeros(),
                temperature: zeros(),
                published: zeros(),
                strict: zeros(),
                equivalent: zeros(),
                drift: zeros(),
            },
            tally: Tally::new(),
            brought: [Balance::default(); WIDTH],
            scratch: [zeros(), zeros(), zeros(), zeros()],
            group,
            set,
        };
        (0..WIDTH).for_each(|lane| block.empty(lane, column));
        block
    }

    /// Empties a lane and gives it a column's constants: the way a finished lane is refilled.
    pub fn empty(&mut self, lane: usize, column: &ColumnParams) {
        self.lanes.set(lane, column);
        for (slot, value) in self.sorption.iter_mut().zip(column.sorption.coefficients()) {
            slot[lane] = value;
        }
        for i in 0..self.group.layers {
            let at = i * WIDTH + lane;
            // An empty layer holds an ordinary moisture so that no logarithm of nonsense is ever taken in its lane.
            for (array, value) in [
                (&mut self.state.dry, 0.0),
                (&mut self.state.shell, 0.2),
                (&mut self.state.core, 0.2),
                (&mut self.state.enthalpy, 0.0),
                (&mut self.state.temperature, 10.0),
                (&mut self.state.published, 0.0),
                (&mut self.state.strict, 0.0),
                (&mut self.state.equivalent, 0.0),
                (&mut self.state.drift, 0.0),
            ] {
                array[at] = value;
            }
        }
        self.brought[lane] = Balance::default();
        let fresh = Tally::new();
        for (mine, new) in [
            (&mut self.tally.water_to_air, &fresh.water_to_air),
            (&mut self.tally.water_moved, &fresh.water_moved),
            (&mut self.tally.energy_to_air, &fresh.energy_to_air),
            (&mut self.tally.energy_moved, &fresh.energy_moved),
            (&mut self.tally.energy_to_wall, &fresh.energy_to_wall),
            (&mut self.tally.respired_water, &fresh.respired_water),
            (&mut self.tally.respired_energy, &fresh.respired_energy),
            (&mut self.tally.t_low, &fresh.t_low),
            (&mut self.tally.t_high, &fresh.t_high),
            (&mut self.tally.h_low, &fresh.h_low),
            (&mut self.tally.h_high, &fresh.h_high),
            (&mut self.tally.m_low, &fresh.m_low),
            (&mut self.tally.m_high, &fresh.m_high),
        ] {
            mine[lane] = new[lane];
        }
    }

    /// Carries all columns through a stretch of time; lanes differ in length, air and whether it moves.
    pub fn advance(&mut self, air: &Air) -> Exhaust {
        let mut exhaust = Exhaust::default();
        let set = self.set;
        let mut tick = Tick { block: self, air, exhaust: &mut exhaust };
        dispatch_block(set, tick.busy(), &mut tick);
        exhaust
    }

    /// How many lanes, from the first on, are computed together on this block's instruction set.
    pub fn worth_filling(&self) -> usize {
        self.set.together()
    }

    /// Slots for layers.
    pub fn slots(&self) -> usize {
        self.group.layers
    }

    /// What is alike in the group.
    pub fn group(&self) -> &GroupParams {
        &self.group
    }

    /// One layer of one lane.
    pub fn layer(&self, lane: usize, layer: usize) -> LayerState {
        let at = layer * WIDTH + lane;
        let (shell, core, share) = (self.state.shell[at], self.state.core[at], self.lanes.shell_share[lane]);
        LayerState {
            dry_matter: self.state.dry[at],
            shell,
            core,
            moisture: share * shell + (1.0 - share) * core,
            temperature: self.state.temperature[at],
            life_published: self.state.published[at],
            life_strict: self.state.strict[at],
            equivalent_time: self.state.equivalent[at],
        }
    }

    /// The layers of a lane that hold grain, from the floor up.
    pub fn layers(&self, lane: usize) -> impl Iterator<Item = LayerState> + Clone + '_ {
        (0..self.group.layers).map(move |i| self.layer(lane, i)).filter(|l| l.dry_matter > 0.0)
    }

    /// Mass-weighted mean moisture (d.b.) of a lane and its dry matter in kg/m².
    pub fn mean_moisture(&self, lane: usize) -> (f64, f64) {
        let (mut water, mut dry) = (0.0, 0.0);
        let share = self.lanes.shell_share[lane];
        for i in 0..self.group.layers {
            let at = i * WIDTH + lane;
            let m = share * self.state.shell[at] + (1.0 - share) * self.state.core[at];
            water += self.state.dry[at] * m;
            dry += self.state.dry[at];
        }
        (if dry > 0.0 { water / dry } else { 0.0 }, dry)
    }

    /// Mass-weighted mean temperature of a lane, and its lowest and highest layer temperature, °C.
    pub fn temperatures(&self, lane: usize) -> (f64, f64, f64) {
        let (mut sum, mut dry, mut low, mut high) = (0.0, 0.0, f64::INFINITY, f64::NEG_INFINITY);
        for i in 0..self.group.layers {
            let at = i * WIDTH + lane;
            let (mass, t) = (self.state.dry[at], self.state.temperature[at]);
            if mass > 0.0 {
                sum += mass * t;
                dry += mass;
                low = low.min(t);
                high = high.max(t);
            }
        }
        if dry > 0.0 { (sum / dry, low, high) } else { (0.0, 0.0, 0.0) }
    }

    /// Balance tallies of a lane.
    pub fn balance(&self, lane: usize) -> Balance {
        let mut balance = self.brought[lane];
        balance.water_in += self.tally.respired_water[lane];
        balance.energy_in += self.tally.respired_energy[lane];
        balance.water_to_air = self.tally.water_to_air[lane];
        balance.water_moved = self.tally.water_moved[lane];
        balance.energy_to_air = self.tally.energy_to_air[lane];
        balance.energy_moved = self.tally.energy_moved[lane];
        balance.energy_to_wall = self.tally.energy_to_wall[lane];
        balance
    }

    /// What the column stores: water kg/m² and enthalpy J/m².
    pub fn stored(&self, lane: usize) -> (f64, f64) {
        let (mut water, mut energy) = (0.0, 0.0);
        for i in 0..self.group.layers {
            let layer = self.layer(lane, i);
            water += layer.dry_matter * layer.moisture;
            energy += layer.dry_matter * self.state.enthalpy[i * WIDTH + lane];
        }
        (water, energy)
    }

    /// Balance residuals of a lane.
    pub fn residual(&self, lane: usize) -> Residual {
        let (water, energy) = self.stored(lane);
        self.balance(lane).residual(water, energy)
    }

    /// Extremes met by a lane since it was filled.
    pub fn extremes(&self, lane: usize) -> Extremes {
        Extremes {
            temperature: (self.tally.t_low[lane], self.tally.t_high[lane]),
            humidity: (self.tally.h_low[lane], self.tally.h_high[lane]),
            moisture: (self.tally.m_low[lane], self.tally.m_high[lane]),
        }
    }

    /// Enthalpy per kg of dry matter of grain at a moisture (d.b.) and temperature, with a lane's constants, J/kg.
    pub fn enthalpy_of(&self, lane: usize, m: f64, t: f64) -> f64 {
        let terms: SorptionTerms<f64> = self.lanes.sorption[lane].terms();
        (self.lanes.dry_heat[lane] + self.lanes.water_heat[lane] * m) * t - terms.both(m).0
    }
}
