//! `diagnose SITE READINGS`: likely causes in order.

use super::{READING, bin, readings, setup};
use crate::{
    args::DiagnoseArgs,
    commands::{heat::GAS, site},
    exit::{Ending, Failure},
    output::Out,
    table::Table,
};
use advice::diagnose::{Cause, Channel, Diagnosis, Fitted, Sight, Sizing, What, diagnose};
use advice::sentences;
use contract::{
    Document,
    field::{
        DiagnosisJson,
        diagnosis::{cause_word, channel_word},
    },
};
use job::BinJob;
use notice::{Diagnostic, Kind, Place};

/// Classes that are written out.
const SHOWN: usize = 5;
/// Causes whose predictions stand beside the readings.
const COMPARED: usize = 3;

/// Ranks the causes of readings.
pub fn run(args: &DiagnoseArgs, out: &mut Out) -> Result<Ending, Failure> {
    let job = site::open(&args.site)?;
    let file = readings(&args.readings)?;
    let bin = bin(&job, args.bin.as_deref(), &file)?;
    let now = setup(&job, bin, &file)?;
    let before = args.baseline.as_deref().map(readings).transpose()?;
    let before = match &before {
        Some(before) => {
            super::bin(&job, Some(&bin.name), before)?;
            Some(setup(&job, bin, before)?)
        }
        None => None,
    };
    let Some(found) = diagnose(&now, before.as_ref()) else {
        let wrong =
            Diagnostic::error("nothing-to-diagnose", "no reading that a cause would change", Place::file(&file.name));
        return Err(wrong
            .help("add at least pressure.plenum; volts and amps, plenum temperatures and a traverse tell most")
            .into());
    };
    let at = file.read.readings.at.clone();
    if out.json {
        out.json(&Document::new("diagnosis/1", DiagnosisJson::of(bin, at, &found), &bin.remarks))?;
    } else {
        let gas = if bin.template.burner.is_some() { format!("{GAS}\n") } else { String::new() };
        let text = format!("{}{}\n{gas}{}\n", text(bin, &found, out), READING, site::MACHINES);
        out.text(&text)?;
    }
    Ok(Ending::Done)
}

fn text(bin: &BinJob, found: &Diagnosis, out: &Out) -> String {
    let mut ranks = Table::facts();
    for (i, class) in found.classes.iter().take(SHOWN).enumerate() {
        for (k, fit) in class.causes.iter().enumerate() {
            let rank = if k == 0 { format!("{}.", i + 1) } else { "   or".to_string() };
            ranks.row([
                rank,
                words(fit.cause).to_string(),
                size(fit, out),
                if k == 0 { format!("{:.0} %", 100.0 * class.posterior) } else { String::new() },
                format!("prior {:.0} %", 100.0 * fit.prior),
            ]);
        }
    }
    let best: Vec<&Fitted> = found.classes.iter().take(COMPARED).filter_map(|c| c.causes.first()).collect();
    let mut head = vec!["reading", "measured", "sound bin", "doubt"];
    head.extend(best.iter().map(|f| cause_word(f.cause)));
    let mut compared = Table::numbers(&head);
    for (i, line) in found.measured.iter().enumerate() {
        let mut row = vec![channel_words(line.channel).to_string()];
        row.extend([line.value, line.sound, line.standard].map(|v| show(v, line.channel, out)));
        row.extend(best.iter().map(|f| show(f.predicted[i], line.channel, out)));
        compared.row(row);
    }
    let next =
        found.next.map_or(String::new(), |n| format!("Next: {} ({:.1} bits expected).\n", next_words(n.what), n.bits));
    let baseline = match found.baseline {
        true => "The baseline narrowed what is doubtful of the sound bin.",
        false => {
            "Without a baseline the plan's own doubts stand in the way; commission --baseline writes one of a sound bin."
        }
    };
    let demo = if bin.invented { " DEMO: invented equipment." } else { "" };
    format!(
        "bin {}, {}: likely causes.{demo}\n\n{}\nCauses under one number are not told apart by these readings. Priors are our \
         judgement: no counts of causes are published.\n\n{}\nDoubt is one standard uncertainty, that of the sound bin included.\n\
         {next}{baseline}\nA ranking is no finding: it says where to look first.\n",
        bin.name,
        sentences::short_name(&bin.crop_name),
        ranks.render(),
        compared.render(),
    )
}

fn size(fit: &Fitted, out: &Out) -> String {
    let Some(size) = fit.size else { return String::new() };
    let info = advice::diagnose::CAUSES.iter().find(|info| info.cause == fit.cause);
    match info.map(|i| i.sizing) {
        Some(Sizing::Factor) => format!("× {size:.2}"),
        Some(Sizing::Share) => format!("{:.0} %", 100.0 * size),
        Some(Sizing::Kelvin) => out.show(size, Kind::TemperatureDifference),
        Some(Sizing::OtherCrop) => fit.named.clone().unwrap_or_default(),
        _ => String::new(),
    }
}

fn show(value: f64, channel: Channel, out: &Out) -> String {
    match channel {
        Channel::Plenum | Channel::Headspace | Channel::InGrain => out.show(value, Kind::Pressure),
        Channel::Traverse => out.show(value, Kind::Airflow),
        Channel::Input => out.show(value, Kind::ElectricPower),
        Channel::Rise | Channel::Panel => out.show(value, Kind::TemperatureDifference),
        _ => format!("{value:.2}"),
    }
}

fn words(cause: Cause) -> &'static str {
    match cause {
        Cause::Sound => "nothing wrong beyond what is doubtful anyway",
        Cause::Packing => "fines or packing: the grain resists more",
        Cause::PluggedFloor => "floor plugged by fines, or frozen",
        Cause::Leak => "air lost between fan and grain",
        Cause::BlockedVents => "roof vents blocked or iced",
        Cause::WrongRotation => "wheel turns the wrong way",
        Cause::LowVoltage => "low voltage",
        Cause::SinglePhasing => "one leg dead (single-phasing): switch off, electrician",
        Cause::SlippingBelt => "wheel too slow: belt slips, wrong pulley",
        Cause::WrongWheel => "wheel of another diameter",
        Cause::FanDown => "one fan down, air flows back through it",
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

fn channel_words(channel: Channel) -> &'static str {
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
    }
}

fn next_words(what: What) -> String {
    match what {
        What::Read(Channel::InGrain) => {
            "read the pressure in the grain a foot above the floor, with a probe from outside (pressure.in_grain)"
                .into()
        }
        What::Read(Channel::Depth) => "measure the depth of the levelled grain from the hatch (state.depth)".into(),
        What::Read(channel) => format!("read {} ({})", channel_words(channel), channel_word(channel)),
        What::Look(Sight::AgainstArrow) => "look which way the wheel turns as it runs down, against the arrow".into(),
        What::Look(Sight::IceOnRegulator) => {
            "look for ice on the gas regulator; do not touch it, no flame near it".into()
        }
        What::Look(Sight::Pulsing) => "look whether the air pulses or an idle wheel turns backwards".into(),
        What::Look(Sight::VentsBlocked) => "look at the roof vents from the ground: ice, chaff, shut".into(),
        What::Look(Sight::AirEscapes) => "feel for air at doors, unload tube, flashing and transition".into(),
    }
}
