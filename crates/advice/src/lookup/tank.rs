//! What a propane tank can boil off in the open air, and for how long more can be drawn.

use super::{Answer, Evidence, Faults, gas, part, refuse};
use notice::{Diagnostic, Diagnostics, Kind, Phrase, Quantity, Range, Remark, Remarks, Source, Status};
use physics::combustion::PROPANE;
use physics::propane;
use physics::propane_tank::{self, CUSTOMARY_LIQUID, DrawEnd, FILL, Tank};

/// Diameters of tanks, m.
const DIAMETERS: Range = Range::new(0.2, 4.5);
/// Lengths of tanks, m.
const LENGTHS: Range = Range::new(0.3, 30.0);
/// Fills that a gauge can show of a tank in use; below, it is empty.
const FILLS: Range = Range::new(propane_tank::EMPTY, 0.95);
/// Gauge pressures that a line may need, Pa.
const PRESSURES: Range = Range::new(0.0, 1e6);
/// Outdoor temperatures, °C.
const OUTDOORS: Range = Range::new(-60.0, 60.0);
/// Share that a tank is usually filled to (42 % by weight, 29 CFR 1910.110).
const USUAL_MOST: f64 = 0.80;

/// The question.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Question {
    /// Outside diameter, m.
    pub diameter: f64,
    /// Length, m.
    pub length: f64,
    /// Share of the volume filled.
    pub fill: f64,
    /// Outdoor temperature, °C.
    pub air: f64,
    /// Gauge pressure the line needs, Pa; left out, that of the trade's table (liquid down to −20 °F).
    pub pressure: Option<f64>,
    /// Heat wanted of it, on the invoice, W.
    pub heat: Option<f64>,
    /// Height above the sea, m.
    pub elevation: Option<f64>,
}

/// The answer.
#[derive(Debug, Clone, PartialEq)]
pub struct TankAnswer {
    /// Volume of the cylinder, m³.
    pub volume: f64,
    /// Wall wetted by liquid, m².
    pub wetted_area: f64,
    /// Coldest liquid that still gives the pressure, °C.
    pub liquid: f64,
    /// Gauge pressure the line needs, Pa.
    pub pressure: f64,
    /// Gauge pressure of the resting tank, Pa.
    pub resting_pressure: f64,
    /// Vapour without end, kg/s.
    pub vapour: f64,
    /// Its heat on the invoice, W.
    pub heat: f64,
    /// What the trade's rule says, W.
    pub customary_heat: f64,
    /// What is wanted, and what that takes.
    pub wanted: Option<Wanted>,
    /// Where the relation comes from.
    pub source: Source,
    /// Whether the question lies inside its evidence.
    pub in_range: bool,
}

/// What a wanted heat takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wanted {
    /// Heat on the invoice, W.
    pub heat: f64,
    /// Equal tanks side by side; none when one gives no vapour.
    pub tanks: Option<usize>,
    /// How long one tank alone gives it, s: its level and its pressure fall as it gives.
    pub draw_time: f64,
    /// What ends it.
    pub end: DrawEnd,
    /// Duty of a vaporiser instead, with its margin, W.
    pub vaporiser: f64,
}

impl Question {
    /// What is impossible about it.
    pub fn faults(&self) -> Diagnostics {
        let mut faults = Faults::default();
        gas::above_zero(&mut faults, "diameter", self.diameter, Kind::Length, DIAMETERS);
        gas::above_zero(&mut faults, "length", self.length, Kind::Length, LENGTHS);
        if self.length < self.diameter && LENGTHS.contains(self.length) && DIAMETERS.contains(self.diameter) {
            faults.0.add(
                Diagnostic::error("impossible", "a tank wider than it is long", part("length"))
                    .allowed("must be at least the diameter: the relation is that of a round tank lying on its side")
                    .help("are diameter and length exchanged?"),
            );
        }
        gas::above_zero(&mut faults, "fill", self.fill, Kind::Fraction, FILLS);
        faults.outside("air", self.air, Kind::Temperature, OUTDOORS);
        if let Some(pressure) = self.pressure {
            faults.outside("pressure", pressure, Kind::GasPressure, PRESSURES);
        }
        if let Some(heat) = self.heat {
            gas::above_zero(&mut faults, "heat", heat, Kind::HeatRate, gas::HEATS);
        }
        gas::elevation(&mut faults, self.elevation);
        faults.0
    }

    /// Answers it.
    ///
    /// # Errors
    /// What is impossible about the question.
    pub fn answer(&self) -> Result<Answer<TankAnswer>, Diagnostics> {
        refuse(self.faults())?;
        let barometric = gas::barometric(self.elevation);
        let tank = Tank { diameter: self.diameter, length: self.length };
        let liquid = self.pressure.map_or(CUSTOMARY_LIQUID, |p| propane_tank::liquid_at_least(p, barometric));
        let pressure = propane::saturation_pressure(liquid) - barometric;
        let vapour = tank.vapour(self.fill, self.air, liquid);
        let source = Source::new(
            "heat through the wetted wall at 3.35 Btu/(h ft² °F), worked back from the trade's tank table (seen), met within 2.7 %",
            Status::Computed,
        );
        let mut remarks = Remarks::default();
        let evidence = Evidence { relation: "the tank table", range: FILL, source: &source };
        let filled = evidence.holds(&mut remarks, "fill", self.fill, Kind::Fraction);
        let range = propane::TEMPERATURE;
        let evidence = Evidence { relation: "the vapour pressure", range, source: &source };
        let warm = evidence.holds(&mut remarks, "air", self.air, Kind::Temperature);
        let wanted = self.heat.map(|heat| {
            let draw = heat / PROPANE.higher_heating_value;
            let drawn = tank.draw(self.fill, self.air, liquid, draw);
            // Vapour at 60 °F under 20 psi: the coil of a burner or a separate vaporiser.
            let per_kilogram = propane::vaporiser_heat(self.air, 15.556, 20.0 * 6_894.757 + barometric);
            Wanted {
                heat,
                tanks: propane_tank::tanks_for(draw, vapour),
                draw_time: drawn.time,
                end: drawn.end,
                vaporiser: propane::VAPORISER_MARGIN * draw * per_kilogram,
            }
        });
        self.remark(&mut remarks, vapour, pressure);
        if wanted.is_some() {
            remark_wanted(&mut remarks);
        }
        gas::caution(&mut remarks);
        let result = TankAnswer {
            volume: tank.volume(),
            wetted_area: tank.wetted_area(self.fill),
            liquid,
            pressure,
            resting_pressure: propane::saturation_pressure(self.air) - barometric,
            vapour,
            heat: vapour * PROPANE.higher_heating_value,
            customary_heat: propane_tank::customary_heat(&tank, self.fill, self.air),
            wanted,
            source,
            in_range: filled && warm,
        };
        Ok(Answer { result, remarks })
    }

    fn remark(&self, remarks: &mut Remarks, vapour: f64, pressure: f64) {
        if vapour <= 0.0 {
            let says = Phrase::new(
                "in air of {air} the liquid is no warmer than {pressure} asks: the tank gives nothing for long, the burner would \
                 starve; draw liquid and vaporise it",
            )
            .with("air", Quantity::new(self.air, Kind::Temperature))
            .with("pressure", Quantity::new(pressure, Kind::GasPressure));
            remarks.add(Remark::new("tank-gives-nothing", says));
        }
        if self.pressure.is_some() && pressure > propane::saturation_pressure(CUSTOMARY_LIQUID) - 101_325.0 + 1.0 {
            let says = Phrase::new(
                "the trade's rule lets the liquid fall to {liquid}; this line needs more pressure, so the rule reads high here",
            )
            .with("liquid", Quantity::new(CUSTOMARY_LIQUID, Kind::Temperature));
            remarks.add(Remark::new("rule-reads-high", says));
        }
        if self.fill > USUAL_MOST {
            let says = Phrase::new("tanks are filled to about {most}: the rest is room for the liquid to expand")
                .with("most", Quantity::new(USUAL_MOST, Kind::Fraction));
            let source = Source::new("29 CFR 1910.110", Status::Seen);
            remarks.add(Remark::new("overfilled", says).from_source(source));
        }
        let says = Phrase::new(
            "frost and still damp air lower these figures, sun and wind raise them; never warm a tank with a flame",
        );
        remarks.add(Remark::new("frost", says));
    }
}

/// What the figures on a wanted heat rest on.
fn remark_wanted(remarks: &mut Remarks) {
    let says = Phrase::new(
        "the number of tanks is that at this fill: as the level falls each gives less, so count it at the lowest fill before the next \
         delivery",
    );
    remarks.add(Remark::new("tanks-at-this-fill", says));
    let says = Phrase::new("the vaporiser is sized for {margin} of the load")
        .with("margin", Quantity::new(propane::VAPORISER_MARGIN, Kind::Fraction));
    let source = Source::new("US MIL-HDBK-1022A, 10.2.5.5", Status::Seen);
    remarks.add(Remark::new("vaporiser-margin", says).from_source(source));
}
