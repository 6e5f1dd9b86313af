//! `lookup grain`: density, heat capacity, conductivity and latent heat.

use super::{Answer, common};
use crate::{args::GrainLookup, exit::Failure, output::Out, quantities::Reader, table::Table};
use contract::lookup::{Grain, PropertySource};
use crops::{Crop, MoistureLine};
use notice::{Kind, Phrase, Remark, Remarks};

/// Answers the question.
pub fn answer(args: &GrainLookup) -> Result<Answer<Grain>, Failure> {
    let mut reader = Reader::default();
    let moisture_wb = common::moisture(&mut reader, "moisture", &args.moisture);
    let temperature_c = common::temperature(&mut reader, "temperature", &args.temperature);
    reader.done()?;

    let mut remarks = Remarks::default();
    let crop = common::crop(&args.crop, &mut remarks)?;
    let mut sources = Vec::new();
    let mut line = |what: &str, lines: &[MoistureLine], remarks: &mut Remarks| {
        let line = lines.first()?;
        let source = &line.evidence.source;
        common::inside(remarks, "moisture", moisture_wb, Kind::MoistureWetBasis, line.range_wb(), &line.id, source);
        if let Some(from) = &line.evidence.lent_from {
            let says = Phrase::new("{what} is that of {from}").text("what", what).text("from", from);
            remarks.add(Remark::new("crop-row-borrowed", says));
        }
        sources.push(PropertySource {
            property: what.into(),
            relation: line.id.clone(),
            source: source.citation.clone(),
            source_status: source.status,
        });
        Some(line.at(moisture_wb))
    };
    let mut bulk = line("bulk density", &crop.bulk_density, &mut remarks);
    let specific_heat = line("specific heat", &crop.specific_heat, &mut remarks);
    let conductivity = line("conductivity", &crop.conductivity, &mut remarks);
    let mut kernel = line("kernel density", &crop.kernel_density, &mut remarks);

    if bulk.is_none()
        && let Some(bushel) = &crop.bushel
    {
        bulk = Some(bushel.density());
        remarks.add(Remark::new(
            "density-of-bushel",
            Phrase::new("no line of bulk density is recorded: that of the legal bushel is given at every moisture"),
        ));
    }
    if kernel.is_none()
        && let Some(typical) = &crop.typical_kernel_density
    {
        kernel = Some(0.5 * (typical.range.low + typical.range.high));
        let says = Phrase::new("kernel density is the middle of a typical range, {low} to {high}")
            .text("low", format!("{:.0} kg/m³", typical.range.low))
            .text("high", format!("{:.0} kg/m³", typical.range.high));
        remarks.add(Remark::new("typical-range", says).from_source(typical.evidence.source.clone()));
    }
    let porosity = porosity(&crop, bulk, kernel, &mut remarks);
    let latent = crop.latent_heat(moisture_wb, temperature_c);
    let bushel = crop.bushel.as_ref();
    if let Some(bushel) = bushel {
        sources.push(PropertySource {
            property: "bushel".into(),
            relation: "legal or customary weight".into(),
            source: bushel.evidence.source.citation.clone(),
            source_status: bushel.evidence.source.status,
        });
    }
    let result = Grain {
        crop: crop.id.clone(),
        moisture_wb,
        temperature_c,
        bulk_density_kg_m3: bulk,
        specific_heat_j_kg_k: specific_heat,
        conductivity_w_m_k: conductivity,
        kernel_density_kg_m3: kernel,
        porosity,
        latent_heat_j_kg: latent,
        bushel_kg: bushel.map(|b| b.mass),
        sources,
    };
    for (what, value) in [
        ("bulk density", result.bulk_density_kg_m3),
        ("specific heat", result.specific_heat_j_kg_k),
        ("conductivity", result.conductivity_w_m_k),
        ("kernel density", result.kernel_density_kg_m3),
        ("latent heat", result.latent_heat_j_kg),
        ("bushel", result.bushel_kg),
    ] {
        if value.is_none() {
            let says = Phrase::new("no {what} is recorded for {crop}").text("what", what).text("crop", &crop.id);
            remarks.add(Remark::new("not-recorded", says));
        }
    }
    Ok(Answer { result, remarks })
}

/// Share of air from the two densities, else the middle of a typical range.
fn porosity(crop: &Crop, bulk: Option<f64>, kernel: Option<f64>, remarks: &mut Remarks) -> Option<f64> {
    if let (Some(bulk), Some(kernel)) = (bulk, kernel)
        && bulk < kernel
    {
        return Some(physics::grain::porosity(bulk, kernel));
    }
    let typical = crop.typical_porosity.as_ref()?;
    let says = Phrase::new("porosity is the middle of a typical range, {low} to {high}")
        .text("low", format!("{:.2}", typical.range.low))
        .text("high", format!("{:.2}", typical.range.high));
    remarks.add(Remark::new("typical-range", says).from_source(typical.evidence.source.clone()));
    Some(0.5 * (typical.range.low + typical.range.high))
}

/// The answer as text.
pub fn view(answer: &Grain, out: &Out) -> String {
    let show = |value: Option<f64>, kind: Kind| value.map_or("not recorded".into(), |v| out.show(v, kind));
    let mut table = Table::facts();
    table.row(["crop", &answer.crop]);
    table.row(["moisture", &out.show(answer.moisture_wb, Kind::MoistureWetBasis)]);
    table.row(["temperature", &out.show(answer.temperature_c, Kind::Temperature)]);
    table.row(["bulk density, loose", &show(answer.bulk_density_kg_m3, Kind::BulkDensity)]);
    // A kernel is a thousand times denser than the air that the usual decimals of a density are meant for.
    let kernel = answer.kernel_density_kg_m3.map(|d| match out.units {
        notice::UnitSystem::Si => format!("{d:.0} kg/m³"),
        notice::UnitSystem::Us => format!("{:.1} lb/ft³", d * 0.3048f64.powi(3) / notice::quantity::POUND_KG),
    });
    table.row(["kernel density", &kernel.unwrap_or("not recorded".into())]);
    table.row(["porosity", &answer.porosity.map_or("not recorded".into(), |p| format!("{:.1} %", 100.0 * p))]);
    table.row(["specific heat", &show(answer.specific_heat_j_kg_k, Kind::SpecificHeat)]);
    let conductivity = answer.conductivity_w_m_k.map(|k| match out.units {
        notice::UnitSystem::Si => format!("{k:.3} W/(m·K)"),
        // 1 Btu/(h·ft·°F) = 1.730735 W/(m·K): IT Btu, exact foot.
        notice::UnitSystem::Us => format!("{:.4} Btu/(h·ft·°F)", k / 1.730_734_666),
    });
    table.row(["conductivity", &conductivity.unwrap_or("not recorded".into())]);
    table.row(["latent heat", &show(answer.latent_heat_j_kg, Kind::SpecificEnthalpy)]);
    table.row(["legal bushel", &show_bushel(answer.bushel_kg, out.units)]);
    let mut text = table.render();
    let mut sources = Table::facts();
    for s in &answer.sources {
        sources.row([s.property.as_str(), s.source.as_str(), common::status(s.source_status)]);
    }
    text.push_str("\nsources\n");
    text.push_str(&sources.render());
    text
}

fn show_bushel(mass: Option<f64>, units: notice::UnitSystem) -> String {
    match (mass, units) {
        (None, _) => "not recorded".into(),
        (Some(kg), notice::UnitSystem::Si) => format!("{kg:.2} kg"),
        (Some(kg), notice::UnitSystem::Us) => format!("{:.0} lb", kg / notice::quantity::POUND_KG),
    }
}
