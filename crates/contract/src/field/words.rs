//! What comparisons, causes and readings are called in plain words: the same on a terminal, on paper and on the page.

use advice::commission::{Agreement, Check, Line, Why};
use advice::diagnose::{Cause, Channel, Fitted, Sight, What};
use advice::field::Urgent;
use notice::{Kind, Phrase, Quantity};

/// A comparison.
pub fn check_says(check: Check) -> &'static str {
    match check {
        Check::Rotation => "wheels turn with the arrow",
        Check::VentsOpen => "roof vents are open",
        Check::NoAirEscapes => "no air escapes",
        Check::NoPulsing => "the air does not pulse",
        Check::NoIce => "no ice on the regulator",
        Check::GasPressure => "gas pressure / as set",
        Check::PanelSensor => "panel sensor / plenum",
        Check::Noise => "noise beside the fans",
        Check::PlenumPressure => "static pressure, plenum",
        Check::HeadspacePressure => "pressure above the grain",
        Check::HeadspaceLimit => "pressure above the grain, at most",
        Check::AirflowByRise => "airflow: rise and heat / pressure",
        Check::AirflowByTraverse => "airflow: traverse / pressure",
        Check::TraverseAndRise => "airflow: traverse / rise and heat",
        Check::MotorInput => "electric input",
        Check::Speed => "speed of the wheel",
        Check::FullFire => "heat at full fire",
        Check::MotorLoad => "motor load by the highest leg, at most",
        Check::CurrentsUnbalance => "unbalance of currents, at most",
        Check::MotorsApart => "loads of the motors apart, at most",
        Check::Volts => "volts off the plate, at most",
        Check::VoltsUnbalance => "unbalance of volts, at most",
        Check::TapsApart => "taps apart, at most",
    }
}

/// A comparison of readings, with its fan where it is of one motor.
pub fn line_says(line: &Line) -> String {
    let says = check_says(line.check);
    line.fan.map_or_else(|| says.to_string(), |fan| format!("fan {fan}: {says}"))
}

/// What must be acted on at once, and how.
pub fn urgent_says(urgent: Urgent) -> String {
    match urgent {
        Urgent::DeadLeg(fan) => format!(
            "one leg of fan {fan} carries next to nothing: stop this fan now, a motor on two of three legs burns out; call a licensed \
             electrician"
        ),
        Urgent::Overloaded(fan, share) => format!(
            "the highest leg of fan {fan} bears {:.0} % of what its plate allows with its service factor: stop this fan until a \
             licensed electrician has read it again and found why",
            100.0 * share
        ),
        Urgent::VentsBlocked => format!("roof vents are blocked: {VENTS}"),
        Urgent::Headspace(pressure) => format!(
            "{:.2} in. of water ({pressure:.0} Pa) stand above the grain: the vents do not let the air out; {VENTS}",
            pressure / notice::quantity::INCH_WATER_PA
        ),
        Urgent::GasPressureHigh(share) => format!(
            "gas pressure at the burner is {:.0} % of what it is set to: shut the gas, call a licensed gas fitter, let nobody else \
             touch the regulator",
            100.0 * share
        ),
        Urgent::OverFired(share) => format!(
            "the burner gives {:.0} % of its full fire: shut the gas, call a licensed gas fitter",
            100.0 * share
        ),
    }
}

const VENTS: &str = "open the vents or the hatch from a safe place, or stop the fans and the burner before the roof is harmed; nobody \
                     climbs an iced roof, and what a roof bears is for its maker or a structural engineer to say";

/// How a comparison ended.
pub fn agreement_says(agreement: Agreement) -> &'static str {
    match agreement {
        Agreement::Agrees => "agrees",
        Agreement::Differs => "DIFFERS",
        Agreement::CannotTell(Why::NotRead) => "cannot tell: not read",
        Agreement::CannotTell(Why::TooWide) => "cannot tell: too uncertain",
        Agreement::CannotTell(Why::OffTheCurve) => "cannot tell: off the curve",
        Agreement::CannotTell(Why::NearTheLimit) => "cannot tell: too near the limit",
        Agreement::CannotTell(Why::GasNotAsSet) => "cannot tell: gas pressure not as set",
    }
}

/// The size of a cause, in words that say what it is a size of; none for causes without one.
pub fn size_says(fit: &Fitted) -> Option<Phrase> {
    let size = fit.size?;
    let percent = |share: f64| format!("{:.0} %", 100.0 * share);
    let times = format!("{size:.2}");
    let share = |template: &str, share: f64| Some(Phrase::new(template).text("share", percent(share)));
    let factor = |template: &str| Some(Phrase::new(template).text("times", times.as_str()));
    match fit.cause {
        Cause::Sound | Cause::SinglePhasing => None,
        Cause::Packing => factor("about {times} times the resistance planned"),
        Cause::PluggedFloor => share("about {share} of the openings shut", size),
        Cause::Leak => share("about {share} of the air", size),
        Cause::BlockedVents => share("about {share} of the vents shut", size),
        Cause::WrongRotation => share("about {share} of the airflow of right rotation", size),
        Cause::LowVoltage => share("about {share} of the volts on the plate", size),
        Cause::SlippingBelt => share("about {share} of the speed of the curve", size),
        Cause::WrongWheel => factor("about {times} times the diameter"),
        Cause::FanDown if size < 0.03 => Some(Phrase::new("with hardly any air back through it")),
        Cause::FanDown => share("with about {share} of the air back through it", size),
        Cause::MotorOverloaded => factor("about {times} times its load"),
        Cause::FansUnequal => factor("about {times} times its share"),
        Cause::UnderFired | Cause::OverFired => share("about {share} of full fire", size),
        Cause::GasPressureHigh | Cause::GasPressureLow | Cause::RegulatorFreezing => {
            share("about {share} of the gas pressure set", size)
        }
        Cause::SensorInJet => Some(
            Phrase::new("reads about {rise} too warm").with("rise", Quantity::new(size, Kind::TemperatureDifference)),
        ),
        Cause::WrongDepth => factor("about {times} times the depth used"),
        Cause::WrongCrop => fit.named.as_deref().map(|crop| Phrase::new("reads like {crop}").text("crop", crop)),
        Cause::GaugeError | Cause::ClampError => factor("shows about {times} times what is there"),
        Cause::ThermometerError => {
            let template = if size > 0.0 { "about {by} too warm" } else { "about {by} too cold" };
            Some(Phrase::new(template).with("by", Quantity::new(size.abs(), Kind::TemperatureDifference)))
        }
    }
}

/// A cause.
pub fn cause_says(cause: Cause) -> &'static str {
    match cause {
        Cause::Sound => "nothing wrong beyond what is doubtful anyway",
        Cause::Packing => "fines or packing: the grain resists more",
        Cause::PluggedFloor => "floor plugged by fines, or frozen",
        Cause::Leak => "air lost between fan and grain",
        Cause::BlockedVents => "roof vents blocked or iced: open them or stop the fans",
        Cause::WrongRotation => "wheel turns the wrong way",
        Cause::LowVoltage => "low voltage",
        Cause::SinglePhasing => "one leg dead (single-phasing): switch off, electrician",
        Cause::SlippingBelt => "wheel too slow: belt slips, wrong pulley",
        Cause::WrongWheel => "wheel of another diameter",
        Cause::FanDown => "one fan down",
        Cause::MotorOverloaded => "one motor overloaded: wheel rubs, bearing drags, wrong pulley; electrician",
        Cause::FansUnequal => "fans share the air unequally: one hampered, another overloaded; electrician",
        Cause::OverFired => "burner over-fired at the right gas pressure: shut the gas, call the gas fitter",
        Cause::GasPressureHigh => "gas pressure too high, burner over-fired: shut the gas, call the gas fitter",
        Cause::UnderFired => "burner under-fired at the right gas pressure",
        Cause::GasPressureLow => "gas pressure low: tank or line",
        Cause::RegulatorFreezing => "regulator frozen or set low",
        Cause::SensorInJet => "panel sensor in the jet",
        Cause::WrongDepth => "another depth than on the sheet",
        Cause::WrongCrop => "another crop than on the sheet",
        Cause::GaugeError => "manometer wrong",
        Cause::ClampError => "clamp meter or power factor wrong",
        Cause::ThermometerError => "plenum thermometers wrong",
    }
}

/// A reading as a diagnosis uses it.
pub fn channel_says(channel: Channel) -> &'static str {
    match channel {
        Channel::Plenum => "static pressure, plenum",
        Channel::Headspace => "pressure above the grain",
        Channel::InGrain => "pressure in the grain near the floor",
        Channel::Traverse => "airflow by traverse",
        Channel::Input => "electric input",
        Channel::Volts => "volts over the plate's",
        Channel::CurrentSpread => "spread of the legs' currents",
        Channel::Speed => "speed over the curve's",
        Channel::Rise => "rise of temperature to the plenum",
        Channel::Fire => "heat of the fuel over full fire",
        Channel::GasPressure => "gas pressure over that set",
        Channel::TankPressure => "tank pressure over the usual",
        Channel::Panel => "panel over plenum",
        Channel::Depth => "depth over that used",
        Channel::MotorSpread => "loads of the motors apart",
    }
}

/// What to read or look at next.
pub fn next_says(what: What) -> &'static str {
    match what {
        What::Read(Channel::Plenum) => "read the static pressure of the plenum (pressure.plenum)",
        What::Read(Channel::Headspace) => {
            "read the pressure above the grain, through the hatch's rim (pressure.headspace)"
        }
        What::Read(Channel::InGrain) => {
            "read the pressure in the grain a foot above the floor, with a probe from outside (pressure.in_grain)"
        }
        What::Read(Channel::Traverse) => "traverse the fan inlets (traverse.velocities and traverse.area)",
        What::Read(Channel::Input) => {
            "have a licensed electrician read volts between legs and amps of every running motor (motors.volts, motors.amps)"
        }
        What::Read(Channel::Volts) => {
            "have a licensed electrician read the volts between legs (motors.volts, motors.plate_volts)"
        }
        What::Read(Channel::CurrentSpread) => {
            "have a licensed electrician read the amps of all three legs (motors.amps)"
        }
        What::Read(Channel::MotorSpread) => {
            "have a licensed electrician read the amps of every running motor (motors.volts, motors.amps)"
        }
        What::Read(Channel::Speed) => "read the speed of the wheels through the guard (motors.speed)",
        What::Read(Channel::Rise) => {
            "read the temperature at three points of the plenum through its ports, out of the jet (air.plenum)"
        }
        What::Read(Channel::Fire) => "read the fuel burned over a timed stretch of full fire (fuel.flow)",
        What::Read(Channel::GasPressure) => {
            "have a licensed fitter read the gas pressure at the burner at full fire (fuel.gas_pressure)"
        }
        What::Read(Channel::TankPressure) => "read the gauge of the tank at full fire (fuel.tank_pressure)",
        What::Read(Channel::Panel) => "note what the panel's own plenum sensor shows (air.panel)",
        What::Read(Channel::Depth) => "measure the depth of the levelled grain from the hatch (state.depth)",
        What::Look(Sight::AgainstArrow) => {
            "look which way the wheel turns as it runs down, against the arrow (state.rotation)"
        }
        What::Look(Sight::IceOnRegulator) => {
            "look for ice on the gas regulator; do not touch it, no flame near it (state.ice_on_regulator)"
        }
        What::Look(Sight::Pulsing) => "look whether the air pulses or an idle wheel turns backwards (state.pulsing)",
        What::Look(Sight::VentsBlocked) => {
            "look at the roof vents from the ground: ice, chaff, shut (state.vents_blocked)"
        }
        What::Look(Sight::AirEscapes) => {
            "feel for air at doors, unload tube, flashing and transition (state.air_escapes)"
        }
    }
}

/// Name of a field of a readings file, and how it is read; both for the reader beside the bin.
pub fn field_says(path: &str) -> (&'static str, &'static str) {
    match path {
        "state.fans_running" => ("Fans that run", "count those at speed"),
        "state.rotation" => {
            ("Which way the wheels turn", "look as a wheel runs down, against the arrow on its housing")
        }
        "state.burner" => ("Burner", "off, or lit at steady full fire"),
        "state.depth" => {
            ("Depth of the levelled grain", "from the hatch with a tape or the rings of the wall; nobody goes in")
        }
        "state.vents_blocked" => ("Roof vents blocked", "ice, chaff or shut, seen from the ground"),
        "state.air_escapes" => ("Air escapes", "felt at doors, unload tube, flashing and transition"),
        "state.pulsing" => ("Air pulses", "or an idle wheel turns backwards"),
        "state.ice_on_regulator" => ("Ice on the gas regulator", "look only: do not touch it, no flame near it"),
        "air.outdoor" => ("Outdoor air", "at the fan inlets, in the shade"),
        "air.humidity" => ("Relative humidity outdoors", "at the fan inlets"),
        "air.barometer" => ("Barometer", "as at the place, not reduced to the sea"),
        "air.plenum" => ("Plenum temperature", "at three or more points through the ports, out of the jet"),
        "air.panel" => ("Plenum sensor of the panel", "what the panel shows"),
        "pressure.plenum" => (
            "Static pressure, plenum",
            "a tap below the floor, out of the jet; the other leg open to the air near the bin",
        ),
        "pressure.headspace" => ("Pressure above the grain", "a tap under the roof, from outside"),
        "pressure.in_grain" => ("Pressure in the grain", "a probe through the wall near the floor"),
        "pressure.in_grain_height" => ("Height of that probe", "above the floor"),
        "motors.plate_volts" => ("Volts on the motor plate", "as written on the plate"),
        "motors.volts" => ("Volts between legs", "by a licensed electrician, at load; one, or all three"),
        "motors.amps[]" => ("Amps of this motor", "by a licensed electrician; one, or one for each of three legs"),
        "motors.power_factor" => ("Power factor", "where the meter shows it"),
        "motors.speed[]" => ("Speed of this wheel", "through the guard"),
        "traverse.velocities" => ("Velocity at the fan inlet", "one point of the traverse after another"),
        "traverse.velocity_pressures" => ("Velocity pressure", "one point of the traverse after another"),
        "traverse.area" => ("Area of the traverse", "of the section that was traversed"),
        "traverse.airflow" => ("Airflow by traverse", "where it was worked out already"),
        "fuel.flow" => ("Fuel burned", "over a timed stretch at full fire"),
        "fuel.gas_pressure" => ("Gas pressure at the burner", "by a licensed fitter, at full fire, gauge"),
        "fuel.gas_pressure_set" => ("Gas pressure as it was set", "when the burner was adjusted, gauge"),
        "fuel.tank_pressure" => ("Tank pressure", "gauge, at full fire"),
        "sound.level" => ("Noise", "A-weighted, slow; wear hearing protection"),
        "sound.distance" => ("Distance from the fans", "where the noise was read"),
        "grain.rested" => ("How long samples rested", "in a closed container before they were read"),
        "grain.samples[].below_surface" => ("Sample: below the surface", "with a probe from the hatch; nobody goes in"),
        "grain.samples[].moisture" => ("Sample: moisture", "as the meter shows it"),
        "grain.samples[].temperature" => ("Sample: temperature", "when it was read"),
        "grain.chart[].temperature" => ("Meter chart: temperature", "from your own meter's chart"),
        "grain.chart[].add" => ("Meter chart: what to add", "points, from your own meter's chart"),
        "confirmed" => ("Looked at twice", "a reading that was questioned and is right as it stands"),
        _ => ("Limit of error", "as the maker of the instrument states it"),
    }
}
