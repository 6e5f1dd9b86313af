//! What came in, went out and stayed, in water and in energy.

/// Tallies of one column since it was made, per m² of floor.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Balance {
    /// Water brought in with grain and made by respiration, kg/m².
    pub water_in: f64,
    /// Water taken out with grain, kg/m².
    pub water_out: f64,
    /// Net water given to the air, kg/m² (negative when grain was wetted).
    pub water_to_air: f64,
    /// Sum of magnitudes of water exchanged with the air, kg/m².
    pub water_moved: f64,
    /// Enthalpy brought in with grain and by respiration, J/m².
    pub energy_in: f64,
    /// Enthalpy taken out with grain, J/m².
    pub energy_out: f64,
    /// Net enthalpy given to the air, J/m².
    pub energy_to_air: f64,
    /// Sum of magnitudes of enthalpy exchanged with air and wall, J/m².
    pub energy_moved: f64,
    /// Net heat given to the wall; in rings to all that surrounds the column, its neighbours among it, J/m².
    pub energy_to_wall: f64,
}

/// Residuals of the two balances.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Residual {
    /// |in − out − stored| over what was moved and stored; floor 1 mg/m².
    pub water: f64,
    /// Likewise in energy; floor 1 J/m².
    pub energy: f64,
}

impl Balance {
    /// Residuals, given what the column stores now (kg/m² of water, J/m² of enthalpy).
    pub fn residual(&self, water_stored: f64, energy_stored: f64) -> Residual {
        let water = self.water_in - self.water_out - self.water_to_air - water_stored;
        let energy = self.energy_in - self.energy_out - self.energy_to_air - self.energy_to_wall - energy_stored;
        let water_size = self.water_in.abs() + self.water_out.abs() + self.water_moved + water_stored.abs();
        let energy_size = self.energy_in.abs() + self.energy_out.abs() + self.energy_moved + energy_stored.abs();
        Residual { water: water.abs() / water_size.max(1e-6), energy: energy.abs() / energy_size.max(1.0) }
    }
}
