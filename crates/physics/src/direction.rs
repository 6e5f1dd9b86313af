//! Resistance to air that passes grain horizontally, as a share of the resistance to air that rises through it.
//!
//! Kernels settle with their long axis level, so air finds its way along them more easily than across. Published for a few
//! crops only; nothing is lent to others.

use notice::{Range, Source, Status};

/// What is published of the share.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HorizontalShare {
    /// Shelled corn: about 58 % above 0.10 m/s, about 45 % at or below.
    Corn,
    /// Wheat and sunflower, named as elongated kernels: 40 to 50 % lower, its middle taken.
    Elongated,
    /// Barley: vertical 115 % above horizontal at one velocity.
    Barley,
}

impl HorizontalShare {
    /// Returns the share at a velocity (m/s).
    pub fn at(self, velocity: f64) -> f64 {
        match self {
            Self::Corn if velocity.abs() > 0.10 => 0.58,
            Self::Corn => 0.45,
            Self::Elongated => 0.55,
            Self::Barley => 1.0 / 2.15,
        }
    }

    /// Returns lowest and highest share of the publication, where it gives a band.
    pub fn band(self) -> Option<Range> {
        (self == Self::Elongated).then_some(Range::new(0.50, 0.60))
    }

    /// Returns the velocities of the data, m/s; `None` where the publication names none.
    pub fn velocity(self) -> Option<Range> {
        match self {
            Self::Corn => Some(Range::new(0.0127, 0.477)),
            Self::Elongated => None,
            // One velocity: a tenth to each side stands for its rounding.
            Self::Barley => Some(Range::new(0.07, 0.085)),
        }
    }

    /// Returns where the share comes from.
    pub fn source(self) -> Source {
        match self {
            Self::Corn => {
                Source::new("Kay, Bern & Hurburgh 1989, shelled corn, three densities (abstract)", Status::Seen)
            }
            Self::Elongated => Source::new(
                "Noyes, quoting Jayas & Muir 1991 and Jayas & Mann 1994: corn, wheat, sunflower",
                Status::Seen,
            ),
            Self::Barley => Source::new("Kumar & Muir 1986, wheat and barley at 0.077 m/s", Status::Memory),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// As printed: corn 58 % above 0.10 m/s and 45 % at or below; barley 115 % more vertically; elongated kernels 40 to 50 %
    /// lower.
    #[test]
    fn published_shares() {
        assert_eq!(HorizontalShare::Corn.at(0.2), 0.58);
        assert_eq!(HorizontalShare::Corn.at(0.10), 0.45);
        assert!((1.0 / HorizontalShare::Barley.at(0.077) - 1.0 - 1.15).abs() < 1e-12);
        let band = HorizontalShare::Elongated.band().expect("a band");
        assert!(band.contains(HorizontalShare::Elongated.at(0.1)) && band == Range::new(0.5, 0.6));
    }
}
