//! What of a set of readings cannot be right at this bin, or contradicts itself: asked about, never averaged in.

use super::Setup;
use super::motors::{self, MotorState};
use job::readings::Rotation;
use notice::quantity::INCH_WATER_PA;
use notice::{Diagnostic, Diagnostics, Place};

/// A wheel that turns backwards gives at most this share of its curve's pressure (judgement, as the mechanics of the fault).
const BACKWARDS: f64 = 0.65;

/// Asks everything, unless the field was looked at twice.
pub(super) fn ask(setup: &Setup<'_>, at: &dyn Fn(&str) -> Place, wrong: &mut Diagnostics) {
    let mut doubt = |field: &str, code: &str, found: String, allowed: Option<String>, help: &str| {
        if !setup.readings.is_confirmed(field) {
            let more = format!("{help}; if it is right as it stands, add confirmed = [\"{field}\"] at the top");
            let one = Diagnostic::error(code, found, at(field)).help(more);
            wrong.add(match allowed {
                Some(allowed) => one.allowed(allowed),
                None => one,
            });
        }
    };
    signs(setup, &mut doubt);
    pressure(setup, &mut doubt);
    speed(setup, &mut doubt);
    legs(setup, &mut doubt);
    sights(setup, &mut doubt);
    samples(setup, &mut doubt);
}

/// A sample from below the floor, or a moisture no grain in a bin has.
fn samples(setup: &Setup<'_>, doubt: &mut Doubt<'_>) {
    for sample in &setup.readings.samples {
        // A leaning probe goes a little farther than the grain is deep.
        if sample.below_surface > 1.1 * setup.plant.depth {
            let found = format!(
                "a sample {:.1} ft below the surface of {:.1} ft of grain",
                sample.below_surface / 0.3048,
                setup.plant.depth / 0.3048
            );
            doubt("grain.samples", "sample-below-the-floor", found, None, "write the depth in the unit of the probe");
        }
        if !(0.04..=0.45).contains(&sample.moisture) {
            let found = format!("a sample of {:.1} % moisture", 100.0 * sample.moisture);
            let allowed = Some("meters read 5 to 40 %".to_string());
            doubt("grain.samples", "moisture-of-no-grain", found, allowed, "read it again, on wet basis");
        }
    }
}

type Doubt<'d> = dyn FnMut(&str, &str, String, Option<String>, &str) + 'd;

fn inches(pa: f64) -> String {
    format!("{:.2} in wc ({pa:.0} Pa)", pa / INCH_WATER_PA)
}

/// Fans that blow raise the plenum, fans that draw lower it. A tube on the wrong leg shows the other sign.
fn signs(setup: &Setup<'_>, doubt: &mut Doubt<'_>) {
    let r = setup.readings;
    let way = if setup.blows() { "blow into it" } else { "draw from it" };
    // Less than a tenth of an inch is within what a U-tube shows at rest.
    let least = -0.1 * INCH_WATER_PA;
    let help = "the tube is on the wrong leg of the manometer; write a pressure below the open air with a minus";
    if let Some((read, _)) = setup.plenum_pressure().filter(|(p, _)| *p < least) {
        let found = format!("plenum at {} while the fans {way}", inches(setup.of_fans(read)));
        doubt("pressure.plenum", "pressure-of-the-wrong-sign", found, None, help);
    }
    if let Some((read, _)) = r.grain_pressure.filter(|(p, _)| setup.of_fans(*p) < least) {
        let found = format!("{} in the grain while the fans {way}", inches(read));
        doubt("pressure.in_grain", "pressure-of-the-wrong-sign", found, None, help);
    }
    if let Some(read) = r.headspace_pressure.filter(|p| setup.of_fans(*p) < least) {
        let found = format!("{} above the grain while the fans {way}", inches(read));
        doubt("pressure.headspace", "pressure-of-the-wrong-sign", found, None, help);
    }
}

/// A pressure that is about 25 times what the bin should give, either way (millimetres of water for inches), or about 250 times
/// less (pascals for inches), or more than its fans can; one in the grain above
/// that below it.
fn pressure(setup: &Setup<'_>, doubt: &mut Doubt<'_>) {
    let Some((read, u)) = setup.plenum_pressure() else { return };
    let most = most(setup);
    let expected = setup
        .plant
        .solve(&setup.bin.template.system, &setup.bin.template.grain.resistance, &setup.air, setup.heat)
        .map(|s| s.point.plenum_pressure);
    let near = |ratio: f64| (18.0..36.0).contains(&ratio);
    let help = "was the scale in millimetres of water, or in inches? Write the number with the unit of the scale";
    if let Some(expected) = expected.filter(|e| near(read / e) || near(e / read.abs().max(1e-9))) {
        let found = format!("plenum pressure of {}, about 25 times off the {}", inches(read), inches(expected));
        doubt("pressure.plenum", "pressure-in-another-unit", found, None, help);
    } else if let Some(expected) = expected.filter(|e| (160.0..400.0).contains(&(e / read.abs().max(1e-9)))) {
        let found = format!("plenum pressure of {}, about 250 times below the {}", inches(read), inches(expected));
        let help = "was the scale in inches of water, or in pascals? Write the number with the unit of the scale; with fans at rest \
                    there is nothing to compare";
        doubt("pressure.plenum", "pressure-in-another-unit", found, None, help);
    } else if read > 1.5 * most {
        let found = format!("plenum pressure of {}", inches(read));
        let allowed = format!("these fans give at most {}", inches(most));
        doubt("pressure.plenum", "pressure-beyond-the-fans", found, Some(allowed), help);
    }
    if let Some((grain, _)) = setup.readings.grain_pressure {
        let grain = setup.of_fans(grain);
        let i = setup.readings.instruments.pressure;
        if grain > read + 3.0 * u.hypot(i.standard(grain)) {
            let found = format!("{} in the grain above {} below it", inches(grain), inches(read));
            let help = "air loses pressure on its way through the grain: the two readings are exchanged, or one is in another unit";
            doubt("pressure.in_grain", "grain-above-plenum", found, None, help);
        }
    }
}

/// Most pressure that the running fans give, Pa.
fn most(setup: &Setup<'_>) -> f64 {
    let density = physics::air::density(setup.air.temperature, setup.air.humidity_ratio, setup.air.pressure);
    let curve = setup.bin.template.system.outfit.curve(setup.plant.fans, density, setup.air.pressure, 16);
    curve.iter().map(|p| p.1).fold(0.0, f64::max)
}

/// A speed that no wheel of these fans has, or that cannot give the pressure read.
fn speed(setup: &Setup<'_>, doubt: &mut Doubt<'_>) {
    let fans = setup.bin.template.system.outfit.fans();
    let ratios: Vec<f64> =
        setup.readings.motors.iter().zip(fans).filter_map(|(m, f)| m.speed.map(|s| s / f.speed)).collect();
    let Some(low) = ratios.iter().copied().reduce(f64::min) else { return };
    let high = ratios.iter().copied().fold(low, f64::max);
    if low < 0.4 || high > 1.3 {
        let off = if low < 0.4 { low } else { high };
        let found = format!("a wheel at {:.0} % of the speed of its curve", 100.0 * off);
        let help = "a strobe or counter easily shows half or double: count the blades, or read the shaft";
        doubt("motors.speed", "speed-of-another-wheel", found, None, help);
        return;
    }
    // Pressure goes with the square of the speed, whatever resists.
    let (Some((read, u)), true) = (setup.plenum_pressure(), ratios.len() == setup.plant.fans) else { return };
    let most = most(setup) * high * high * (1.0 + 2.0 * setup.doubt.flow);
    if high < 0.95 && read - 2.0 * u > 1.05 * most {
        let found = format!("{} in the plenum with wheels at {:.0} % of their speed", inches(read), 100.0 * high);
        let allowed = format!("at that speed they give at most {}", inches(most));
        doubt(
            "motors.speed",
            "speed-against-pressure",
            found,
            Some(allowed),
            "read speed and pressure again, together",
        );
    }
}

/// A leg that carries next to nothing beside the others: the motor runs on two of three, or the clamp stood elsewhere.
fn legs(setup: &Setup<'_>, doubt: &mut Doubt<'_>) {
    for motor in motors::motors(setup).into_iter().flatten().filter(MotorState::has_dead_leg) {
        let found = format!(
            "fan {}: a leg of {:.1} A where the mean of its legs is {:.1} A",
            motor.fan, motor.lowest, motor.mean
        );
        let help = "stop this fan now: a motor on two of three legs burns out; a licensed electrician looks at fuse, contactor, \
                    wire and clamp and reads all legs again";
        doubt("motors.amps", "dead-leg", found, None, help);
    }
}

/// What was seen against what was measured.
fn sights(setup: &Setup<'_>, doubt: &mut Doubt<'_>) {
    let r = setup.readings;
    if let (Some(Rotation::AgainstArrow), Some((read, u))) = (r.seen.rotation, setup.plenum_pressure()) {
        let most = BACKWARDS * most(setup);
        if read - 2.0 * u > 1.1 * most {
            let found = format!("{} in the plenum with a wheel against its arrow", inches(read));
            let allowed = format!("a wheel that turns backwards gives at most about {}", inches(most));
            let help =
                "look again as the wheel runs down: the arrow may belong to the other side, or the reading is wrong";
            doubt("state.rotation", "rotation-against-pressure", found, Some(allowed), help);
        }
    }
    let (Some(blocked), Some(read)) = (r.seen.vents_blocked, r.headspace_pressure) else { return };
    let (read, u) = (setup.of_fans(read), r.instruments.pressure.standard(read));
    let t = &setup.bin.template;
    let Some(open) = setup.plant.solve(&t.system, &t.grain.resistance, &setup.air, setup.heat) else { return };
    let open = open.headspace();
    // Vents that are half shut lose four times as much.
    if blocked && read + 2.0 * u < 1.5 * open {
        let found = format!("{} above the grain with vents said to be blocked", inches(read));
        let allowed = format!("open ones lose {}", inches(open));
        let help = "look at all vents again, and at the tap under the roof";
        doubt("state.vents_blocked", "vents-against-headspace", found, Some(allowed), help);
    } else if !blocked && read - 3.0 * u > 4.0 * open.max(0.05 * INCH_WATER_PA) {
        let found = format!("{} above the grain with vents said to be open", inches(read));
        let allowed = format!("open ones lose {}", inches(open.max(0.05 * INCH_WATER_PA)));
        let help =
            "look at all vents from the ground, ice and chaff on their screens too; is the tap in the headspace?";
        doubt("state.vents_blocked", "vents-against-headspace", found, Some(allowed), help);
    }
}
