//! What a propane tank can boil off in the open air: wetted area against fill, outdoor temperature, draw time.
//!
//! Heat comes through the wall that liquid wets; the vapour drawn takes it away; the liquid cools until the two agree or its
//! pressure no longer feeds the line. Leaves out sun, wind, rain, frost (which lowers the figure) and buried tanks.
//!
//! # Caution
//! Tanks, their place, filling and relief belong to the supplier, a licensed fitter and the local code.

use crate::propane;
use notice::Range;
use numerics::root::brent;
use std::f64::consts::PI;

/// Heat through the wetted wall in air, W/(m² K): 3.35 Btu/(h ft² °F).
///
/// # Source
/// Worked back from the trade's table of tank factors, which it meets within 2.7 % from 10 to 60 % full (computed).
pub const WALL: f64 = 3.35 * 5.678263341113487;
/// Temperature the trade's table lets the liquid fall to, °C: −20 °F, 10.7 psi gauge at the sea.
pub const CUSTOMARY_LIQUID: f64 = -28.888_888_888_888_89;
/// Fills over which the trade's table goes.
pub const FILL: Range = Range::new(0.10, 0.60);
/// Specific heat of liquid propane near winter temperatures, J/(kg K) (computed).
const LIQUID_SPECIFIC_HEAT: f64 = 0.58 * 4186.8;

/// Fill at which a tank counts as empty (judgement: gauges read no lower with meaning).
pub const EMPTY: f64 = 0.05;
/// Steps of the mass in [`Tank::draw`]; twice as many move the time by less than 0.1 %.
const DRAW_STEPS: usize = 2000;

/// How long a tank gives what is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Draw {
    /// s.
    pub time: f64,
    /// What ends it.
    pub end: DrawEnd,
}

/// What ends a draw from a tank.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DrawEnd {
    /// The liquid is too cold for the pressure that the line needs.
    Cold,
    /// The tank is empty.
    Empty,
}

/// A horizontal round tank, by its outside.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tank {
    /// Diameter, m.
    pub diameter: f64,
    /// Length, m.
    pub length: f64,
}

impl Tank {
    /// The volume of the cylinder, m³; rounded ends hold a little less.
    pub fn volume(&self) -> f64 {
        0.25 * PI * self.diameter * self.diameter * self.length
    }

    /// Returns the wall that liquid wets at a fill (share of the volume), m²: the shell; the ends are left as a margin.
    ///
    /// The wetted angle θ solves (θ − sin θ)/2π = fill; area = θ/2 · D · L.
    pub fn wetted_area(&self, fill: f64) -> f64 {
        wetted_angle(fill) / 2.0 * self.diameter * self.length
    }

    /// Returns the vapour that can be drawn without end, kg/s.
    ///
    /// ṁ = U A_wet (T_air − T_liquid)/h_fg(T_liquid)
    ///
    /// | symbol | argument | unit |
    /// |--------|----------|------|
    /// | A_wet | from `fill`, share of the volume | 1 |
    /// | T_air | `air` | °C |
    /// | T_liquid | `liquid`: coldest the line can use, [`liquid_at_least`] | °C |
    ///
    /// # Validity
    /// Steady draw, still air, no frost; fills of [`FILL`]. None when the air is no warmer than that liquid.
    ///
    /// # Source
    /// Heat balance with [`WALL`]; meets the trade's table (generator maker's appendix, seen) within 2.7 %.
    ///
    /// ```
    /// // 40 × 190 in., half full, 0 °F: the trade's rule gives 684,000 Btu/h.
    /// use physics::{combustion::PROPANE, propane_tank::*};
    /// let tank = Tank { diameter: 40.0 * 0.0254, length: 190.0 * 0.0254 };
    /// let heat = tank.vapour(0.5, -17.778, CUSTOMARY_LIQUID) * PROPANE.higher_heating_value;
    /// assert!((heat / 0.293071 / 684_000.0 - 1.0).abs() < 0.025);
    /// ```
    pub fn vapour(&self, fill: f64, air: f64, liquid: f64) -> f64 {
        WALL * self.wetted_area(fill) * (air - liquid).max(0.0) / propane::latent_heat(liquid)
    }

    /// Returns how long a draw (kg/s) can go on from liquid as warm as the air, until that is down to `liquid` (°C) or the tank
    /// to [`EMPTY`].
    ///
    /// m c dT/dt = U A_wet(m) (T_air − T) − ṁ h_fg(T), dm/dt = −ṁ: the level falls with what is drawn, and with it the wall
    /// that warms the liquid and the mass that keeps its heat. Taken in equal steps of the mass; within one the wall, the mass
    /// and the latent heat stand at its end (the smaller wall: the safe side) and the temperature follows its exponential.
    pub fn draw(&self, fill: f64, air: f64, liquid: f64, draw: f64) -> Draw {
        let full = self.volume() * propane::liquid_density(air);
        if fill <= EMPTY {
            return Draw { time: 0.0, end: DrawEnd::Empty };
        }
        if air <= liquid {
            return Draw { time: 0.0, end: DrawEnd::Cold };
        }
        let step = (fill - EMPTY) / DRAW_STEPS as f64;
        let span = step * full / draw;
        let mut temperature = air;
        for i in 0..DRAW_STEPS {
            let left = fill - step * (i + 1) as f64;
            let wall = WALL * self.wetted_area(left);
            let constant = left * full * LIQUID_SPECIFIC_HEAT / wall;
            let towards = air - draw * propane::latent_heat(temperature) / wall;
            let next = towards + (temperature - towards) * (-span / constant).exp();
            if next <= liquid {
                let within = constant * ((temperature - towards) / (liquid - towards)).ln();
                return Draw { time: span * i as f64 + within, end: DrawEnd::Cold };
            }
            temperature = next;
        }
        Draw { time: span * DRAW_STEPS as f64, end: DrawEnd::Empty }
    }
}

/// The angle at the axis under which the wetted arc is seen, radians.
fn wetted_angle(fill: f64) -> f64 {
    let fill = fill.clamp(0.0, 1.0);
    brent(|theta| (theta - theta.sin()) / (2.0 * PI) - fill, 0.0, 2.0 * PI, 1e-12).unwrap_or(PI)
}

/// Returns the coldest liquid (°C) that still gives a gauge pressure (Pa) at a barometric pressure (Pa).
pub fn liquid_at_least(gauge: f64, barometric: f64) -> f64 {
    propane::boiling_temperature(gauge + barometric)
}

/// The trade's rule: share of the volume, Btu/h of fuel per in² of diameter × length at 0 °F.
///
/// # Source
/// Generator maker's fuel appendix 2011 and a trade manual (seen).
pub const CUSTOMARY_FACTORS: [(f64, f64); 6] =
    [(0.10, 45.0), (0.20, 60.0), (0.30, 70.0), (0.40, 80.0), (0.50, 90.0), (0.60, 100.0)];

/// Returns what the trade's rule gives for a tank, W of fuel (higher heating value): D L K (T + 20 °F)/20 °F.
///
/// Between the rows of [`CUSTOMARY_FACTORS`] straight lines, outside [`FILL`] the ends held; none below −20 °F.
///
/// # Source
/// As the factors; the line in temperature from memory, met by one published case (seen).
pub fn customary_heat(tank: &Tank, fill: f64, air: f64) -> f64 {
    let table = &CUSTOMARY_FACTORS;
    let (first, last) = (table[0], table[table.len() - 1]);
    let factor = if fill <= first.0 {
        first.1
    } else {
        table
            .windows(2)
            .find(|w| fill <= w[1].0)
            .map_or(last.1, |w| w[0].1 + (w[1].1 - w[0].1) * (fill - w[0].0) / (w[1].0 - w[0].0))
    };
    let inches = tank.diameter * tank.length / (0.0254 * 0.0254);
    let fahrenheit = air * 1.8 + 32.0;
    inches * factor * ((fahrenheit + 20.0) / 20.0).max(0.0) * 1055.05585262 / 3600.0
}

/// Returns how many equal tanks side by side cover a draw; nothing when one gives none.
pub fn tanks_for(draw: f64, one: f64) -> Option<usize> {
    (one > 0.0).then(|| (draw / one - 1e-9).ceil().max(1.0) as usize)
}

/// Returns the share of its volume a tank may be filled to: filling density over (specific gravity × volume correction).
///
/// # Source
/// 29 CFR 1910.110, example (seen): 42 % by weight, 0.510, 1.031 give 79.8 gal in a 100 gal tank.
pub fn permitted_fill(filling_density: f64, specific_gravity: f64, volume_correction: f64) -> f64 {
    filling_density / (specific_gravity * volume_correction)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const TANK: Tank = Tank { diameter: 1.0, length: 5.0 };

    proptest! {
        #[test]
        fn a_fuller_tank_in_warmer_air_gives_more(fill in 0.05..0.75f64, air in -25.0..25.0f64) {
            let at = |f: f64, t: f64| TANK.vapour(f, t, CUSTOMARY_LIQUID);
            prop_assert!(at(fill + 0.01, air) > at(fill, air));
            prop_assert!(at(fill, air + 1.0) > at(fill, air));
            // A line that needs more pressure gets less vapour.
            prop_assert!(TANK.vapour(fill, air, CUSTOMARY_LIQUID + 5.0) < at(fill, air));
        }

        #[test]
        fn harder_draws_end_sooner(fill in 0.1..0.8f64, air in -20.0..20.0f64, over in 1.05..4.0f64) {
            let steady = TANK.vapour(fill, air, CUSTOMARY_LIQUID);
            let time = |draw: f64| TANK.draw(fill, air, CUSTOMARY_LIQUID, draw).time;
            prop_assert!(time(over * steady).is_finite());
            prop_assert!(time(1.01 * over * steady) < time(over * steady));
        }
    }

    #[test]
    fn the_arc_of_a_half_full_tank_is_half() {
        assert!((TANK.wetted_area(0.5) - 0.5 * PI * 5.0).abs() < 1e-9);
        assert!((TANK.wetted_area(1.0) - PI * 5.0).abs() < 1e-9);
        assert_eq!(TANK.wetted_area(0.0), 0.0);
    }

    #[test]
    fn no_vapour_in_colder_air_than_the_liquid() {
        assert_eq!(TANK.vapour(0.5, -30.0, CUSTOMARY_LIQUID), 0.0);
        assert_eq!(TANK.draw(0.5, -30.0, CUSTOMARY_LIQUID, 0.01), Draw { time: 0.0, end: DrawEnd::Cold });
        assert_eq!(tanks_for(0.01, 0.0), None);
        assert_eq!(tanks_for(0.02, 0.01), Some(2));
        assert_eq!(customary_heat(&TANK, 0.5, -40.0), 0.0);
    }

    /// What the wall covers at the start it does not cover when the level is down: no draw goes on without end, and none
    /// longer than with the level and the mass held, which was once the answer.
    #[test]
    fn a_falling_level_ends_the_draw_sooner() {
        let (fill, air, liquid) = (0.5, -17.778, CUSTOMARY_LIQUID);
        let steady = TANK.vapour(fill, air, liquid);
        let covered = TANK.draw(fill, air, liquid, 0.99 * steady);
        assert!(covered.time.is_finite() && covered.end == DrawEnd::Cold, "{covered:?}");
        for over in [1.2, 1.5, 2.0, 4.0] {
            let draw = over * steady;
            let wall = WALL * TANK.wetted_area(fill);
            let end = air - draw * propane::latent_heat(liquid) / wall;
            let mass = fill * TANK.volume() * propane::liquid_density(air);
            let held = mass * LIQUID_SPECIFIC_HEAT / wall * ((air - end) / (liquid - end)).ln();
            let time = TANK.draw(fill, air, liquid, draw).time;
            assert!(time < held && time > 0.5 * held, "{over}: {time} s, {held} s with the level held");
        }
        // A small draw in mild air empties the tank before it cools it: what it holds over what is drawn.
        let small = TANK.draw(fill, 15.0, liquid, 0.05 * steady);
        let holds = (fill - EMPTY) * TANK.volume() * propane::liquid_density(15.0) / (0.05 * steady);
        assert!(small.end == DrawEnd::Empty && (small.time / holds - 1.0).abs() < 1e-9, "{small:?}");
    }

    #[test]
    fn filling_follows_the_rule_of_the_example() {
        assert!((100.0 * permitted_fill(0.42, 0.510, 1.031) - 79.8).abs() < 0.2);
    }
}
