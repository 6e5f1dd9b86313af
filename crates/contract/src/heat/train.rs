//! The fuel train sheet.

use super::fuel_word;
use advice::heat::train::{AtBurner, Condition, Stock, TankRow, Tanks, Train};
use equipment::fuel_train::{Duty, Element};
use job::clock;
use job::facts::{LinePiece, PipeMaterial, SupplyFacts};
use notice::Quantity;
use serde::Serialize;

/// One element: what is needed and what is there.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct ElementJson {
    /// `supply`, `supply-pressure`, `regulator`, `pipe`, `burner-pressure`, `orifice`.
    pub element: &'static str,
    /// Number of the regulator, or of the regulator ahead of the pipe; 0 for a pipe that begins at a main without one.
    pub number: Option<usize>,
    /// What is needed.
    pub need: Quantity,
    /// What is there.
    pub have: Quantity,
    /// Whether it is enough.
    pub met: bool,
}

impl ElementJson {
    fn of(e: &Element) -> Self {
        let (element, number) = element_word(e.duty);
        let quantity = |v| Quantity::new(v, e.kind);
        Self { element, number, need: quantity(e.need), have: quantity(e.have), met: e.met() }
    }
}

/// Word and number of an element.
pub fn element_word(duty: Duty) -> (&'static str, Option<usize>) {
    match duty {
        Duty::Supply => ("supply", None),
        Duty::SupplyPressure => ("supply-pressure", None),
        Duty::Regulator(number) => ("regulator", Some(number)),
        Duty::Pipe(number) => ("pipe", Some(number)),
        Duty::BurnerPressure => ("burner-pressure", None),
        Duty::Orifice => ("orifice", None),
    }
}

/// A piece of the line at full fire.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct PieceJson {
    /// Outlet of the regulator at its head, Pa gauge; null where the pipe only goes on.
    pub regulator_pa: Option<f64>,
    /// `steel`, `copper`, `polyethylene`.
    pub material: &'static str,
    /// Nominal size in inches.
    pub pipe_in: Option<String>,
    /// Inside diameter, m.
    pub inside_m: f64,
    /// Length with that of the fittings, m.
    pub length_m: f64,
    /// Gauge pressure at its head, Pa.
    pub from_pa: f64,
    /// Gauge pressure at its end, Pa.
    pub to_pa: f64,
}

/// The smallest steel pipe behind a regulator.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct SmallestPipeJson {
    /// Number of the regulator ahead of it.
    pub number: usize,
    /// Nominal size in inches; null when 4 in. are too little or no pressure may be lost.
    pub pipe_in: Option<&'static str>,
}

/// The burners of one bin at the end of the line.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct AtBurnerJson {
    /// Bin.
    pub bin: String,
    /// How many equal burners.
    pub burners: usize,
    /// Full fire of all of them, W on the invoice.
    pub full_w: f64,
    /// Gauge pressure wanted at the orifice, Pa.
    pub pressure_pa: f64,
    /// Diameter of the orifice of one, m.
    pub orifice_m: Option<f64>,
    /// What it passes at that pressure, W on the invoice.
    pub passes_w: Option<f64>,
    /// Diameter that gives one its full fire at that pressure, m.
    pub fitting_orifice_m: f64,
}

/// What the tanks boil in one weather.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct TankRowJson {
    /// `cold-hours`, `coldest-week`, `mean`.
    pub condition: &'static str,
    /// When the coldest week begins.
    pub from: Option<String>,
    /// Outdoor temperature, °C.
    pub outside_c: f64,
    /// Fuel wanted, W on the invoice.
    pub need_w: f64,
    /// What all tanks boil without end at the lowest fill, W on the invoice.
    pub lowest_w: f64,
    /// The same just after a filling.
    pub filled_w: f64,
    /// What the trade's rule gives at the lowest fill.
    pub customary_w: f64,
    /// Tanks like these that the need takes at the lowest fill; null when they boil nothing.
    pub tanks: Option<usize>,
    /// How long the need can be drawn from rest, s; null when it always can.
    pub draw_time_s: Option<f64>,
    /// Whether it is enough.
    pub met: bool,
}

/// How long the liquid lasts.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, utoipa::ToSchema)]
pub struct StockJson {
    /// Liquid between filling and refilling, all tanks, m³.
    pub usable_m3: f64,
    /// Liquid left when they are refilled, m³.
    pub left_m3: f64,
    /// Days that the usable liquid lasts in the coldest week; null where nothing is burnt then.
    pub days_coldest: Option<f64>,
    /// Days that it lasts at the mean use; null likewise.
    pub days_mean: Option<f64>,
    /// Days that what is left lasts in the coldest week; null likewise.
    pub left_days: Option<f64>,
    /// From order to delivery, days.
    pub delivery_days: f64,
    /// Fuel of a season on the mean of the years, m³ of liquid.
    pub season_m3: f64,
    /// Fuel of the season that took most, m³ of liquid.
    pub most_m3: f64,
}

/// Tanks through the season.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct TanksJson {
    /// How many.
    pub count: usize,
    /// Water capacity of one, m³.
    pub capacity_m3: f64,
    /// Outside diameter, m.
    pub diameter_m: f64,
    /// Length, m.
    pub length_m: f64,
    /// Whether both were taken from the capacity.
    pub shape_assumed: bool,
    /// Share at which they are refilled.
    pub lowest_fill: f64,
    /// Share to which they are filled.
    pub filled_to: f64,
    /// Gauge pressure the line needs of them, Pa.
    pub pressure_pa: f64,
    /// Coldest liquid that gives it, °C.
    pub liquid_c: f64,
    /// Rows.
    pub rows: Vec<TankRowJson>,
    /// How long the liquid lasts.
    pub stock: StockJson,
    /// Heat a vaporizer needs for full fire in the cold hours, with its margin, W.
    pub vaporizer_w: f64,
}

/// The fuel train of a site.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct TrainJson {
    /// `propane`, `natural-gas`.
    pub fuel: &'static str,
    /// `vapor`, `liquid`, `main`.
    pub feed: &'static str,
    /// Outdoor temperature of the sheet, °C.
    pub cold_c: f64,
    /// Share of the hours between first load and goal that are no colder.
    pub share: f64,
    /// Full fire of all burners, W on the invoice.
    pub full_w: f64,
    /// The fire that the train sustains, W on the invoice.
    pub sustained_w: f64,
    /// Elements from the supply to the orifice.
    pub elements: Vec<ElementJson>,
    /// Pieces of the line at full fire.
    pub pieces: Vec<PieceJson>,
    /// The smallest steel pipes that would do.
    pub smallest: Vec<SmallestPipeJson>,
    /// Burners at its end.
    pub burners: Vec<AtBurnerJson>,
    /// Tanks, where there are any.
    pub tanks: Option<TanksJson>,
    /// Share of its rating that the rule of the gas codes leaves an appliance at this elevation.
    pub altitude_share: f64,
}

impl TrainJson {
    /// The train, instants with the offset (s) of the place.
    pub fn of(train: &Train, offset: i32) -> Self {
        let pieces = train.facts.line.iter().zip(&train.pressures);
        Self {
            fuel: fuel_word(train.facts.fuel),
            feed: match train.facts.supply {
                SupplyFacts::Vapor(_) => "vapor",
                SupplyFacts::Liquid(..) => "liquid",
                SupplyFacts::Main(_) => "main",
            },
            cold_c: train.cold,
            share: train.share,
            full_w: train.full,
            sustained_w: train.sustained,
            elements: train.elements.iter().map(ElementJson::of).collect(),
            pieces: pieces.map(|(piece, pressures)| of_piece(piece, *pressures)).collect(),
            smallest: train.smallest.iter().map(|&(number, pipe_in)| SmallestPipeJson { number, pipe_in }).collect(),
            burners: train.burners.iter().map(at_burner).collect(),
            tanks: train.tanks.as_ref().map(|tanks| of_tanks(tanks, offset)),
            altitude_share: train.altitude,
        }
    }
}

fn of_piece(piece: &LinePiece, (from_pa, to_pa): (f64, f64)) -> PieceJson {
    PieceJson {
        regulator_pa: piece.regulator,
        material: material_word(piece.material),
        pipe_in: piece.nominal.clone(),
        inside_m: piece.inside,
        length_m: piece.length,
        from_pa,
        to_pa,
    }
}

/// Word of a material.
pub fn material_word(material: PipeMaterial) -> &'static str {
    match material {
        PipeMaterial::Steel => "steel",
        PipeMaterial::Copper => "copper",
        PipeMaterial::Polyethylene => "polyethylene",
    }
}

fn at_burner(b: &AtBurner) -> AtBurnerJson {
    AtBurnerJson {
        bin: b.bin.clone(),
        burners: b.burners,
        full_w: b.full,
        pressure_pa: b.pressure,
        orifice_m: b.orifice,
        passes_w: b.passes,
        fitting_orifice_m: b.fitting,
    }
}

fn of_tanks(tanks: &Tanks, offset: i32) -> TanksJson {
    let facts = &tanks.facts;
    TanksJson {
        count: facts.count,
        capacity_m3: facts.capacity,
        diameter_m: facts.diameter,
        length_m: facts.length,
        shape_assumed: facts.shape_assumed,
        lowest_fill: facts.lowest_fill,
        filled_to: facts.filled_to,
        pressure_pa: tanks.pressure,
        liquid_c: tanks.liquid,
        rows: tanks.rows.iter().map(|row| tank_row(row, offset)).collect(),
        stock: stock(&tanks.stock, facts.delivery),
        vaporizer_w: tanks.vaporizer,
    }
}

fn tank_row(row: &TankRow, offset: i32) -> TankRowJson {
    let (condition, from) = match row.condition {
        Condition::ColdHours => ("cold-hours", None),
        Condition::ColdestWeek(hour) => ("coldest-week", Some(clock::instant(hour, offset))),
        Condition::Mean => ("mean", None),
    };
    TankRowJson {
        condition,
        from,
        outside_c: row.air,
        need_w: row.need,
        lowest_w: row.lowest,
        filled_w: row.filled,
        customary_w: row.customary,
        tanks: row.tanks,
        draw_time_s: row.draw_time.is_finite().then_some(row.draw_time),
        met: row.met(),
    }
}

fn stock(s: &Stock, delivery: f64) -> StockJson {
    StockJson {
        usable_m3: s.usable,
        left_m3: s.left,
        days_coldest: s.days_coldest,
        days_mean: s.days_mean,
        left_days: s.left_days,
        delivery_days: delivery / 86_400.0,
        season_m3: s.season,
        most_m3: s.most,
    }
}
