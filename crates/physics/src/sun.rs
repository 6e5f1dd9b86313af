//! Sun on a bin, day by day, from what every weather record has: the swing of the air's temperature and the latitude.
//!
//! Records of stations seldom hold radiation, so that of a day is estimated from its swing of temperature. Such estimates
//! are rough for one day and fair over a week or ten days (so the source); grain behind a wall feels no less than that.
//! Shapes: W/m² as means over 24 hours. Leaves out horizon, neighbours, snow on the ground, and where on the wall the sun
//! stands: the wall is taken round the whole bin, while its south side runs warmer.

use notice::{Source, Status};
use std::f64::consts::PI;

/// Solar constant, W/m² (0.0820 MJ/(m² min), as the relation for the top of the atmosphere has it).
const SOLAR_CONSTANT: f64 = 0.0820e6 / 60.0;
/// Days of a year.
const YEAR: f64 = 365.25;
/// Share of the sun that ground without snow throws back (customary, no source).
const GROUND: f64 = 0.2;
/// Steps over half a day in which the height of the sun is followed.
const STEPS: usize = 24;

/// K in radiation = K √(swing) × radiation above the air, inland, 1/√K.
pub const INLAND: f64 = 0.16;
/// The same on a coast.
pub const COAST: f64 = 0.19;

/// Sun of one day.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Sun {
    /// On level ground, W/m².
    pub level: f64,
    /// On an upright wall, mean of all directions, W/m².
    pub wall: f64,
}

/// The relations of this module, what each serves and where it comes from.
pub fn sources() -> [(&'static str, Source); 3] {
    [
        (
            "sun by the swing of temperature",
            Source::new(
                "Hargreaves & Samani, with the radiation above the air, as in FAO Irrigation and Drainage Paper 56 (Allen et \
                 al. 1998)",
                Status::Seen,
            ),
        ),
        ("diffuse part of the sun", Source::new("Liu & Jordan 1960, by the clearness of the day", Status::Seen)),
        ("sol-air temperature of wall and roof", Source::new("ASHRAE Handbook of Fundamentals", Status::Seen)),
    ]
}

/// Sun above the air: on level ground over the day, and how much of its beam meets an upright cylinder for each part that
/// meets level ground. `day` counts from 1 on 1 January.
fn above(latitude: f64, day: f64) -> (f64, f64) {
    let latitude = latitude.to_radians();
    let year = 2.0 * PI * day / YEAR;
    let nearness = 1.0 + 0.033 * year.cos();
    let declination = 0.409 * (year - 1.39).sin();
    let sunset = (-latitude.tan() * declination.tan()).clamp(-1.0, 1.0).acos();
    let (high, swing) = (latitude.sin() * declination.sin(), latitude.cos() * declination.cos());
    let level = SOLAR_CONSTANT / PI * nearness * (sunset * high + swing * sunset.sin());
    // A cylinder stands in the way of a beam with its diameter, and has π diameters of wall.
    let (mut on_wall, mut on_level) = (0.0, 0.0);
    for i in 0..STEPS {
        let height = high + swing * (sunset * (i as f64 + 0.5) / STEPS as f64).cos();
        on_level += height.max(0.0);
        on_wall += (1.0 - height * height).max(0.0).sqrt() / PI;
    }
    (level.max(0.0), if on_level > 0.0 { on_wall / on_level } else { 0.0 })
}

/// Part of the radiation of a day that comes from the whole sky, by its clearness (fitted for 0.3 to 0.7; held beyond).
fn diffuse(clearness: f64) -> f64 {
    let k = clearness.clamp(0.3, 0.7);
    1.39 - 4.027 * k + 5.531 * k * k - 3.108 * k * k * k
}

/// Sun of a day: latitude in degrees (south negative), day of the year from 1, swing of the air's temperature in K, and
/// [`INLAND`] or [`COAST`].
///
/// No more passes than clear air lets through (0.75 of the sun above it, as FAO 56 has it at sea level).
pub fn of_day(latitude: f64, day: f64, swing: f64, coefficient: f64) -> Sun {
    let (above, on_wall) = above(latitude, day);
    if above <= 0.0 {
        return Sun::default();
    }
    let clearness = (coefficient * swing.max(0.0).sqrt()).min(0.75);
    let level = clearness * above;
    let sky = diffuse(clearness) * level;
    // A wall sees half the sky and half the ground.
    let wall = (level - sky) * on_wall + 0.5 * sky + 0.5 * GROUND * level;
    Sun { level, wall }
}

/// Sol-air temperature less that of the air, K: what sun (W/m²) and sky do to a face, for an absorptance, its film
/// W/(m² K), and what it loses to the sky beyond what it loses to air, W/m² (none for a wall, about 63 for a roof).
pub fn sol_air_rise(sun: f64, absorptance: f64, film: f64, to_sky: f64) -> f64 {
    (absorptance * sun - to_sky) / film
}

#[cfg(test)]
mod tests {
    use super::*;

    /// FAO 56, example 8: 3 September (day 246) at 20° S, 32.2 MJ/(m² day) above the air (value from memory).
    #[test]
    fn the_sun_above_the_air() {
        let (level, _) = above(-20.0, 246.0);
        assert!((level * 86_400.0 / 1e6 - 32.2).abs() < 0.1, "{level}");
        // Where the sun does not rise there is none, where it does not set there is.
        assert_eq!(of_day(80.0, 355.0, 9.0, INLAND), Sun::default());
        assert!(of_day(80.0, 172.0, 9.0, INLAND).level > 100.0);
    }

    /// A beam from the horizon all round meets a cylinder only; at the zenith it meets level ground only.
    #[test]
    fn walls_get_more_of_a_low_sun() {
        let share = |latitude: f64, day: f64| above(latitude, day).1;
        assert!(share(40.0, 355.0) > 2.0 * share(40.0, 172.0));
        assert!(share(60.0, 80.0) > share(40.0, 80.0) && share(40.0, 80.0) > share(0.0, 80.0));
        // Equinox on the equator: heights are cos h; ∫ sin h / ∫ cos h over the half day is 1, over π.
        assert!((share(0.0, 81.0) - 1.0 / PI).abs() < 0.01, "{}", share(0.0, 81.0));
        // Both halves of the earth are alike half a year apart.
        assert!((share(40.0, 100.0) - share(-40.0, 100.0 + YEAR / 2.0)).abs() < 0.02);
    }

    #[test]
    fn clear_days_give_more_and_never_more_than_clear_air() {
        let days: Vec<Sun> = [0.0, 4.0, 9.0, 16.0, 25.0].map(|swing| of_day(40.0, 120.0, swing, INLAND)).to_vec();
        assert_eq!(days[0], Sun::default());
        assert!(days.windows(2).all(|d| d[1].level > d[0].level * 0.999 && d[1].wall > d[0].wall * 0.9), "{days:?}");
        assert!(days[4].level <= 0.75 * above(40.0, 120.0).0 + 1e-9);
        assert!(days.iter().skip(1).all(|d| (0.2..1.5).contains(&(d.wall / d.level))), "{days:?}");
    }

    #[test]
    fn a_sunny_wall_is_warmer_than_the_air_and_a_roof_at_night_colder() {
        assert!((sol_air_rise(100.0, 0.68, 17.0, 0.0) - 4.0).abs() < 1e-12);
        assert!(sol_air_rise(0.0, 0.68, 17.0, 63.0) < -3.0);
    }
}
