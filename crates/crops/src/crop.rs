//! One crop with everything recorded about it.

use crate::bulk::{self, Bushel, TestWeight, TypicalRange};
use crate::capability::{MissingCapability, Need};
use crate::evidence::{Banded, Sourced};
use crate::heat;
use crate::isotherm::{IsothermSet, SetUse, Spread};
use crate::kinetics::Kinetics;
use crate::limits::{AirLimit, SafeMoisture};
use crate::line::MoistureLine;
use crate::resistance::ResistanceRow;
use crate::storage::Storage;
use notice::{Phrase, Remark};
use physics::{
    air,
    direction::HorizontalShare,
    dry_down::DryDown,
    grain::{DrySpecificHeat, dry_basis},
    isotherm::IsothermForm,
    sorption::SorptionHeat,
};

/// Temperature at which the heat of sorption is read from an isotherm, °C.
pub const SORPTION_TEMPERATURE: f64 = 20.0;
/// Moisture at which densities stand for air-dry grain, as the density lines take it.
const AIR_DRY: f64 = 0.15;
/// Share of voids where none is recorded: the middle of the cereals (judgement).
const ASSUMED_POROSITY: f64 = 0.40;
/// Packing factor where none is customary: the higher of the two, so that fans are not taken too small (judgement).
const ASSUMED_PACKING: f64 = 1.5;

/// A crop: published rows, defaults chosen among them, and what is missing.
///
/// Of every list of rows the first is the default, except the isotherms, whose default is named with its reason.
#[derive(Debug, Clone)]
pub struct Crop {
    /// Name in files.
    pub id: String,
    /// Name in sentences.
    pub name: String,
    /// Other names that lead here.
    pub aliases: Vec<String>,
    /// Whether it is grain or seed that lies in a bin; false for ear corn, roots and fruit, of which only the resistance
    /// is recorded.
    pub grain: bool,
    /// Oil content, fraction of dry matter.
    pub oil: Option<Sourced<f64>>,
    /// Published equilibrium sets.
    pub isotherms: Vec<IsothermSet>,
    /// Which of them is the default.
    pub default_isotherm: Option<usize>,
    /// Why that one.
    pub default_isotherm_because: Option<String>,
    /// How far the adsorption branch lies below desorption, as a fraction wet basis, with its band.
    pub adsorption_offset_wb: Sourced<Banded>,
    /// Bulk density against moisture, kg/m³.
    pub bulk_density: Vec<MoistureLine>,
    /// Kernel density against moisture, kg/m³.
    pub kernel_density: Vec<MoistureLine>,
    /// Typical kernel density, kg/m³.
    pub typical_kernel_density: Option<TypicalRange>,
    /// Typical share of voids in loose grain.
    pub typical_porosity: Option<TypicalRange>,
    /// Legal or customary bushel.
    pub bushel: Option<Bushel>,
    /// Bed depth lost per percentage point (w.b.) dried in place, as a fraction of the depth.
    pub shrink_per_point: Sourced<Banded>,
    /// Specific heat of moist grain against moisture, J/(kg K).
    pub specific_heat: Vec<MoistureLine>,
    /// Conductivity of the bulk against moisture, W/(m K).
    pub conductivity: Vec<MoistureLine>,
    /// Angle of the cone that filling leaves, degrees from the horizontal.
    pub repose_deg: Option<Sourced<f64>>,
    /// Constants of the resistance law.
    pub resistance: Vec<ResistanceRow>,
    /// Drying rate.
    pub kinetics: Option<Kinetics>,
    /// How long it keeps.
    pub storage: Storage,
    /// Limits of the drying air.
    pub air_limits: Vec<AirLimit>,
    /// Moistures at which it keeps.
    pub safe_moistures: Vec<SafeMoisture>,
    /// How it dries while it stands in the field.
    pub dry_down: Option<Sourced<DryDown>>,
}

impl Crop {
    /// Returns an equilibrium set by name, or the default.
    ///
    /// # Errors
    /// When the crop has no such set.
    pub fn isotherm(&self, id: Option<&str>) -> Result<&IsothermSet, MissingCapability> {
        let found = match id {
            None => self.default_isotherm.and_then(|i| self.isotherms.get(i)),
            Some(id) => self.isotherms.iter().find(|set| set.id == id),
        };
        found.ok_or_else(|| {
            let ids: Vec<&str> = self.isotherms.iter().map(|set| set.id.as_str()).collect();
            let wanted = id.map_or("equilibrium set".into(), |id| format!("equilibrium set {id:?}"));
            self.missing(Need::Equilibrium, &wanted, &ids)
        })
    }

    /// Returns the sets whose differences stand for what is not known: the primary and alternative ones and the default;
    /// those marked with caution only where that leaves fewer than two.
    pub fn spread_sets(&self) -> Vec<&IsothermSet> {
        let chosen = |with_caution: bool| -> Vec<&IsothermSet> {
            let keep = |(i, set): (usize, &'_ IsothermSet)| match set.use_as {
                SetUse::Primary | SetUse::Alternative => true,
                SetUse::Caution => with_caution || self.default_isotherm == Some(i),
                SetUse::Fallback => self.default_isotherm == Some(i),
            };
            self.isotherms.iter().enumerate().filter(|(i, set)| keep((*i, set))).map(|(_, set)| set).collect()
        };
        let sets = chosen(false);
        if sets.len() < 2 { chosen(true) } else { sets }
    }

    /// Returns the lowest and highest equilibrium moisture (d.b.) of [`Crop::spread_sets`] at one state of the air.
    ///
    /// # Errors
    /// When the crop has no equilibrium set.
    pub fn spread(&self, humidity: f64, temperature: f64) -> Result<Spread, MissingCapability> {
        self.isotherm(None)?;
        let sets = self.spread_sets();
        let moistures: Vec<f64> = sets.iter().map(|set| set.form.equilibrium(humidity, temperature).moisture).collect();
        Ok(Spread {
            low: moistures.iter().copied().fold(f64::INFINITY, f64::min),
            high: moistures.iter().copied().fold(f64::NEG_INFINITY, f64::max),
            ids: sets.iter().map(|set| set.id.clone()).collect(),
        })
    }

    /// Returns the heat of sorption that belongs to an isotherm, read at 20 °C.
    pub fn sorption_heat(&self, isotherm: &IsothermForm) -> SorptionHeat {
        SorptionHeat::of(isotherm, SORPTION_TEMPERATURE)
    }

    /// Returns the bulk density of loose grain at a moisture (fraction wet basis), kg/m³ of moist grain.
    ///
    /// # Errors
    /// When neither a line nor a bushel weight is recorded.
    pub fn bulk_density(&self, moisture_wb: f64) -> Result<f64, MissingCapability> {
        self.bulk_density_scaled(moisture_wb, None)
    }

    /// Returns the bulk density on the crop's line moved to a measured test weight, kg/m³ of moist grain.
    ///
    /// Crops without a line keep the measured density, or else that of their legal bushel, at every moisture.
    ///
    /// # Errors
    /// When there is neither a line nor a bushel nor a measured test weight.
    pub fn bulk_density_scaled(
        &self,
        moisture_wb: f64,
        measured: Option<TestWeight>,
    ) -> Result<f64, MissingCapability> {
        match (self.bulk_density.first(), measured, &self.bushel) {
            (Some(line), measured, _) => Ok(bulk::scaled(line, moisture_wb, measured)),
            (None, Some(sample), _) => Ok(sample.density),
            (None, None, Some(bushel)) => Ok(bushel.density()),
            (None, None, None) => Err(self.missing(Need::Heat, "bulk density", &[])),
        }
    }

    /// Returns the mass of dry matter in a volume of loose grain at a moisture (fraction wet basis), kg/m³.
    ///
    /// # Errors
    /// As [`Crop::bulk_density`].
    pub fn dry_matter_density(&self, moisture_wb: f64) -> Result<f64, MissingCapability> {
        Ok(self.bulk_density(moisture_wb)? * (1.0 - moisture_wb))
    }

    /// Returns the published specific heat of moist grain at a moisture (fraction wet basis), J/(kg K) of moist grain.
    ///
    /// # Errors
    /// When no line is recorded.
    pub fn heat_capacity(&self, moisture_wb: f64) -> Result<f64, MissingCapability> {
        Ok(self.specific_heat_line()?.at(moisture_wb))
    }

    /// Returns the specific heat of the dry matter that stands for the published line in the bed, with its misfit.
    ///
    /// # Errors
    /// When no line is recorded.
    pub fn dry_heat(&self) -> Result<DrySpecificHeat, MissingCapability> {
        self.specific_heat_line().map(heat::dry_heat)
    }

    fn specific_heat_line(&self) -> Result<&MoistureLine, MissingCapability> {
        self.specific_heat.first().ok_or_else(|| self.missing(Need::Heat, "specific heat", &[]))
    }

    /// Returns the conductivity of the bulk at a moisture (fraction wet basis), W/(m K).
    ///
    /// # Errors
    /// When no line is recorded.
    pub fn bulk_conductivity(&self, moisture_wb: f64) -> Result<f64, MissingCapability> {
        let line = self.conductivity.first().ok_or_else(|| self.missing(Need::Heat, "conductivity", &[]))?;
        Ok(line.at(moisture_wb))
    }

    /// Returns a row of resistance constants by name, or the main row.
    ///
    /// # Errors
    /// When the crop has no such row.
    pub fn resistance(&self, id: Option<&str>) -> Result<&ResistanceRow, MissingCapability> {
        let found = match id {
            None => self.resistance.iter().find(|row| !row.low_airflow),
            Some(id) => self.resistance.iter().find(|row| row.id == id),
        };
        found.ok_or_else(|| {
            let ids: Vec<&str> = self.resistance.iter().map(|row| row.id.as_str()).collect();
            let wanted = id.map_or("resistance to airflow".into(), |id| format!("resistance row {id:?}"));
            self.missing(Need::Resistance, &wanted, &ids)
        })
    }

    /// Returns the share of its resistance that the crop offers to horizontal air.
    ///
    /// # Errors
    /// When none is published for the crop.
    pub fn horizontal_share(&self) -> Result<HorizontalShare, MissingCapability> {
        crate::resistance::horizontal_share(&self.id).ok_or_else(|| MissingCapability {
            crop: self.id.clone(),
            need: Need::Resistance,
            wanted: "resistance to horizontal air".into(),
            help:
                "published for corn, wheat, barley and sunflower; other kernels are shaped otherwise, so none is lent"
                    .into(),
        })
    }

    /// Returns the drying rate.
    ///
    /// # Errors
    /// When none is recorded, not even bounds.
    pub fn kinetics(&self) -> Result<&Kinetics, MissingCapability> {
        self.kinetics.as_ref().ok_or_else(|| self.missing(Need::Kinetics, "drying rate", &[]))
    }

    /// Returns the heat to evaporate water from grain at a moisture (fraction wet basis) and temperature (°C), J/kg: that of
    /// free water and the net heat of sorption R_v T² ∂ln h/∂T of the default equilibrium set (Clausius and Clapeyron).
    ///
    /// The isotherm's own heat, for looking up; seasons use [`Crop::sorption_heat`]. `None` without an equilibrium set, or
    /// where its form gives no number.
    pub fn latent_heat(&self, moisture_wb: f64, temperature: f64) -> Option<f64> {
        let slope = self.isotherm(None).ok()?.form.log_humidity_slope(dry_basis(moisture_wb), temperature);
        let kelvin = temperature + air::ZERO_CELSIUS_K;
        let heat = air::latent_heat(temperature) + air::GAS_CONSTANT_VAPOUR * kelvin * kelvin * slope;
        heat.is_finite().then_some(heat)
    }

    /// Returns the share of voids in loose, air-dry grain, for losses that it hardly moves (a perforated floor's): the middle
    /// of the typical range, else from the two densities at 15 % dry basis, else 0.40 with a remark.
    pub fn porosity(&self) -> (f64, Option<Remark>) {
        let typical = || self.typical_porosity.as_ref().map(|t| 0.5 * (t.range.low + t.range.high));
        let of_densities = || {
            let (bulk, kernel) = (self.bulk_density.first()?.at(AIR_DRY), self.kernel_density.first()?.at(AIR_DRY));
            Some(physics::grain::porosity(bulk, kernel)).filter(|p| (0.2..0.8).contains(p))
        };
        match typical().or_else(of_densities) {
            Some(porosity) => (porosity, None),
            None => {
                let says = Phrase::new("porosity {taken} taken for the floor's loss: none is recorded for {crop}")
                    .text("taken", format!("{ASSUMED_POROSITY:.2}"))
                    .text("crop", &self.name);
                (ASSUMED_POROSITY, Some(Remark::new("porosity-taken", says)))
            }
        }
    }

    /// Returns the customary factor on the resistance of loose grain: 1.5 for corn and soybean, 1.3 for small grains
    /// (extension tables); 1.5 with a remark for others, for which nobody gives one.
    pub fn customary_packing(&self) -> (f64, Option<Remark>) {
        match self.id.as_str() {
            "corn" | "popcorn" | "soybean" => (1.5, None),
            "wheat-hard" | "wheat-soft" | "wheat-durum" | "barley" | "oats" | "rye" | "rice-long" | "rice-medium"
            | "rice-short" | "sorghum" | "canola" | "flax" => (1.3, None),
            _ => {
                let says = Phrase::new("no packing factor is customary for {crop}: that of corn, {factor}, is taken")
                    .text("crop", &self.name)
                    .text("factor", ASSUMED_PACKING.to_string());
                (ASSUMED_PACKING, Some(Remark::new("packing-assumed", says)))
            }
        }
    }

    pub(crate) fn missing(&self, need: Need, wanted: &str, recorded: &[&str]) -> MissingCapability {
        let help = if recorded.is_empty() {
            format!("add it in a crop file of your own with `based_on = {:?}` and its source", self.id)
        } else {
            format!("recorded for {}: {}", self.id, recorded.join(", "))
        };
        MissingCapability { crop: self.id.clone(), need, wanted: wanted.into(), help }
    }
}
