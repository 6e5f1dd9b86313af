//! What a fire does inside an hour: cycling between two rates in closed form, and several burners at one plenum.
//!
//! Between the fire and the thermostat lies thermal mass: the rise of the air follows each rate exponentially, and a dead band
//! turns that into a cycle whose length, swing and mean have closed forms. Energy follows the mean, limits follow the peak.
//! Leaves out the lag of the sensor beyond a dead time, and the grain itself, whose first layer evens out far slower.

/// Thermal mass between fire and thermostat, and the air through it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ThermalMass {
    /// Heat stored per K in sheet, frame and transition, J/K.
    pub heat_capacity: f64,
    /// Dry air times its specific heat, W/K.
    pub conductance: f64,
}

impl ThermalMass {
    /// The time in which a change is 63 % done, s.
    pub fn time_constant(&self) -> f64 {
        self.heat_capacity / self.conductance
    }
}

/// A thermostat's switching.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Switching {
    /// Rise wanted: the middle of the dead band, K.
    pub wanted: f64,
    /// Width of the dead band, K.
    pub dead_band: f64,
    /// From passing the upper edge until the rate falls, s.
    pub delay_down: f64,
    /// From passing the lower edge until the rate is up (purge, ignition), s.
    pub delay_up: f64,
}

/// A steady cycle between two rates, rises in K above the unheated air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cycle {
    /// Time at the higher rate, s.
    pub up: f64,
    /// Time at the lower rate, s; no end to either when the fire never switches.
    pub down: f64,
    /// Share of the time at the higher rate.
    pub duty: f64,
    /// Highest rise.
    pub peak: f64,
    /// Lowest rise.
    pub trough: f64,
    /// Mean rise: what the energy pays for.
    pub mean: f64,
}

impl Cycle {
    /// From trough to peak, K.
    pub fn swing(&self) -> f64 {
        self.peak - self.trough
    }

    /// Starts of the higher rate in an hour; none when it never switches.
    pub fn starts_per_hour(&self) -> f64 {
        3600.0 / (self.up + self.down)
    }

    fn steady(rise: f64, duty: f64) -> Self {
        let (up, down) = if duty > 0.5 { (f64::INFINITY, 0.0) } else { (0.0, f64::INFINITY) };
        Self { up, down, duty, peak: rise, trough: rise, mean: rise }
    }
}

/// Returns the cycle of a fire that switches between two rates of steady rise, `low` (0 for off) and `high`, K.
///
/// y(t) → rate with the time constant τ. From trough to peak: t_up = τ ln((high − trough)/(high − peak)); back: t_down = τ
/// ln((peak − low)/(trough − low)); delays carry the peak to high − (high − edge) e^(−d/τ) and the trough likewise. Because the
/// rise returns to where it began, its mean is low + duty (high − low) exactly.
///
/// # Validity
/// `low` < `high`; a dead band or a delay above zero. Without thermal mass the air sees the rates themselves. When the band lies
/// above what the higher rate gives, or below the lower rate, the fire stays there.
///
/// ```
/// use equipment::firing::*;
/// let mass = ThermalMass { heat_capacity: 400e3, conductance: 10e3 };
/// let band = Switching { wanted: 5.0, dead_band: 2.0, delay_down: 0.0, delay_up: 0.0 };
/// let cycle = cycle(mass, 0.0, 10.0, band);
/// // Half of the full rise: up as long as down, swinging over the band.
/// assert!((cycle.duty - 0.5).abs() < 1e-12 && (cycle.swing() - 2.0).abs() < 1e-12);
/// ```
pub fn cycle(mass: ThermalMass, low: f64, high: f64, switching: Switching) -> Cycle {
    let (upper, lower) = (switching.wanted + 0.5 * switching.dead_band, switching.wanted - 0.5 * switching.dead_band);
    if upper >= high {
        return Cycle::steady(high, 1.0);
    }
    if lower <= low {
        return Cycle::steady(low, 0.0);
    }
    let tau = mass.time_constant();
    if tau <= 0.0 {
        // Nothing evens out: the air is at one rate or the other, for as long as makes the mean.
        let duty = (switching.wanted - low) / (high - low);
        return Cycle {
            up: switching.delay_down,
            down: switching.delay_up,
            duty,
            peak: high,
            trough: low,
            mean: switching.wanted,
        };
    }
    let peak = high - (high - upper) * (-switching.delay_down / tau).exp();
    let trough = low + (lower - low) * (-switching.delay_up / tau).exp();
    let up = tau * ((high - trough) / (high - peak)).ln();
    let down = tau * ((peak - low) / (trough - low)).ln();
    let duty = up / (up + down);
    Cycle { up, down, duty, peak, trough, mean: low + duty * (high - low) }
}

/// Returns the cycle of a burner asked for a mean rise, in the way it fires: none for a modulating one above its minimum.
///
/// `full` is the rise at full fire, `minimum_fire` the share of it at low fire (1 over the turndown).
pub fn of_burner(
    firing: crate::Firing,
    full: f64,
    minimum_fire: f64,
    mass: ThermalMass,
    switching: Switching,
) -> Cycle {
    use crate::Firing::{HighLow, Modulating, OnOff};
    let low = minimum_fire * full;
    let wanted = switching.wanted;
    match firing {
        OnOff => cycle(mass, 0.0, full, switching),
        // Low fire carries less than is wanted: it alternates with full fire; else low fire goes on and off.
        HighLow if wanted > low => cycle(mass, low, full, switching),
        Modulating if wanted >= low => Cycle::steady(wanted.min(full), 1.0),
        HighLow | Modulating => cycle(mass, 0.0, low, switching),
    }
}

/// One fan with its burner at a plenum they share.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stream {
    /// Dry air, kg/s.
    pub dry_air: f64,
    /// Rise its burner gives now, K.
    pub rise: f64,
}

/// What several streams come to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plenum {
    /// Rise after mixing, K.
    pub mean: f64,
    /// Rise of the hottest stream, K: what grain over that inlet and the high limit see before it mixes.
    pub hottest: f64,
    /// Rise of the coldest stream, K.
    pub coldest: f64,
}

impl Plenum {
    /// Hottest less coldest, K.
    pub fn apart(&self) -> f64 {
        self.hottest - self.coldest
    }
}

/// Returns what streams come to at a plenum; nothing for none.
pub fn plenum(streams: &[Stream]) -> Option<Plenum> {
    let all: f64 = streams.iter().map(|s| s.dry_air).sum();
    (all > 0.0).then(|| Plenum {
        mean: streams.iter().map(|s| s.dry_air * s.rise).sum::<f64>() / all,
        hottest: streams.iter().map(|s| s.rise).fold(f64::NEG_INFINITY, f64::max),
        coldest: streams.iter().map(|s| s.rise).fold(f64::INFINITY, f64::min),
    })
}

/// How equal on-off burners, each on its own fan, share a load.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sharing {
    /// All on and all off together.
    InStep,
    /// As many as the load needs stay on, one cycles, the rest stay off.
    InSequence,
    /// Each by its own thermostat, out of step with the others.
    OnTheirOwn,
}

/// What a way of sharing does to the air of the plenum.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shared {
    /// Mean rise of the mixed air, K.
    pub mean: f64,
    /// Highest rise of the mixed air, K.
    pub mixed_peak: f64,
    /// Lowest rise of the mixed air, K.
    pub mixed_trough: f64,
    /// Most that two inlets can be apart, K.
    pub apart: f64,
    /// Share of the time in which the mixed air is at its highest.
    pub at_peak: f64,
    /// Share of the time in which some inlet is fired and another is not.
    pub uneven: f64,
}

/// Returns what `count` equal on-off burners do, each giving its own fan's air `full` K, for a mean rise of `wanted` K.
///
/// In step the whole plenum swings from none to full; in sequence it swings by one burner only, but inlets stand a full rise
/// apart all the time; on their own the number lit is binomial, so the plenum still sees the full rise now and then and inlets
/// are mostly unequal. Thermal mass is left out: [`cycle`] smooths what this shows.
///
/// # Validity
/// Equal burners and fans, `count` at least 1, `wanted` from 0 to `full`; independence is the worst of "out of step".
pub fn shared(sharing: Sharing, count: usize, full: f64, wanted: f64) -> Shared {
    let n = count.max(1);
    let each = full / n as f64;
    let duty = (wanted / full).clamp(0.0, 1.0);
    let mean = duty * full;
    let several = n > 1 && duty > 0.0 && duty < 1.0;
    match sharing {
        Sharing::InStep => {
            let (peak, trough) = (if duty > 0.0 { full } else { 0.0 }, if duty < 1.0 { 0.0 } else { full });
            Shared { mean, mixed_peak: peak, mixed_trough: trough, apart: 0.0, at_peak: duty, uneven: 0.0 }
        }
        Sharing::InSequence => {
            let lit = (duty * n as f64 + 1e-12).floor().min(n as f64);
            let part = (duty * n as f64 - lit).max(0.0);
            let (peak, trough) = if part > 1e-9 { (lit + 1.0, lit) } else { (lit, lit) };
            let even = |k: f64| k <= 0.0 || k >= n as f64;
            let uneven = if even(peak) { 0.0 } else { part } + if even(trough) { 0.0 } else { 1.0 - part };
            let at_peak = if part > 1e-9 { part } else { 1.0 };
            let apart = if several { full } else { 0.0 };
            Shared { mean, mixed_peak: peak * each, mixed_trough: trough * each, apart, at_peak, uneven }
        }
        Sharing::OnTheirOwn => {
            let (all, none) = (duty.powi(n as i32), (1.0 - duty).powi(n as i32));
            Shared {
                mean,
                mixed_peak: if duty > 0.0 { full } else { 0.0 },
                mixed_trough: if duty < 1.0 { 0.0 } else { full },
                apart: if several { full } else { 0.0 },
                at_peak: all,
                uneven: 1.0 - all - none,
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Firing;
    use proptest::prelude::*;

    const MASS: ThermalMass = ThermalMass { heat_capacity: 600e3, conductance: 12e3 };

    /// The same by small steps, from the last of many cycles.
    fn stepped(mass: ThermalMass, low: f64, high: f64, s: Switching) -> Cycle {
        let (dt, tau) = (0.01, mass.time_constant());
        let (mut y, mut up, mut waiting) = (low, true, 0.0);
        let (mut peak, mut trough, mut sum, mut at_high, mut time) = (0.0f64, f64::INFINITY, 0.0, 0.0, 0.0);
        let mut starts = 0;
        for _ in 0..10_000_000 {
            let asked = if up { y >= s.wanted + 0.5 * s.dead_band } else { y <= s.wanted - 0.5 * s.dead_band };
            if asked || waiting > 0.0 {
                waiting += dt;
                if waiting > if up { s.delay_down } else { s.delay_up } {
                    (up, waiting) = (!up, 0.0);
                    if up {
                        starts += 1;
                        if starts == 10 {
                            break;
                        }
                    }
                }
            }
            let rate = if up { high } else { low };
            y += (rate - y) * (1.0 - (-dt / tau).exp());
            if starts >= 1 {
                (peak, trough) = (peak.max(y), trough.min(y));
                sum += y * dt;
                at_high += if up { dt } else { 0.0 };
                time += dt;
            }
        }
        let duty = at_high / time;
        Cycle { up: at_high / 9.0, down: (time - at_high) / 9.0, duty, peak, trough, mean: sum / time }
    }

    #[test]
    fn the_closed_form_is_what_small_steps_give() {
        for (low, high, wanted, delay_down, delay_up) in
            [(0.0, 12.0, 5.0, 0.0, 0.0), (0.0, 12.0, 3.0, 5.0, 30.0), (4.0, 12.0, 7.0, 2.0, 4.0)]
        {
            let s = Switching { wanted, dead_band: 1.5, delay_down, delay_up };
            let (exact, small) = (cycle(MASS, low, high, s), stepped(MASS, low, high, s));
            for (a, b, within) in [
                (exact.peak, small.peak, 0.01),
                (exact.trough, small.trough, 0.01),
                (exact.mean, small.mean, 0.01),
                (exact.duty, small.duty, 0.002),
                (exact.up, small.up, 0.1),
                (exact.down, small.down, 0.1f64),
            ] {
                assert!((a - b).abs() < within, "{exact:?} against {small:?}");
            }
        }
    }

    proptest! {
        #[test]
        fn peak_and_trough_hold_the_band(full in 4.0..80.0f64, share in 0.1..0.9f64, band in 0.1..1.0f64, delay in 0.0..60.0f64) {
            let wanted = share * full;
            let s = Switching { wanted, dead_band: band.min(wanted).min(full - wanted), delay_down: delay, delay_up: delay };
            let c = cycle(MASS, 0.0, full, s);
            prop_assert!(c.peak <= full && c.trough >= 0.0);
            prop_assert!(c.peak >= wanted + 0.5 * s.dead_band - 1e-9 && c.trough <= wanted - 0.5 * s.dead_band + 1e-9);
            prop_assert!((c.mean - c.duty * full).abs() < 1e-9);
            // More thermal mass, slower cycles.
            let heavy = cycle(ThermalMass { heat_capacity: 2.0 * MASS.heat_capacity, ..MASS }, 0.0, full, s);
            prop_assert!(heavy.starts_per_hour() < c.starts_per_hour());
            prop_assert!(heavy.swing() <= c.swing() + 1e-9);
        }

        #[test]
        fn sharing_keeps_the_mean(n in 1usize..5, full in 5.0..60.0f64, duty in 0.0..1.0f64) {
            for sharing in [Sharing::InStep, Sharing::InSequence, Sharing::OnTheirOwn] {
                let s = shared(sharing, n, full, duty * full);
                prop_assert!((s.mean - duty * full).abs() < 1e-9);
                prop_assert!(s.mixed_trough <= s.mean + 1e-9 && s.mean <= s.mixed_peak + 1e-9);
                prop_assert!((0.0..=1.0).contains(&s.uneven) && (0.0..=1.0).contains(&s.at_peak));
            }
        }
    }

    #[test]
    fn ways_of_firing() {
        let s = Switching { wanted: 3.0, dead_band: 1.0, delay_down: 0.0, delay_up: 0.0 };
        // Full 10 K, turndown 4: modulating holds 3 K, high-low alternates between 2.5 and 10.
        assert_eq!(of_burner(Firing::Modulating, 10.0, 0.25, MASS, s).swing(), 0.0);
        let high_low = of_burner(Firing::HighLow, 10.0, 0.25, MASS, s);
        assert!(high_low.trough >= 2.5 || high_low.duty == 0.0);
        // Below low fire it cycles there.
        let little = Switching { wanted: 1.0, ..s };
        assert!(of_burner(Firing::Modulating, 10.0, 0.25, MASS, little).peak <= 2.5);
        // Beyond its power it burns on.
        let much = Switching { wanted: 20.0, ..s };
        assert_eq!(of_burner(Firing::OnOff, 10.0, 0.25, MASS, much).mean, 10.0);
        // No thermal mass: the air sees the rates themselves.
        let bare = cycle(ThermalMass { heat_capacity: 0.0, conductance: 1.0 }, 0.0, 10.0, s);
        assert_eq!((bare.peak, bare.trough), (10.0, 0.0));
    }

    #[test]
    fn burners_out_of_step_leave_inlets_apart() {
        let in_step = shared(Sharing::InStep, 2, 20.0, 10.0);
        let own = shared(Sharing::OnTheirOwn, 2, 20.0, 10.0);
        let sequence = shared(Sharing::InSequence, 2, 20.0, 10.0);
        assert_eq!((in_step.apart, own.apart, sequence.apart), (0.0, 20.0, 20.0));
        assert_eq!((own.uneven, own.at_peak), (0.5, 0.25));
        assert_eq!((sequence.mixed_peak, sequence.mixed_trough, sequence.uneven), (10.0, 10.0, 1.0));
        let p = plenum(&[Stream { dry_air: 5.0, rise: 20.0 }, Stream { dry_air: 5.0, rise: 0.0 }]).unwrap();
        assert_eq!((p.mean, p.apart()), (10.0, 20.0));
        assert_eq!(plenum(&[]), None);
    }
}
