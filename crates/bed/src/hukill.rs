//! Hukill's bed: the simplified bed whose solution is known in closed form, as a literal column. For verification.
//!
//! His simplifications: the rate of drying is in proportion to the moisture to go and to the air's temperature above that at
//! which it gives no more; latent heat alone is carried by the air. They are made here by a law that reads the leaving
//! temperature, grain without heat capacity, and a range of temperature so narrow that latent heat and the heat of the air
//! hardly change along the bed.
//!
//! # Source
//! Hukill 1954, as tabled in `tests/tables/hukill.csv`.

use crate::literal::{Asked, Inlet, LiteralColumn, LiteralParams};
use physics::air::{SPECIFIC_HEAT_DRY_AIR, SPECIFIC_HEAT_VAPOUR, STANDARD_PRESSURE, VAPOUR_ENTHALPY_0C};
use physics::isotherm::IsothermForm;
use physics::sorption::SorptionHeat;

/// Air in, °C.
const AIR_IN: f64 = 30.0;
/// Air that gives no more, °C.
const AIR_END: f64 = 28.0;
/// Humidity ratio of the air in, kg/kg.
const HUMIDITY_IN: f64 = 0.002;
/// Moisture at the start and at the end, d.b.
const MOISTURE: (f64, f64) = (0.30, 0.10);
/// Time in which a thin layer loses half of what it has to lose, s.
const HALF_TIME: f64 = 3600.0;
/// Dry-air flux, kg/(s m²).
const FLUX: f64 = 0.1;

/// The moisture ratios of the layers, from the air inlet on, after a number of half-times, on a grid of `per_unit` layers to a
/// depth unit and steps to a half-time.
#[derive(Debug, Clone, PartialEq)]
pub struct HukillBed(pub Vec<f64>);

impl HukillBed {
    /// Dries a bed of some depth units.
    pub fn dried(depth_units: f64, half_times: f64, per_unit: usize) -> Self {
        let (m0, m_end) = MOISTURE;
        let air_heat = SPECIFIC_HEAT_DRY_AIR + SPECIFIC_HEAT_VAPOUR * (HUMIDITY_IN + 0.0004);
        let latent = VAPOUR_ENTHALPY_0C + SPECIFIC_HEAT_VAPOUR * 29.0;
        // One depth unit holds what the air's heat above the end temperature dries in one half-time.
        let unit = FLUX * air_heat * (AIR_IN - AIR_END) * HALF_TIME / (latent * (m0 - m_end));
        let params = LiteralParams {
            // Any isotherm: the law below asks for none.
            isotherm: IsothermForm::ModifiedHenderson { a: 8.6541e-5, b: 1.8634, c: 49.810 },
            sorption: SorptionHeat::NONE,
            dry_specific_heat: 1e-6,
            water_specific_heat: 0.0,
            humidity_cap: 0.98,
            layer: unit / per_unit as f64,
        };
        let law = move |a: &Asked| {
            let drive = ((a.temperature - AIR_END) / (AIR_IN - AIR_END)).max(0.0);
            let pull = std::f64::consts::LN_2 * a.seconds / HALF_TIME * drive;
            (a.moisture + pull * m_end) / (1.0 + pull)
        };
        let mut column = LiteralColumn::even((depth_units * per_unit as f64).round() as usize, m0, AIR_IN);
        let inlet = Inlet {
            temperature: AIR_IN,
            humidity_ratio: HUMIDITY_IN,
            flux: FLUX,
            pressure: STANDARD_PRESSURE,
            seconds: HALF_TIME / per_unit as f64,
        };
        for _ in 0..(half_times * per_unit as f64).round() as usize {
            column.advance(&params, &inlet, &law);
        }
        Self(column.moisture.iter().map(|m| (m - m_end) / (m0 - m_end)).collect())
    }

    /// The mean of the bed.
    pub fn mean(&self) -> f64 {
        self.0.iter().sum::<f64>() / self.0.len() as f64
    }

    /// The ratio where the air leaves: half a layer beyond the last centre.
    pub fn outlet(&self) -> f64 {
        match self.0.as_slice() {
            [.., before, last] => 1.5 * last - 0.5 * before,
            all => all.last().copied().unwrap_or(f64::NAN),
        }
    }

    /// A quantity as the table names it: the mean of the bed, else the ratio at its depth.
    pub fn quantity(&self, name: &str) -> f64 {
        if name.starts_with("mean") { self.mean() } else { self.outlet() }
    }
}
