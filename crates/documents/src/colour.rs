//! Colours: the few of the sheet, and scales that are even to the eye.
//!
//! Every scale falls steadily in OKLab lightness from one end to the other, so that it reads the same in print without
//! colour and to a reader who cannot tell hues apart; hue only helps those who can.
//!
//! # Source
//! OKLab: B. Ottosson, "A perceptual color space for image processing" (2020). Contrast ratio: W3C, Web Content
//! Accessibility Guidelines 2.2, "relative luminance" and "contrast ratio".

/// A colour in sRGB, 8 bits a channel.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Rgb(pub u8, pub u8, pub u8);

/// Lines and text.
pub const INK: Rgb = Rgb(0x16, 0x20, 0x2b);
/// Lesser text; still 4.5:1 on paper.
pub const SOFT: Rgb = Rgb(0x51, 0x5d, 0x69);
/// Grid lines.
pub const GRID: Rgb = Rgb(0xd9, 0xdf, 0xe4);
/// Paper.
pub const PAPER: Rgb = Rgb(0xff, 0xff, 0xff);
/// A first line beside ink.
pub const BLUE: Rgb = Rgb(0x0f, 0x5c, 0x8c);
/// A second line beside ink.
pub const RUST: Rgb = Rgb(0xa8, 0x42, 0x12);

impl Rgb {
    /// As "#rrggbb".
    pub fn hex(self) -> String {
        format!("#{:02x}{:02x}{:02x}", self.0, self.1, self.2)
    }

    /// Relative luminance, 0 (black) to 1 (white).
    pub fn luminance(self) -> f64 {
        let linear = |c: u8| to_linear(f64::from(c) / 255.0);
        0.2126 * linear(self.0) + 0.7152 * linear(self.1) + 0.0722 * linear(self.2)
    }

    /// Contrast ratio with another colour, 1 to 21.
    pub fn contrast(self, other: Self) -> f64 {
        let (a, b) = (self.luminance(), other.luminance());
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    /// Black or white, whichever reads better on this colour (never below 4.5:1).
    pub fn text_on(self) -> Self {
        let (black, white) = (Self(0, 0, 0), Self(255, 255, 255));
        if self.contrast(black) >= self.contrast(white) { black } else { white }
    }
}

/// Which run of hues a scale takes; lightness runs alike in all.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hues {
    /// Straw to deep water blue: moisture.
    StrawToWater,
    /// Pale sky to ember: temperature.
    SkyToEmber,
    /// Chalk to plum: storage life used.
    ChalkToPlum,
}

/// Lightness at the low and the high end of every scale.
const LIGHTNESS: (f64, f64) = (0.95, 0.30);
/// Steps of a scale: more than a print resolves.
const STEPS: usize = 256;

/// A sequential scale, from light (low) to dark (high).
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Scale {
    steps: Vec<Rgb>,
}

impl Scale {
    /// The scale of a run of hues.
    pub fn new(hues: Hues) -> Self {
        let steps = (0..STEPS).map(|i| colour_at(hues, i as f64 / (STEPS - 1) as f64)).collect();
        Self { steps }
    }

    /// The colour of a share, 0 to 1; shares outside take the end colours, `NaN` none.
    pub fn at(&self, share: f64) -> Option<Rgb> {
        if share.is_nan() {
            return None;
        }
        let index = (share.clamp(0.0, 1.0) * (STEPS - 1) as f64).round() as usize;
        self.steps.get(index).copied()
    }

    /// All steps, low to high.
    pub fn steps(&self) -> &[Rgb] {
        &self.steps
    }
}

/// Hue in degrees and chroma along each scale, interpolated between equally spaced stations.
fn stations(hues: Hues) -> &'static [(f64, f64)] {
    match hues {
        Hues::StrawToWater => &[(95.0, 0.065), (120.0, 0.095), (185.0, 0.085), (235.0, 0.095), (262.0, 0.10)],
        Hues::SkyToEmber => &[(225.0, 0.030), (90.0, 0.075), (65.0, 0.125), (42.0, 0.140), (25.0, 0.105)],
        Hues::ChalkToPlum => &[(80.0, 0.025), (20.0, 0.075), (355.0, 0.120), (330.0, 0.130), (310.0, 0.110)],
    }
}

fn colour_at(hues: Hues, share: f64) -> Rgb {
    let stations = stations(hues);
    let place = share * (stations.len() - 1) as f64;
    let left = (place.floor() as usize).min(stations.len() - 2);
    let part = place - left as f64;
    // Between stations the way runs straight through the a-b plane, so that hue never swings past a third colour.
    let flat = |(hue, chroma): (f64, f64)| (chroma * hue.to_radians().cos(), chroma * hue.to_radians().sin());
    let ((a0, b0), (a1, b1)) = (flat(stations[left]), flat(stations[left + 1]));
    let lightness = LIGHTNESS.0 + (LIGHTNESS.1 - LIGHTNESS.0) * share;
    in_gamut(lightness, a0 + (a1 - a0) * part, b0 + (b1 - b0) * part)
}

/// The colour of that lightness and hue with as much of the chroma as a screen can show.
fn in_gamut(lightness: f64, a: f64, b: f64) -> Rgb {
    let (mut low, mut high) = (0.0, 1.0);
    let shown = |share: f64| oklab_to_linear(lightness, a * share, b * share);
    let fits = |rgb: [f64; 3]| rgb.iter().all(|c| (-1e-6..=1.0 + 1e-6).contains(c));
    if !fits(shown(1.0)) {
        for _ in 0..30 {
            let middle = 0.5 * (low + high);
            if fits(shown(middle)) { low = middle } else { high = middle }
        }
    } else {
        low = 1.0;
    }
    let [red, green, blue] = shown(low).map(|c| (from_linear(c.clamp(0.0, 1.0)) * 255.0).round() as u8);
    Rgb(red, green, blue)
}

/// OKLab to linear sRGB, by the matrices of the source.
fn oklab_to_linear(lightness: f64, a: f64, b: f64) -> [f64; 3] {
    let long = (lightness + 0.3963377774 * a + 0.2158037573 * b).powi(3);
    let middle = (lightness - 0.1055613458 * a - 0.0638541728 * b).powi(3);
    let short = (lightness - 0.0894841775 * a - 1.2914855480 * b).powi(3);
    [
        4.0767416621 * long - 3.3077115913 * middle + 0.2309699292 * short,
        -1.2684380046 * long + 2.6097574011 * middle - 0.3413193965 * short,
        -0.0041960863 * long - 0.7034186147 * middle + 1.7076147010 * short,
    ]
}

fn to_linear(c: f64) -> f64 {
    if c <= 0.04045 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) }
}

fn from_linear(c: f64) -> f64 {
    if c <= 0.0031308 { 12.92 * c } else { 1.055 * c.powf(1.0 / 2.4) - 0.055 }
}

#[cfg(test)]
mod tests {
    use super::*;

    const ALL: [Hues; 3] = [Hues::StrawToWater, Hues::SkyToEmber, Hues::ChalkToPlum];

    /// OKLab lightness of an sRGB colour, by the forward matrices of the source (not the inverse used above).
    fn lightness(rgb: Rgb) -> f64 {
        let [r, g, b] = [rgb.0, rgb.1, rgb.2].map(|c| to_linear(f64::from(c) / 255.0));
        let long = (0.4122214708 * r + 0.5363325363 * g + 0.0514459929 * b).cbrt();
        let middle = (0.2119034982 * r + 0.6806995451 * g + 0.1073969566 * b).cbrt();
        let short = (0.0883024619 * r + 0.2817188376 * g + 0.6299787005 * b).cbrt();
        0.2104542553 * long + 0.7936177850 * middle - 0.0040720468 * short
    }

    #[test]
    fn lightness_falls_evenly_along_every_scale() {
        for hues in ALL {
            let scale = Scale::new(hues);
            let light: Vec<f64> = scale.steps().iter().map(|c| lightness(*c)).collect();
            assert!((light[0] - LIGHTNESS.0).abs() < 4e-3 && (light[STEPS - 1] - LIGHTNESS.1).abs() < 4e-3, "{hues:?}");
            // Sixteen steps at a time, so that rounding to 8 bits does not count: each fall within 10 % of an even one.
            let even = (LIGHTNESS.0 - LIGHTNESS.1) * 15.0 / (STEPS - 1) as f64;
            for pair in light.iter().step_by(15).collect::<Vec<_>>().windows(2) {
                let fall = pair[0] - pair[1];
                assert!((fall / even - 1.0).abs() < 0.1, "{hues:?}: {fall} against {even}");
            }
        }
    }

    /// Every third step, since rounding to 8 bits can lift a single one by one part of 255.
    #[test]
    fn luminance_falls_all_along_every_scale() {
        for hues in ALL {
            let luminance: Vec<f64> = Scale::new(hues).steps().iter().step_by(3).map(|c| c.luminance()).collect();
            assert!(luminance.windows(2).all(|pair| pair[0] > pair[1]), "{hues:?}");
        }
    }

    #[test]
    fn text_reads_on_every_step_and_on_paper() {
        for hues in ALL {
            for step in Scale::new(hues).steps() {
                assert!(step.contrast(step.text_on()) >= 4.5, "{step:?}");
            }
        }
        for colour in [INK, SOFT, BLUE, RUST] {
            assert!(colour.contrast(PAPER) >= 4.5, "{colour:?}");
        }
    }

    #[test]
    fn contrast_of_black_and_white_is_twenty_one() {
        assert!((Rgb(0, 0, 0).contrast(Rgb(255, 255, 255)) - 21.0).abs() < 1e-9);
        // W3C's own example of the lightest grey that passes on white.
        assert!(Rgb(0x76, 0x76, 0x76).contrast(PAPER) >= 4.5 && Rgb(0x78, 0x78, 0x78).contrast(PAPER) < 4.5);
    }

    #[test]
    fn outside_shares_take_the_ends_and_nothing_has_no_colour() {
        let scale = Scale::new(Hues::StrawToWater);
        assert_eq!(scale.at(-3.0), scale.at(0.0));
        assert_eq!(scale.at(f64::INFINITY), scale.at(1.0));
        assert_eq!(scale.at(f64::NAN), None);
    }
}
