//! Fans and burners that site texts may name.

use crate::equipment::ProvenanceJson;
use equipment::{Burner, BurnerSide, Fan, Firing, Fuel, Origin};
use job::catalogue::kind_word;
use serde::Serialize;

/// A point of a fan table.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, utoipa::ToSchema)]
pub struct FanPointJson {
    /// Airflow, m³/s.
    pub airflow_m3_s: f64,
    /// Static pressure, Pa.
    pub pressure_pa: f64,
    /// Shaft power, W; null where the table has none.
    pub shaft_power_w: Option<f64>,
    /// On the side to rely on, right of the peak.
    pub stable: bool,
}

/// A fan.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct FanJson {
    /// Key, as site texts name it.
    pub id: String,
    /// Kind of fan.
    pub kind: &'static str,
    /// `published`, `field-points`, `invented`.
    pub origin: &'static str,
    /// Whether it is made up for demonstration.
    pub invented: bool,
    /// Where its figures come from.
    #[serde(flatten)]
    pub provenance: ProvenanceJson,
    /// Rated power of the motor, W at the shaft.
    pub motor_power_w: f64,
    /// Speed, revolutions per second.
    pub speed_1_s: f64,
    /// Its table at standard density, most air first.
    pub curve: Vec<FanPointJson>,
}

/// A burner.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct BurnerJson {
    /// Key, as site texts name it.
    pub id: String,
    /// Most heat to the air, W.
    pub capacity_w: f64,
    /// Least steady fire as a fraction of capacity.
    pub minimum_fire: f64,
    /// `propane`, `natural-gas`, `electric`.
    pub fuel: &'static str,
    /// `discharge` or `inlet` side of the fan.
    pub side: &'static str,
    /// `on-off`, `high-low`, `modulating`.
    pub firing: &'static str,
    /// Whether it is made up for demonstration.
    pub invented: bool,
    /// Where its figures come from.
    #[serde(flatten)]
    pub provenance: ProvenanceJson,
}

/// All of them.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct CatalogueJson {
    /// Fans.
    pub fans: Vec<FanJson>,
    /// Burners.
    pub burners: Vec<BurnerJson>,
}

/// Word of a side.
pub fn side_word(side: BurnerSide) -> &'static str {
    match side {
        BurnerSide::Discharge => "discharge",
        BurnerSide::Inlet => "inlet",
    }
}

impl CatalogueJson {
    /// The document of a library's equipment.
    pub fn of(fans: &[Fan], burners: &[Burner]) -> Self {
        Self { fans: fans.iter().map(fan).collect(), burners: burners.iter().map(burner).collect() }
    }
}

fn fan(f: &Fan) -> FanJson {
    FanJson {
        id: f.id.clone(),
        kind: kind_word(f.kind),
        origin: match f.origin {
            Origin::Published => "published",
            Origin::FieldPoints => "field-points",
            Origin::Invented => "invented",
        },
        invented: f.origin == Origin::Invented,
        provenance: ProvenanceJson::of(&f.provenance),
        motor_power_w: f.motor_power,
        speed_1_s: f.speed,
        curve: f
            .curve
            .points()
            .map(|(p, stable)| FanPointJson {
                airflow_m3_s: p.airflow,
                pressure_pa: p.pressure,
                shaft_power_w: p.shaft_power,
                stable,
            })
            .collect(),
    }
}

fn burner(b: &Burner) -> BurnerJson {
    BurnerJson {
        id: b.id.clone(),
        capacity_w: b.capacity,
        minimum_fire: b.minimum_fire,
        fuel: match b.fuel {
            Fuel::Propane => "propane",
            Fuel::NaturalGas => "natural-gas",
            Fuel::Electric => "electric",
        },
        side: side_word(b.side),
        firing: match b.firing {
            Firing::OnOff => "on-off",
            Firing::HighLow => "high-low",
            Firing::Modulating => "modulating",
        },
        invented: b.invented,
        provenance: ProvenanceJson::of(&b.provenance),
    }
}
