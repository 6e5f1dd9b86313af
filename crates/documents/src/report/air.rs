//! Fans against the grain.

/// The air part of a report.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct AirReport {
    /// Where the fans settle, by fill.
    pub points: Vec<OperatingPoint>,
    /// Where the pressure goes, in the order the air meets it.
    pub budget: Vec<BudgetItem>,
    /// For which fill and airflow the budget holds.
    pub budget_at: String,
    /// What the fans can do.
    pub fans: Vec<FanCurve>,
    /// What the grain and the rest ask for, by fill.
    pub systems: Vec<SystemCurve>,
    /// Air density the curves hold for, kg/m³; `NaN` when not stated.
    pub air_density_kg_m3: f64,
}

/// Where the fans settle at one fill.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct OperatingPoint {
    /// Name of the fill: "full", "half".
    pub fill: String,
    /// Grain depth, m.
    pub grain_depth_m: f64,
    /// Air at the fan inlet, m³/s; `NaN` when the fans cannot reach a stable point.
    pub airflow_m3_s: f64,
    /// Static pressure in the plenum, Pa.
    pub static_pressure_pa: f64,
    /// Air per volume of grain as filled, m³/s per m³.
    pub specific_airflow_per_s: f64,
    /// Electric power drawn, W.
    pub power_w: f64,
    /// Anything to say of it: "in the unstable part".
    pub note: String,
}

/// One step of the pressure budget.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct BudgetItem {
    /// What takes the pressure: "grain", "floor".
    pub what: String,
    /// Pressure taken, Pa.
    pub pressure_pa: f64,
    /// How it was found.
    pub note: String,
}

/// What a fan or an arrangement of fans can do.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct FanCurve {
    /// Name on the plot.
    pub label: String,
    /// The part that can be run on: airflow m³/s, static pressure Pa.
    pub stable: Vec<(f64, f64)>,
    /// The part that cannot, drawn hatched; may be empty.
    pub unstable: Vec<(f64, f64)>,
}

/// What a fill asks for.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct SystemCurve {
    /// Name on the plot: "18.0 ft of corn".
    pub label: String,
    /// Airflow m³/s, static pressure Pa.
    pub points: Vec<(f64, f64)>,
}
