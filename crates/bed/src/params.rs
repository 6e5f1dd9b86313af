//! What a column is made of: constants of its grain, one set a lane, and what must be alike in a group of lanes.

use numerics::WIDTH;
use physics::isotherm::IsothermForm;
use physics::kinetics::TwoCompartment;
use physics::sorption::SorptionHeat;
use physics::storability::StorageLaw;

/// Which way air passes the layers; layer 0 lies on the floor.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Direction {
    /// From the floor up.
    Up,
    /// From the surface down.
    Down,
}

/// Published form of the isotherm, alike in a group.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum IsothermFamily {
    /// Modified Henderson.
    Henderson,
    /// Modified Chung–Pfost.
    ChungPfost,
    /// Modified Halsey.
    Halsey,
    /// Modified Oswin.
    Oswin,
    /// Cromarty, by oil content.
    Cromarty,
}

impl IsothermFamily {
    /// The family of a form and its constants (Cromarty's oil content stands first).
    pub fn of(form: &IsothermForm) -> (Self, [f64; 3]) {
        match *form {
            IsothermForm::ModifiedHenderson { a, b, c } => (Self::Henderson, [a, b, c]),
            IsothermForm::ModifiedChungPfost { a, b, c } => (Self::ChungPfost, [a, b, c]),
            IsothermForm::ModifiedHalsey { a, b, c } => (Self::Halsey, [a, b, c]),
            IsothermForm::ModifiedOswin { a, b, c } => (Self::Oswin, [a, b, c]),
            IsothermForm::Cromarty { oil } => (Self::Cromarty, [oil, 0.0, 0.0]),
        }
    }
}

/// Heat and water that the grain's own respiration gives, for crops with a published loss law.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Respiration {
    /// None counted.
    None,
    /// By the dry-matter-loss law of shelled corn.
    Corn {
        /// Mechanically damaged kernels, mass fraction.
        damage: f64,
    },
}

/// What must be alike in a block of columns.
#[derive(Debug, Clone, PartialEq)]
pub struct GroupParams {
    /// Slots for layers; empty ones pass the air on.
    pub layers: usize,
    /// Family of the isotherm.
    pub family: IsothermFamily,
    /// Which way air passes.
    pub direction: Direction,
    /// Respiration law.
    pub respiration: Respiration,
    /// Published storage relations: life used follows the fastest. Empty: not judged.
    pub published: Vec<StorageLaw>,
    /// Strict storage relations: life used follows the fastest. Empty: not judged.
    pub strict: Vec<StorageLaw>,
}

/// Constants of one column.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ColumnParams {
    /// Equilibrium relation (its family must be the group's).
    pub isotherm: IsothermForm,
    /// Integral heat of sorption.
    pub sorption: SorptionHeat,
    /// Kernel; `None` means every layer leaves the step in equilibrium with its air.
    pub kinetics: Option<TwoCompartment>,
    /// Moisture gap (d.b.) between the drying and the wetting branch: inside it nothing moves.
    pub adsorption_gap: f64,
    /// Rewetting rate as a share of the drying rate, 0 to 1.
    pub rewetting: f64,
    /// Specific heat of dry matter, J/(kg K).
    pub dry_specific_heat: f64,
    /// Specific heat of the water in the grain, J/(kg K).
    pub water_specific_heat: f64,
    /// Highest relative humidity for which equilibrium moisture is asked.
    pub humidity_cap: f64,
    /// Share of the layer's change that the air of a layer sees: 1 is plain upwind; 0.6 is better than first order.
    pub air_sees: f64,
    /// Conductivity of the bulk, W/(m K).
    pub conductivity: f64,
    /// Heat conductance between the bulk and the wall, W/(m³ K); 0 for an insulated column.
    pub wall_conductance: f64,
    /// Dry-matter density, kg/m³, for the spacing of layers when air is off.
    pub dry_density: f64,
}

impl ColumnParams {
    /// Share of the layer's change that its air sees, by default.
    ///
    /// With the leaving state alone (1.0) a front smears over several layers. At 20 layers 0.6 divides the grid's error of
    /// the mean by 2.1 to 2.6 (kernels, or swinging air) and that of the exhaust by 1.3 to 1.7. With equilibrium in steady
    /// air the mean gains nothing (0.008 points either way) and the profile rings by 0.05 points ahead of the front, 0.09
    /// with 0.5. Measured in `tests/convergence.rs`; a numerical choice without effect in the limit.
    pub const AIR_SEES: f64 = 0.6;
}

/// The constants of the columns of a block, lane by lane, as the kernel reads them.
#[derive(Debug, Clone)]
pub(crate) struct LaneParams {
    pub isotherm: [[f64; WIDTH]; 3],
    pub sorption: [SorptionHeat; WIDTH],
    pub shell_share: [f64; WIDTH],
    pub shell_ln_a: [f64; WIDTH],
    pub shell_b: [f64; WIDTH],
    pub core_ln_a: [f64; WIDTH],
    pub core_b: [f64; WIDTH],
    /// 1 where a kernel limits the exchange, 0 where equilibrium is assumed.
    pub limited: [f64; WIDTH],
    pub gap: [f64; WIDTH],
    pub rewetting: [f64; WIDTH],
    pub dry_heat: [f64; WIDTH],
    pub water_heat: [f64; WIDTH],
    pub humidity_cap: [f64; WIDTH],
    pub air_sees: [f64; WIDTH],
    pub conductivity: [f64; WIDTH],
    pub wall: [f64; WIDTH],
    pub dry_density: [f64; WIDTH],
}

impl LaneParams {
    /// All lanes alike.
    pub fn filled_with(column: &ColumnParams) -> Self {
        let mut lanes = Self {
            isotherm: [[0.0; WIDTH]; 3],
            sorption: [column.sorption; WIDTH],
            shell_share: [0.0; WIDTH],
            shell_ln_a: [0.0; WIDTH],
            shell_b: [0.0; WIDTH],
            core_ln_a: [0.0; WIDTH],
            core_b: [0.0; WIDTH],
            limited: [0.0; WIDTH],
            gap: [0.0; WIDTH],
            rewetting: [0.0; WIDTH],
            dry_heat: [0.0; WIDTH],
            water_heat: [0.0; WIDTH],
            humidity_cap: [0.0; WIDTH],
            air_sees: [0.0; WIDTH],
            conductivity: [0.0; WIDTH],
            wall: [0.0; WIDTH],
            dry_density: [0.0; WIDTH],
        };
        (0..WIDTH).for_each(|lane| lanes.set(lane, column));
        lanes
    }

    /// Writes one lane.
    pub fn set(&mut self, lane: usize, column: &ColumnParams) {
        let (_, constants) = IsothermFamily::of(&column.isotherm);
        for (slot, value) in self.isotherm.iter_mut().zip(constants) {
            slot[lane] = value;
        }
        self.sorption[lane] = column.sorption;
        self.limited[lane] = f64::from(u8::from(column.kinetics.is_some()));
        // An equilibrium column is one compartment: all of it meets the air.
        let kinetics = column.kinetics.unwrap_or(TwoCompartment {
            shell_share: 1.0,
            shell: physics::kinetics::Arrhenius { ln_a: 0.0, b: 0.0 },
            core: physics::kinetics::Arrhenius { ln_a: 0.0, b: 0.0 },
        });
        self.shell_share[lane] = kinetics.shell_share;
        self.shell_ln_a[lane] = kinetics.shell.ln_a;
        self.shell_b[lane] = kinetics.shell.b;
        self.core_ln_a[lane] = kinetics.core.ln_a;
        self.core_b[lane] = kinetics.core.b;
        self.gap[lane] = column.adsorption_gap;
        self.rewetting[lane] = column.rewetting;
        self.dry_heat[lane] = column.dry_specific_heat;
        self.water_heat[lane] = column.water_specific_heat;
        self.humidity_cap[lane] = column.humidity_cap;
        self.air_sees[lane] = column.air_sees;
        self.conductivity[lane] = column.conductivity;
        self.wall[lane] = column.wall_conductance;
        self.dry_density[lane] = column.dry_density;
    }
}
