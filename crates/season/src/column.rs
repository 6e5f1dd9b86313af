//! One even column of grain under given air: constant, or a programme of steps in time. What verification against
//! published beds and against other solvers needs.
//!
//! Puts together what `bed` and `physics` know and holds no balance of its own. Leaves out fans, weather and controls.

mod grid;
mod kernel;
mod literal;

use notice::Remarks;
use physics::{
    air::{SPECIFIC_HEAT_DRY_AIR, SPECIFIC_HEAT_VAPOUR},
    isotherm::IsothermForm,
    kinetics::{Arrhenius, TwoCompartment},
    sorption::SorptionHeat,
    storability::StorageLaw,
    thin_layer::ThinLayer,
};

/// Layers where nothing is said: the reference beds are met with them.
pub const LAYERS: usize = 400;
/// Longest step where nothing is said, s.
pub const LONGEST_STEP: f64 = 300.0;
/// Steps of the kernel where nothing is said, in times that the air needs to carry the heat of one layer.
///
/// With a share of 0.6 of a layer's change seen by its air, the error of such a step offsets much of the error of the
/// layers; shorter steps reproduce the reference beds less well, not better.
pub const KERNEL_STEP: f64 = 4.0;

/// How a layer exchanges water with its air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Exchange {
    /// Grain and leaving air are in equilibrium.
    Equilibrium,
    /// The two-compartment kernel.
    Kernel(TwoCompartment),
    /// A published law taken literally.
    Literal {
        /// The law.
        law: ThinLayer,
        /// Velocity of the air it is asked for, m/s.
        velocity: f64,
    },
}

impl Exchange {
    /// The kernel that stands for the exchange, if one can: laws of one rate are kernels of one compartment, exactly.
    fn kernel(&self) -> Option<TwoCompartment> {
        match self {
            Self::Equilibrium => None,
            Self::Kernel(kernel) => Some(*kernel),
            Self::Literal { law, .. } => one_rate(*law),
        }
    }

    /// Whether each layer is advanced by equivalent time instead of by the kernel.
    pub fn is_literal(&self) -> bool {
        matches!(self, Self::Literal { .. }) && self.kernel().is_none()
    }
}

/// The kernel of one compartment that stands for a law of one rate.
fn one_rate(law: ThinLayer) -> Option<TwoCompartment> {
    let rate = |t: f64| law.newton_rate(t).map(|k| (t, k));
    let one = Arrhenius::through(rate(10.0)?, rate(60.0)?);
    Some(TwoCompartment { shell_share: 1.0, shell: one, core: one })
}

/// Air from an hour on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InletStep {
    /// Hour from which it holds, until the next step.
    pub hour: f64,
    /// Temperature, °C.
    pub temperature: f64,
    /// Humidity ratio, kg/kg.
    pub humidity_ratio: f64,
    /// Dry-air flux, kg/(s m²); 0 with the fan off.
    pub flux: f64,
}

/// A column and what happens to it. Moistures are fractions dry basis.
#[derive(Debug, Clone, PartialEq)]
pub struct ColumnCase {
    /// Equilibrium relation.
    pub isotherm: IsothermForm,
    /// Integral heat of sorption.
    pub sorption: SorptionHeat,
    /// Exchange of water.
    pub exchange: Exchange,
    /// Rewetting rate as a share of the drying rate, 0 to 1.
    pub rewetting: f64,
    /// Gap between the drying and the wetting branch, d.b.; kernels only.
    pub adsorption_gap: f64,
    /// Highest humidity for which equilibrium is asked.
    pub humidity_cap: f64,
    /// Share of a layer's change that its air sees (1 is plain upwind); kernels and equilibrium only.
    pub air_sees: f64,
    /// Depth as filled, m.
    pub depth: f64,
    /// Dry matter, kg/m³ as filled.
    pub dry_density: f64,
    /// Loss of depth for each unit of moisture (w.b.) lost; 0 for none.
    pub shrink: f64,
    /// Specific heat of dry matter, J/(kg K).
    pub dry_specific_heat: f64,
    /// Specific heat of the grain's water, J/(kg K).
    pub water_specific_heat: f64,
    /// Conductivity of the bulk, W/(m K), for hours with the fan off.
    pub conductivity: f64,
    /// Barometric pressure, Pa.
    pub pressure: f64,
    /// Moisture as filled.
    pub moisture: f64,
    /// Temperature as filled, °C.
    pub temperature: f64,
    /// Damaged kernels (mass fraction) when the respiration of corn is counted.
    pub respiration: Option<f64>,
    /// Storage relations as published; the fastest counts.
    pub published: Vec<StorageLaw>,
    /// Storage relations read strictly; the fastest counts.
    pub strict: Vec<StorageLaw>,
    /// Layers, at least 1.
    pub layers: usize,
    /// Longest step wanted, s; shorter ones are taken where [`ColumnCase::default_step`] asks for them.
    pub step: Option<f64>,
    /// Air, in order of hours, the first at or before hour 0.
    pub inlet: Vec<InletStep>,
    /// Hours to show, rising.
    pub hours: Vec<f64>,
    /// Depths to show, m from the air inlet.
    pub depths: Vec<f64>,
}

/// Air that leaves the column.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeavingAir {
    /// Temperature, °C.
    pub temperature: f64,
    /// Humidity ratio, kg/kg.
    pub humidity_ratio: f64,
}

/// The column at one depth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AtDepth {
    /// Depth from the inlet, m.
    pub depth: f64,
    /// Moisture, d.b.
    pub moisture: f64,
    /// Temperature, °C.
    pub temperature: f64,
    /// Storage life used as published, where judged.
    pub life_published: Option<f64>,
    /// Storage life used, strict reading, where judged.
    pub life_strict: Option<f64>,
}

/// The column at one hour.
#[derive(Debug, Clone, PartialEq)]
pub struct ColumnProfile {
    /// Hour.
    pub hour: f64,
    /// Mean moisture, d.b., weighted by dry matter.
    pub mean_moisture: f64,
    /// Leaving air, with the fan off the air in the outlet layer; none at the start.
    pub exhaust: Option<LeavingAir>,
    /// The depths asked for; between layer centres linear, beyond the outermost held.
    pub at: Vec<AtDepth>,
    /// Where moisture stands mid-way between that at the inlet and the plateau ahead, m; none without a front.
    pub front_depth: Option<f64>,
}

/// What a run gives.
#[derive(Debug, Clone, PartialEq)]
pub struct ColumnRun {
    /// One profile for each hour asked for; when it was stopped, for those it reached.
    pub profiles: Vec<ColumnProfile>,
    /// Whether it was stopped before the last hour.
    pub partial: bool,
    /// Relative residual of the water balance.
    pub water_residual: f64,
    /// Relative residual of the energy balance.
    pub energy_residual: f64,
    /// Lowest and highest grain temperature met, °C.
    pub temperatures: (f64, f64),
    /// Lowest and highest moisture met, d.b.
    pub moistures: (f64, f64),
    /// Lowest and highest relative humidity of the air between layers, where air moved.
    pub humidities: Option<(f64, f64)>,
    /// What has to be said with it.
    pub remarks: Remarks,
}

impl ColumnCase {
    /// Dry matter of one layer, kg/m².
    fn layer_mass(&self) -> f64 {
        self.depth * self.dry_density / self.layers as f64
    }

    /// The longest step (s) that is taken: τ under literal laws, 4 τ in the kernel, 300 s at most; τ is the time in
    /// which the air carries the heat of one layer, ρ (c_d + c_w M) Δz / (G (1006 + 1860 W)).
    ///
    /// A choice for verification: with 400 layers it meets the reference beds V1 to V6 within their tolerances.
    pub fn default_step(&self, air: &InletStep) -> f64 {
        if air.flux <= 0.0 {
            return LONGEST_STEP;
        }
        let grain = self.layer_mass() * (self.dry_specific_heat + self.water_specific_heat * self.moisture);
        let tau = grain / (air.flux * (SPECIFIC_HEAT_DRY_AIR + SPECIFIC_HEAT_VAPOUR * air.humidity_ratio));
        let steps = if self.exchange.is_literal() { 1.0 } else { KERNEL_STEP };
        LONGEST_STEP.min(steps * tau)
    }

    /// Layers times steps: what the run costs.
    pub fn layer_steps(&self) -> f64 {
        grid::stretches(self).iter().map(|s| s.steps as f64).sum::<f64>() * self.layers as f64
    }

    /// Runs the column. Now and then `stop` hears what share of the steps is done and says whether to end there.
    pub fn run_until(&self, stop: &dyn Fn(f64) -> bool) -> ColumnRun {
        match self.exchange {
            Exchange::Literal { law, velocity } if self.exchange.is_literal() => {
                literal::run(self, law, velocity, stop)
            }
            _ => kernel::run(self, self.exchange.kernel(), stop),
        }
    }
}

/// Runs the column to its last hour.
pub fn run(case: &ColumnCase) -> ColumnRun {
    case.run_until(&|_| false)
}
