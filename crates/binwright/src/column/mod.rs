//! One even column of grain under given air: what verification against published beds needs. Plain SI, no text.
//!
//! Puts together what `bed` and `physics` know; holds no equation of its own. Leaves out fans, weather and programmes.

mod grid;
mod inlet;
mod kernel;
mod literal;
pub mod read;
mod text;

use notice::Remarks;
use physics::{
    isotherm::IsothermForm, kinetics::TwoCompartment, sorption::SorptionHeat, storability::StorageLaw,
    thin_layer::ThinLayer,
};

/// Most layers a case may have: a front is some ten layers wide at 400, and time grows with layers and steps.
pub const MOST_LAYERS: usize = 4000;

/// How a layer exchanges water with its air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Exchange {
    /// Grain and leaving air are in equilibrium.
    Equilibrium,
    /// The two-compartment kernel.
    Kernel(TwoCompartment),
    /// A published law taken literally, with the velocity it is asked for (m/s).
    Literal(ThinLayer, f64),
}

/// Air from an hour on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InletStep {
    /// Hour from which it holds.
    pub hour: f64,
    /// Temperature, °C.
    pub temperature: f64,
    /// Humidity ratio, kg/kg.
    pub humidity_ratio: f64,
    /// Dry-air flux, kg/(s m²); 0 with the fan off.
    pub flux: f64,
}

/// A column and what happens to it.
#[derive(Debug, Clone, PartialEq)]
pub struct ColumnCase {
    /// Equilibrium relation.
    pub isotherm: IsothermForm,
    /// Heat of sorption.
    pub sorption: SorptionHeat,
    /// Exchange of water.
    pub exchange: Exchange,
    /// Rewetting rate as a share of the drying rate, 0 to 1.
    pub rewetting: f64,
    /// Gap between the drying and the wetting branch, d.b.
    pub adsorption_gap: f64,
    /// Highest humidity for which equilibrium is asked.
    pub humidity_cap: f64,
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
    /// Moisture as filled, d.b.
    pub moisture: f64,
    /// Temperature as filled, °C.
    pub temperature: f64,
    /// Damaged kernels (mass fraction) when respiration of corn is counted.
    pub respiration: Option<f64>,
    /// Storage relations as published.
    pub published: Vec<StorageLaw>,
    /// Storage relations read strictly.
    pub strict: Vec<StorageLaw>,
    /// Layers.
    pub layers: usize,
    /// Step, s.
    pub step: f64,
    /// Air, in order of hours, the first at or before hour 0.
    pub inlet: Vec<InletStep>,
    /// Hours to show, rising.
    pub hours: Vec<f64>,
    /// Depths to show, m from the air inlet.
    pub depths: Vec<f64>,
}

/// The column at one hour.
#[derive(Debug, Clone, PartialEq)]
pub struct Profile {
    /// Hour.
    pub hour: f64,
    /// Mean moisture, d.b., weighted by dry matter.
    pub mean_moisture: f64,
    /// Leaving air: temperature (°C) and humidity ratio; none before air moved.
    pub exhaust: Option<(f64, f64)>,
    /// The depths asked for.
    pub at: Vec<AtDepth>,
    /// Mid-way between the moisture behind the front and the plateau ahead, m; none without a front.
    pub front_depth: Option<f64>,
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
    pub life: Option<f64>,
    /// Storage life used, strict reading, where judged.
    pub strict_life: Option<f64>,
}

/// What a run gives.
#[derive(Debug, Clone, PartialEq)]
pub struct ColumnRun {
    /// One profile an hour asked for.
    pub profiles: Vec<Profile>,
    /// Balance residual of water, relative.
    pub water_residual: f64,
    /// Balance residual of energy, relative.
    pub energy_residual: f64,
    /// Lowest and highest grain temperature met, °C.
    pub temperatures: (f64, f64),
    /// Lowest and highest moisture met, d.b.
    pub moistures: (f64, f64),
    /// What has to be said with it.
    pub remarks: Remarks,
}

impl ColumnCase {
    /// Runs the column. `stop` is asked now and then; none when it said so.
    pub fn run(&self, stop: &dyn Fn() -> bool) -> Option<ColumnRun> {
        match self.exchange {
            // A law of one rate is a kernel of one compartment: the fast road serves it exactly.
            Exchange::Literal(law, velocity) => match newton(law) {
                Some(kernel) => kernel::run(self, Some(kernel), stop),
                None => literal::run(self, law, velocity, stop),
            },
            Exchange::Kernel(kernel) => kernel::run(self, Some(kernel), stop),
            Exchange::Equilibrium => kernel::run(self, None, stop),
        }
    }
}

/// The kernel of one compartment that stands for a law of one rate.
fn newton(law: ThinLayer) -> Option<TwoCompartment> {
    let rate = |t: f64| law.newton_rate(t).map(|k| (t, k));
    let one = physics::kinetics::Arrhenius::through(rate(10.0)?, rate(60.0)?);
    Some(TwoCompartment { shell_share: 1.0, shell: one, core: one })
}
