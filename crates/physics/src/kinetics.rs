//! How fast a kernel gives or takes water: the two-compartment kernel of production and the published thin-layer laws.

/// ln rate = ln_a − b/T with T in K; rates in 1/s.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Arrhenius {
    /// Logarithm of the rate at infinite temperature.
    pub ln_a: f64,
    /// Activation temperature, K.
    pub b: f64,
}

/// A kernel of two compartments: a shell that meets the air and a core that feeds the shell.
///
/// Per kg of dry matter, with s the shell's share: s dMs/dt = −s k_s (Ms − Me) + (1−s) k_c (Mc − Ms),
/// dMc/dt = −k_c (Mc − Ms). An autonomous rate of the state: any history of air, mixing or frost is admissible.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TwoCompartment {
    /// Share of the dry matter in the shell.
    pub shell_share: f64,
    /// Rate between shell and air, per kg of shell.
    pub shell: Arrhenius,
    /// Rate between core and shell, per kg of core.
    pub core: Arrhenius,
}
