//! What surrounds the grain of a bin while its air is still: wall, headspace and plenum, from the air outside and the sun.
//!
//! Figures are for a round bin of bare steel over a perforated floor, its fan covered. All are means over a day or part of
//! one: grain behind steel swings with the day over a hand's breadth only.

use bed::{Edge, Surroundings};
use physics::sun::{self, Sun};

/// Outer film of wall and roof, wind and radiation together, W/(m² K): 3.0 Btu/(h ft² °F) of the sol-air tables.
pub const OUTER_FILM: f64 = 17.0;
/// Part of the sun that weathered galvanized steel takes up (judgement: between the 0.45 of light and the 0.9 of dark faces
/// in the sol-air tables).
pub const ABSORPTANCE: f64 = 0.65;
/// What a roof loses to the sky beyond what it loses to air, W/m²: 20 Btu/(h ft²) of the sol-air tables; none for a wall.
pub const TO_SKY: f64 = 63.0;
/// Inner film of the roof, and that of the grain's surface, W/(m² K), radiation counted (judgement).
const INNER_FILM: f64 = 6.0;
/// Area of a roof over that of the floor: 30 degrees.
const ROOF: f64 = 1.155;
/// Air that passes eaves and vents by itself, W/(m² K) of floor: about 1.5 changes an hour of 2 m of headspace (judgement).
const VENTING: f64 = 1.0;
/// From the plenum through the floor to the grain, W/(m² K): two films of still air (judgement). The plenum is taken as warm
/// as the air outside; the ground is left out.
const FLOOR: f64 = 3.0;

/// What the sun of a day does to wall and roof: sol-air temperature less that of the air, K.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Rise {
    /// Of the wall, mean of all directions.
    pub wall: f64,
    /// Of the roof, the sky above it counted.
    pub roof: f64,
}

impl Rise {
    /// From the sun of a day.
    pub fn of(sun: &Sun) -> Self {
        Self {
            wall: sun::sol_air_rise(sun.wall, ABSORPTANCE, OUTER_FILM, 0.0),
            roof: sun::sol_air_rise(sun.level, ABSORPTANCE, OUTER_FILM, TO_SKY),
        }
    }
}

/// Temperature of the headspace, °C: between roof, the air that passes, and the grain's surface.
pub fn headspace(outside: f64, rise: &Rise, surface: f64) -> f64 {
    let roof = ROOF * OUTER_FILM * INNER_FILM / (OUTER_FILM + INNER_FILM);
    (roof * (outside + rise.roof) + VENTING * outside + INNER_FILM * surface) / (roof + VENTING + INNER_FILM)
}

/// What lies around the grain, for air of a temperature outside and a headspace.
pub fn around(outside: f64, rise: &Rise, headspace: f64) -> Surroundings {
    Surroundings {
        wall: Edge { temperature: outside + rise.wall, conductance: OUTER_FILM },
        top: Edge { temperature: headspace, conductance: INNER_FILM },
        floor: Edge { temperature: outside, conductance: FLOOR },
    }
}
