//! Heated air over a crop whose drying nobody has published: there is no verdict to be had.

use super::{Site, Years};
use crate::facts::BinFacts;
use crops::{Crop, MissingCapability, Production};
use equipment::BurnerCommand;
use notice::{Diagnostic, Diagnostics, Kind, Phrase, Quantity, Remark, Remarks};

/// Hottest air into the grain for which the rates of other cereals still bound a crop without a law of its own, °C
/// (judgement: natural air, in which the grain is near equilibrium whatever its rate).
const HOTTEST: f64 = 30.0;

impl Site<'_> {
    /// Refuses a burner that brings the plenum above [`HOTTEST`] where the crop has no law: how fast it dries there is not
    /// known, and another crop's law is never lent.
    pub(super) fn heated(
        &self,
        bin: &BinFacts,
        crop: &Crop,
        years: &Years,
        remarks: &mut Remarks,
        wrong: &mut Diagnostics,
    ) -> Result<(), MissingCapability> {
        let Some(burner) = &bin.outfit.burner else { return Ok(()) };
        let command = match bin.outfit.control.burner.command() {
            BurnerCommand::Off => return Ok(()),
            asked => asked,
        };
        let ceiling = burner.temperature_limit.unwrap_or(f64::INFINITY);
        if !matches!(crop.kinetics()?.production, Production::Bounds { .. }) {
            return Ok(());
        }
        let mut hottest = f64::NEG_INFINITY;
        for (_, case) in years {
            let weather = &case.weather;
            let until = (case.programme.by - weather.start).max(0) as usize;
            for i in 0..until.min(weather.temperature.len()) {
                let t = weather.temperature[i];
                let rise = burner.needed_rise(command, t, weather.humidity_ratio[i], weather.pressure[i]);
                if rise > 0.0 {
                    hottest = hottest.max((t + rise).min(ceiling));
                }
            }
        }
        if hottest > HOTTEST && bin.range_wanted {
            remarks.add(Remark::new(
                "range-without-law",
                Phrase::new(
                    "no verdict: nobody has published how {crop} dries in air of {hottest}. Asked for as a range: years are run at the \
                     slowest of the rates published for other cereals, and the fastest stands among the other choices of `prove`; \
                     the truth may lie outside both",
                )
                .text("crop", &crop.name)
                .with("hottest", Quantity::new(hottest, Kind::Temperature)),
            ));
        } else if hottest > HOTTEST {
            wrong.add(
                Diagnostic::error(
                    "no-heated-air-law",
                    format!("burner that warms the air to {hottest:.0} °C ({:.0} °F) under {}", hottest * 1.8 + 32.0, crop.name),
                    self.at(format!("bins.{}.outfit.burner", bin.name)),
                )
                .allowed(format!(
                    "no drying law is published for this crop: up to {HOTTEST:.0} °C ({:.0} °F) the rates of other crops bound it, above that there is no verdict",
                    HOTTEST * 1.8 + 32.0
                ))
                .help("ask for less heat, set temperature_limit of the burner at or below that temperature, or ask for a range without a verdict: without_law = \"range\" in the bin"),
            );
        }
        Ok(())
    }
}
