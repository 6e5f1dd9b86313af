//! `diagnose SITE READINGS`: likely causes in order.

use super::{bin, readings, setup};
use crate::{
    args::DiagnoseArgs,
    commands::{heat::GAS, site},
    exit::{Ending, Failure},
    output::Out,
    table::Table,
};
use advice::diagnose::{Channel, Diagnosis, Fitted, Sizing, diagnose};
use advice::sentences;
use contract::{
    Document,
    field::{
        DiagnosisJson,
        diagnosis::{cause_word, channel_kind},
        sheet::READING,
        words::{cause_says, channel_says, next_says},
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
                cause_says(fit.cause).to_string(),
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
        let mut row = vec![channel_says(line.channel).to_string()];
        row.extend([line.value, line.sound, line.standard].map(|v| show(v, line.channel, out)));
        row.extend(best.iter().map(|f| show(f.predicted[i], line.channel, out)));
        compared.row(row);
    }
    let next =
        found.next.map_or(String::new(), |n| format!("Next: {} ({:.1} bits expected).\n", next_says(n.what), n.bits));
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
    match channel_kind(channel) {
        Kind::Number => format!("{value:.2}"),
        kind => out.show(value, kind),
    }
}
