//! A rise of temperature: the burner's duty, the customary factor beside it, and what a direct flame does to the air.

use super::air::Altitude;
use super::{Answer, Faults, gas, one, part, refuse};
use notice::{Diagnostic, Diagnostics, Kind, Phrase, Quantity, Range, Remark, Remarks, Source, Status};
use physics::air::{STANDARD_PRESSURE, saturation_pressure, standard_pressure, vapour_pressure};
use physics::burner_duty::{CUSTOMARY_FACTOR, FactorParts, factor_parts, heat_factor};
use physics::combustion::DryProducts;
use physics::states::{ELEVATION, Known, MoistAirState, PRESSURE};

/// Rises that a burner of grain gives, K.
const RISES: Range = Range::new(0.0, 120.0);
/// Air before a burner, °C.
const OUTDOORS: Range = Range::new(-45.0, 60.0);
/// Airflows of fans with a burner, m³/s.
const AIRFLOWS: Range = Range::new(0.05, 500.0);
/// Full fire over least fire.
const TURNDOWNS: Range = Range::new(1.0, 100.0);

/// The question.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// Fuel by name.
    pub fuel: String,
    /// Air where the airflow is measured, °C.
    pub dry_bulb: f64,
    /// Its relative humidity, fraction.
    pub relative_humidity: f64,
    /// Airflow there, m³/s.
    pub airflow: f64,
    /// Rise wanted, K.
    pub rise: f64,
    /// Efficiency of an indirect heater on the lower heating value; left out, a direct flame.
    pub efficiency: Option<f64>,
    /// Most heat the burner gives the air, W.
    pub capacity: Option<f64>,
    /// Full fire over least steady fire.
    pub turndown: Option<f64>,
    /// Where.
    pub altitude: Altitude,
}

/// The answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Combustion {
    /// Fuel.
    pub fuel: &'static str,
    /// Dry air, kg/s.
    pub dry_air: f64,
    /// Heat to the air by the exact balance, W.
    pub heat: f64,
    /// What the customary factor says, W.
    pub customary_heat: f64,
    /// Why the two differ.
    pub parts: FactorParts,
    /// Heat on the invoice, W.
    pub invoiced_heat: f64,
    /// Fuel, kg/s.
    pub fuel_flow: f64,
    /// Fuel as a liquid, m³/s.
    pub liquid_flow: Option<f64>,
    /// Fuel as a gas, m³/s at 60 °F and 30 in. of mercury.
    pub gas_flow: f64,
    /// Rise of the humidity ratio, kg/kg; zero for an indirect heater.
    pub water_added: f64,
    /// Carbon dioxide added, volume fraction; zero for an indirect heater.
    pub carbon_dioxide_added: f64,
    /// Relative humidity of the air before the fire, fraction.
    pub humidity_before: f64,
    /// Relative humidity after it, fraction.
    pub humidity_after: f64,
    /// Relative humidity after as much dry heat, fraction.
    pub humidity_dry_heat: f64,
    /// Air beyond the need of the flame, over that need; none without a flame.
    pub excess_air: Option<f64>,
    /// Dry products without excess air.
    pub products: DryProducts,
    /// What the burner named does with this rise.
    pub burner: Option<BurnerFit>,
    /// Where the equations come from.
    pub source: Source,
}

/// How a burner fits a rise.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BurnerFit {
    /// Rise at full fire, K.
    pub full_rise: f64,
    /// Least steady rise, K; that of full fire for an on-off burner.
    pub least_rise: f64,
    /// Share of full fire that the rise takes.
    pub share: f64,
    /// Share of the time it must burn at its least steady rate (1: it burns on and modulates).
    pub duty: f64,
    /// Pressure at the orifice at least fire over that at full fire.
    pub pressure_share: f64,
}

impl Question {
    /// What is impossible about it.
    pub fn faults(&self) -> Diagnostics {
        let mut faults = Faults::default();
        gas::known(&mut faults, &self.fuel);
        faults.outside("dry-bulb", self.dry_bulb, Kind::Temperature, OUTDOORS);
        faults.humidity("relative-humidity", self.relative_humidity);
        gas::above_zero(&mut faults, "airflow", self.airflow, Kind::Airflow, AIRFLOWS);
        faults.outside("rise", self.rise, Kind::TemperatureDifference, RISES);
        if let Some(efficiency) = self.efficiency {
            gas::above_zero(&mut faults, "efficiency", efficiency, Kind::Fraction, gas::HEATER_EFFICIENCIES);
        }
        if let Some(capacity) = self.capacity {
            gas::above_zero(&mut faults, "capacity", capacity, Kind::HeatRate, gas::HEATS);
        }
        if let Some(turndown) = self.turndown.filter(|t| *t < 1.0) {
            let found = format!("turndown of {turndown}");
            faults.0.add(
                Diagnostic::error("impossible", found, part("turndown"))
                    .allowed("must be 1 or more")
                    .help("turndown is full fire over least steady fire: 4 for a burner that goes down to a quarter"),
            );
        }
        if let Some(turndown) = self.turndown {
            faults.outside("turndown", turndown.max(1.0), Kind::Number, TURNDOWNS);
        }
        if self.turndown.is_some() && self.capacity.is_none() {
            faults.0.add(
                Diagnostic::error("missing-option", "a turndown without a capacity", part("capacity"))
                    .allowed("a turndown is a share of the full fire")
                    .help("add the most heat the burner gives, as \"1 MMBtu/h\", or leave the turndown out"),
            );
        }
        match self.altitude {
            Altitude::Pressure(pressure) => faults.outside("pressure", pressure, Kind::Barometric, PRESSURE),
            Altitude::Elevation(height) => faults.outside("elevation", height, Kind::Length, ELEVATION),
            Altitude::SeaLevel => (),
        }
        faults.0
    }

    /// Answers it.
    ///
    /// # Errors
    /// What is impossible about the question, air that cannot exist included.
    pub fn answer(&self) -> Result<Answer<Combustion>, Diagnostics> {
        refuse(self.faults())?;
        let fuel = gas::fuel(&self.fuel)?;
        let (pressure, elevation) = match self.altitude {
            Altitude::Pressure(pressure) => (pressure, None),
            Altitude::Elevation(height) => (standard_pressure(height), Some(height)),
            Altitude::SeaLevel => (STANDARD_PRESSURE, None),
        };
        let air = MoistAirState::new(self.dry_bulb, Known::RelativeHumidity(self.relative_humidity), pressure)
            .map_err(|e| {
                one(Diagnostic::error("impossible-air", format!("no such air exists: {e}"), part("dry-bulb")))
            })?;
        let (w, rise) = (air.humidity_ratio, self.rise);
        let dry_air = self.airflow / air.specific_volume;
        let per_kelvin = heat_factor(self.dry_bulb, w, pressure) * self.airflow;
        let heat = per_kelvin * rise;
        let direct = self.efficiency.is_none();
        let invoiced_heat = fuel.invoiced_heat(heat, self.efficiency.unwrap_or(1.0));
        let fuel_flow = invoiced_heat / fuel.higher_heating_value;
        let water_added = if direct { fuel.humidity_added(w, rise) } else { 0.0 };
        let humidity = |w: f64| vapour_pressure(pressure, w) / saturation_pressure(self.dry_bulb + rise);
        let burner = self.capacity.map(|capacity| fit(capacity, self.turndown.unwrap_or(1.0), per_kelvin, rise));
        let mut remarks = Remarks::default();
        if let Some(burner) = &burner {
            self.remark_fit(&mut remarks, burner);
        }
        if direct && rise > 0.0 {
            let says =
                Phrase::new("a direct flame raises carbon dioxide in the bin: no reading for spoilage while it burns");
            remarks.add(Remark::new("carbon-dioxide-readings", says));
        }
        if air.over_ice {
            let says = Phrase::new(
                "the air asked about is at {humidity} over ice, as tables and instruments have it below {triple}; the relative humidities here are \
                 over liquid water, as weather files and grain relations have it",
            )
            .with("humidity", Quantity::new(air.relative_humidity, Kind::RelativeHumidity))
            .with("triple", Quantity::new(0.01, Kind::Temperature));
            remarks.add(Remark::new("over-ice", says));
        }
        gas::altitude(&mut remarks, elevation);
        gas::caution(&mut remarks);
        let result = Combustion {
            fuel: fuel.name,
            dry_air,
            heat,
            customary_heat: CUSTOMARY_FACTOR * self.airflow * rise,
            parts: factor_parts(self.dry_bulb, w, pressure),
            invoiced_heat,
            fuel_flow,
            liquid_flow: fuel.liquid_density.map(|density| fuel_flow / density),
            gas_flow: fuel.gas_volume(invoiced_heat),
            water_added,
            carbon_dioxide_added: if direct { fuel.carbon_dioxide_added(w, rise) } else { 0.0 },
            humidity_before: air.relative_humidity_over_water,
            humidity_after: humidity(w + water_added),
            humidity_dry_heat: humidity(w),
            excess_air: (rise > 0.0).then(|| fuel.excess_air(dry_air, fuel_flow)),
            products: fuel.dry_products(0.0),
            burner,
            source: Source::new(
                "balance of moist air (ASHRAE psychrometrics), stoichiometry; factor 1.08 is common practice",
                Status::Computed,
            ),
        };
        Ok(Answer { result, remarks })
    }

    fn remark_fit(&self, remarks: &mut Remarks, burner: &BurnerFit) {
        let rise = |v: f64| Quantity::new(v, Kind::TemperatureDifference);
        if self.rise > burner.full_rise * (1.0 + 1e-9) {
            let says =
                Phrase::new("the burner gives {full} of the {wanted} wanted at full fire: the plenum stays colder")
                    .with("full", rise(burner.full_rise))
                    .with("wanted", rise(self.rise));
            remarks.add(Remark::new("burner-short", says));
        } else if burner.full_rise > RISES.high {
            let says = Phrase::new(
                "at full fire the burner would heat this little air by {full}, more than any bin or burner bears: airflow and capacity do \
                 not belong together",
            )
            .with("full", rise(burner.full_rise));
            remarks.add(Remark::new("burner-too-large", says));
        }
        if self.rise > 0.0 && self.rise < burner.least_rise * (1.0 - 1e-9) {
            let says = Phrase::new(
                "below its least steady rise of {least} the burner goes on and off: grain at the floor meets {least} and unheated air in \
                 turn, and limits see the {least}",
            )
            .with("least", rise(burner.least_rise));
            remarks.add(Remark::new("burner-cycles", says));
        }
    }
}

fn fit(capacity: f64, turndown: f64, per_kelvin: f64, rise: f64) -> BurnerFit {
    let full_rise = capacity / per_kelvin;
    let (share, least) = (rise / full_rise, 1.0 / turndown);
    BurnerFit {
        full_rise,
        least_rise: least * full_rise,
        share,
        duty: (share / least).min(1.0),
        pressure_share: physics::orifice::pressure_share(least),
    }
}
