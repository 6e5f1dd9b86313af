//! The fuel train sheet as text.

use crate::{output::Out, table::Table};
use advice::heat::train::{Condition, Tanks, Train};
use contract::heat::material_word;
use equipment::fuel_train::{Duty, Element};
use job::facts::{LinePiece, SupplyFacts};
use job::{Job, clock};
use notice::Kind;

/// The sheet, the line at full fire, the burners at its end, the tanks through the season.
pub fn text(job: &Job, train: &Train, out: &Out) -> String {
    let share = |watts: f64| format!("{:.0} %", 100.0 * watts / train.full);
    let mut text = format!(
        "Fuel train sheet: {}, all burners at full fire ({} on the invoice), {} outside ({} of the hours are no colder)\n{}\
         The train sustains {} of full fire. An estimate: a licensed gas fitter and the local code decide.\n\n{}",
        train.gas.name,
        out.about(train.full, Kind::HeatRate, 3),
        out.show(train.cold, Kind::Temperature),
        out.show(train.share, Kind::Fraction),
        sheet(train, out),
        share(train.sustained),
        line(train, out)
    );
    text.push('\n');
    text.push_str(&burners(train, out));
    if let Some(tanks) = &train.tanks {
        text.push('\n');
        text.push_str(&of_tanks(job, tanks, out));
    }
    text
}

fn verdict(met: bool) -> String {
    if met { "enough" } else { "SHORT" }.into()
}

fn sheet(train: &Train, out: &Out) -> String {
    let mut table = Table::numbers(&["element", "needed", "there", "verdict", "smallest steel pipe"]);
    // Heats to three figures: more is not known.
    let amount = |value: f64, kind: Kind| match kind {
        Kind::HeatRate => out.about(value, kind, 3),
        _ => out.show(value, kind),
    };
    for element in &train.elements {
        let smallest = match element.duty {
            Duty::Pipe(number) => train.smallest.iter().find(|(n, _)| *n == number).map(|(_, pipe)| match pipe {
                Some(size) => format!("{size} in."),
                None => "none to 4 in.".to_string(),
            }),
            _ => None,
        };
        table.row([
            name(train, element, out),
            amount(element.need, element.kind),
            amount(element.have, element.kind),
            verdict(element.met()),
            smallest.unwrap_or_default(),
        ]);
    }
    table.render()
}

fn name(train: &Train, element: &Element, out: &Out) -> String {
    match element.duty {
        Duty::Supply => match train.facts.supply {
            SupplyFacts::Vapor(tanks) => format!(
                "vapor of {} tank{} at {} full",
                tanks.count,
                if tanks.count == 1 { "" } else { "s" },
                out.show(tanks.lowest_fill, Kind::Fraction)
            ),
            SupplyFacts::Liquid(..) => "heat of the vaporizer, a quarter over the load".into(),
            SupplyFacts::Main(_) => "meter".into(),
        },
        Duty::SupplyPressure => match train.facts.supply {
            SupplyFacts::Vapor(_) => "pressure of the tank at rest".into(),
            SupplyFacts::Liquid(..) => "pressure of the vaporizer".into(),
            SupplyFacts::Main(_) => "pressure of the main".into(),
        },
        Duty::Regulator(number) => format!("inlet of regulator {number}"),
        Duty::Pipe(0) => "pipe from the meter".into(),
        Duty::Pipe(number) => format!("pipe behind regulator {number}"),
        Duty::BurnerPressure => "pressure at the burner".into(),
        Duty::Orifice => "orifice".into(),
    }
}

/// A tube by its nominal size or its bore.
fn pipe(piece: &LinePiece, out: &Out) -> String {
    match &piece.nominal {
        Some(size) => format!("{size} in. {}", material_word(piece.material)),
        None => format!("{} {}", out.show(piece.inside, Kind::Bore), material_word(piece.material)),
    }
}

fn line(train: &Train, out: &Out) -> String {
    let mut table = Table::numbers(&["line at full fire", "regulator set", "length", "at its head", "at its end"]);
    for (piece, (from, to)) in train.facts.line.iter().zip(&train.pressures) {
        table.row([
            pipe(piece, out),
            piece.regulator.map_or("goes on".into(), |set| out.show(set, Kind::GasPressure)),
            out.show(piece.length, Kind::Length),
            out.show(*from, Kind::GasPressure),
            out.show(*to, Kind::GasPressure),
        ]);
    }
    table.render()
}

fn burners(train: &Train, out: &Out) -> String {
    let mut table = Table::numbers(&["burners", "full fire of one", "pressure", "orifice", "passes", "would fit"]);
    for b in &train.burners {
        let count = if b.burners == 1 { String::new() } else { format!(", {} burners", b.burners) };
        table.row([
            format!("bin {}{count}", b.bin),
            out.about(b.full / b.burners as f64, Kind::HeatRate, 3),
            out.show(b.pressure, Kind::GasPressure),
            b.orifice.map_or("not said".into(), |d| out.show(d, Kind::Bore)),
            b.passes.map_or(String::new(), |heat| out.about(heat, Kind::HeatRate, 3)),
            out.show(b.fitting, Kind::Bore),
        ]);
    }
    table.render()
}

fn of_tanks(job: &Job, tanks: &Tanks, out: &Out) -> String {
    let facts = &tanks.facts;
    let rate = out.unit(Kind::HeatRate);
    let fills = [facts.lowest_fill, facts.filled_to].map(|fill| format!("{} full", out.show(fill, Kind::Fraction)));
    let mut table = Table::measured(&[
        ("tanks", ""),
        ("outside", out.unit(Kind::Temperature)),
        ("wanted", rate),
        (&fills[0], rate),
        (&fills[1], rate),
        ("trade's rule", rate),
        ("tanks needed", ""),
        ("lasts", "h"),
        ("verdict", ""),
    ]);
    for row in &tanks.rows {
        let when = match row.condition {
            Condition::ColdHours => "cold hours, full fire".to_string(),
            Condition::ColdestWeek(hour) => {
                format!("week from {}, its mean", clock::date(hour, job.place.utc_offset))
            }
            Condition::Mean => "mean of all hours".to_string(),
        };
        table.row([
            when,
            out.number(row.air, Kind::Temperature),
            out.about_number(row.need, Kind::HeatRate, 3),
            out.about_number(row.lowest, Kind::HeatRate, 3),
            out.about_number(row.filled, Kind::HeatRate, 3),
            out.about_number(row.customary, Kind::HeatRate, 3),
            row.tanks.map_or("none boils".into(), |count| count.to_string()),
            if row.draw_time.is_finite() { out.number(row.draw_time, Kind::Hours) } else { "on".into() },
            if tanks.vapour { verdict(row.met()) } else { "liquid drawn".into() },
        ]);
    }
    let stock = &tanks.stock;
    let volume = |v: f64| out.show(v, Kind::LiquidVolume);
    format!(
        "Tanks: {} of {}, each {} by {}; the line needs {}, which liquid gives down to {}\n{}\
         Lasts: how long the wanted draw goes on from rest at the lowest fill; on: without end.\n\
         A filling gives {} of liquid: it lasts {} in the coldest week, {} on the mean; what is left at the lowest fill lasts\n\
         {} in the coldest week, a delivery takes {:.0} days. Firing in every hour to the goal or to winter\n\
         takes {} on the mean of the years, {} at most: {:.0} to {:.0} fillings; grain that is dry before takes less (prove).\n\
         A vaporizer for full fire in the cold hours would need {} of heat, a quarter over the load.\n",
        facts.count,
        volume(facts.capacity),
        out.show(facts.diameter, Kind::Length),
        out.show(facts.length, Kind::Length),
        out.show(tanks.pressure, Kind::GasPressure),
        out.show(tanks.liquid, Kind::Temperature),
        table.render(),
        volume(stock.usable),
        lasts(stock.days_coldest),
        lasts(stock.days_mean),
        lasts(stock.left_days),
        facts.delivery / 86_400.0,
        volume(stock.season),
        volume(stock.most),
        (stock.season / stock.usable).ceil(),
        (stock.most / stock.usable).ceil(),
        out.about(tanks.vaporizer, Kind::HeatRate, 3),
    )
}

/// How long liquid lasts, in words.
fn lasts(days: Option<f64>) -> String {
    days.map_or("no time that ends".into(), |days| format!("{days:.1} days"))
}
