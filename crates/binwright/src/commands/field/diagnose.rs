//! `diagnose SITE READINGS`: likely causes in order.

use super::{bin, opened, readings, setup};
use crate::{
    args::DiagnoseArgs,
    commands::{heat::GAS, site},
    exit::{Ending, Failure},
    output::Out,
    table::Table,
};
use advice::diagnose::{Channel, Diagnosis, Fitted, Next, What, diagnose};
use advice::field::dates;
use advice::sentences;
use contract::{
    Document,
    field::{
        DiagnosisJson,
        diagnosis::{cause_word, channel_kind},
        sheet::READING,
        words::{cause_says, channel_says, next_says, size_says},
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
    let (job, file) = opened(&args.of)?;
    let bin = bin(&job, args.of.bin.as_deref(), &file)?;
    let now = setup(&job, bin, &file)?;
    let before = args.baseline.as_deref().map(readings).transpose()?;
    let before = match &before {
        Some(before) => {
            super::bin(&job, Some(&bin.name), before)?;
            Some(setup(&job, bin, before)?)
        }
        None => None,
    };
    let mut remarks = bin.remarks.clone();
    remarks.extend(dates::remarks(&now, job.place.utc_offset));
    if let Some((before, file)) = before.as_ref().zip(args.baseline.as_ref()) {
        remarks.extend(dates::baseline(&now, before, Place::file(file.display().to_string())).map_err(|wrong| *wrong)?);
    }
    let Some(found) = diagnose(&now, before.as_ref()) else {
        let wrong =
            Diagnostic::error("nothing-to-diagnose", "no reading that a cause would change", Place::file(&file.name));
        return Err(wrong
            .help("add at least pressure.plenum; volts and amps, plenum temperatures and a traverse tell most")
            .into());
    };
    let at = file.read.readings.at.clone();
    if out.json {
        out.json(&Document::new("diagnosis/1", DiagnosisJson::of(bin, at, &found), &remarks))?;
    } else {
        let gas = if bin.template.burner.is_some() { format!("{GAS}\n") } else { String::new() };
        let text =
            format!("{}{}{}\n{gas}{}\n", text(bin, &found, out), site::notes(&remarks, out), READING, site::MACHINES);
        out.text(&text)?;
    }
    Ok(Ending::Done)
}

fn text(bin: &BinJob, found: &Diagnosis, out: &Out) -> String {
    let mut ranks = Table::facts();
    ranks.row(["", "cause", "size", "chance", "before any reading"].map(str::to_string));
    for (i, class) in found.classes.iter().take(SHOWN).enumerate() {
        for (k, fit) in class.causes.iter().enumerate() {
            let rank = if k == 0 { format!("{}.", i + 1) } else { "   or".to_string() };
            ranks.row([
                rank,
                cause_says(fit.cause).to_string(),
                size_says(fit).map_or(String::new(), |says| says.render(out.units)),
                if k == 0 { chance(class.posterior) } else { String::new() },
                chance(fit.prior),
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
    let next = found.next.as_ref().map_or_else(
        || {
            "\nNo reading left would tell the likeliest causes apart: look where the first of them says.\n\n"
                .to_string()
        },
        |next| next_text(next, out),
    );
    let baseline = match found.baseline {
        true => "The baseline narrowed what is doubtful of the sound bin.",
        false => {
            "Without a baseline the plan's own doubts stand in the way; commission --baseline writes one of a sound bin."
        }
    };
    let demo = if bin.invented { " DEMO: invented equipment." } else { "" };
    format!(
        "{}bin {}, {}: likely causes.{demo}\n\n{}{}\nCauses under one number are not told apart by these readings. The chance before \
         any reading is our judgement of how common a cause is: no counts are published.\n\n{}\nDoubt is one standard \
         uncertainty, that of the sound bin included.\n{next}{baseline}\nA ranking is no finding: it says where to look first.\n",
        super::urgent(&found.urgent),
        bin.name,
        sentences::short_name(&bin.crop_name),
        fits(found),
        ranks.render(),
        compared.render(),
    )
}

/// Said first when no cause explains the readings: then the ranking below means little.
fn fits(found: &Diagnosis) -> String {
    let g = &found.goodness;
    if g.fits() {
        return String::new();
    }
    let without = g.without.map_or(
        "No single reading stands in the way: there may be two faults at once, or one that is not on the list.".to_string(),
        |(channel, _)| {
            format!(
                "Without \"{}\" one of them would fit: read that again first. If it comes out the same, there are two faults, or \
                 one that is not on the list.",
                channel_says(channel)
            )
        },
    );
    let times = if g.chance < 1e-4 { "fewer than 1 in 10,000".into() } else { format!("1 in {:.0}", 1.0 / g.chance) };
    format!(
        "NONE OF THESE FITS. Even the cause that fits best would give such readings {times} times. {without} The ranking below \
         says little until then.\n\n"
    )
}

/// What to read next, and what the likeliest causes foretell of it.
fn next_text(next: &Next, out: &Out) -> String {
    let told: Vec<String> = next
        .foretold
        .iter()
        .take(COMPARED + 1)
        .map(|f| match next.what {
            What::Read(channel) => format!(
                "  {}: {} ± {}",
                cause_says(f.cause),
                show(f.value, channel, out),
                show(f.standard, channel, out)
            ),
            What::Look(_) => format!("  {}: seen {:.0} times in 100", cause_says(f.cause), 100.0 * f.value),
        })
        .collect();
    format!(
        "\nNext: {}. It tells the likeliest causes apart best; each foretells:\n{}\n\n",
        next_says(next.what),
        told.join("\n")
    )
}

/// A chance, never as a certainty.
fn chance(share: f64) -> String {
    match share {
        s if s < 0.01 => "below 1 %".into(),
        s if s > 0.99 => "above 99 %".into(),
        s => format!("{:.0} %", 100.0 * s),
    }
}

fn show(value: f64, channel: Channel, out: &Out) -> String {
    match channel_kind(channel) {
        Kind::Number => format!("{value:.2}"),
        kind => out.show(value, kind),
    }
}
