//! How the grain of a case exchanges water with its air: the crop's own kernel, a law by its id, or equilibrium.

use super::text::Fields;
use crops::{Crop, Production};
use notice::{Kind, Phrase, Quantity, Range, Remark, Remarks};
use physics::thin_layer::ThinLayer;
use season::column::Exchange;
use sheet::{Node, Sheet};

/// The exchange of a case.
pub struct Chosen {
    /// The exchange.
    pub exchange: Exchange,
    /// Its name.
    pub name: String,
    /// Whether the file names it.
    pub named: bool,
    /// Temperatures that it rests on, °C.
    pub temperature: Option<Range>,
}

/// Reads it; none when something was wrong, which is noted. `velocity` is that of the inlet air at hour 0, m/s.
pub fn read(
    sheet: &Sheet<'_>,
    top: &Node<'_, '_>,
    crop: Option<&Crop>,
    velocity: Option<f64>,
    remarks: &mut Remarks,
) -> Option<Chosen> {
    let stated = top.quantity_in("kinetics_velocity", Kind::Velocity, Range::new(0.0, 10.0));
    match top.text("kinetics").as_deref() {
        Some("equilibrium") => {
            let name = "equilibrium".into();
            Some(Chosen { exchange: Exchange::Equilibrium, name, named: true, temperature: None })
        }
        Some(id) => literal(top, id, crop, stated, velocity, remarks),
        None if top.has("kinetics") => None,
        None => own(sheet, top, crop?, remarks),
    }
}

fn literal(
    top: &Node<'_, '_>,
    id: &str,
    crop: Option<&Crop>,
    stated: Option<f64>,
    inlet: Option<f64>,
    remarks: &mut Remarks,
) -> Option<Chosen> {
    let Some(law) = ThinLayer::from_id(id) else {
        let ids: Vec<&str> = ThinLayer::ALL.iter().map(|law| law.id()).collect();
        let allowed = format!("must be \"equilibrium\" or one of {}", ids.join(", "));
        top.fault("kinetics", "unknown-law", format!("unknown thin-layer law \"{id}\""), allowed);
        return None;
    };
    let velocity = match (law.range().velocity, stated) {
        (None, _) => 0.0,
        (Some(_), Some(stated)) => stated,
        (Some(_), None) => {
            let inlet = inlet?;
            let says = Phrase::new("{law} is asked for the velocity of the inlet air, {velocity}")
                .text("law", law.id())
                .with("velocity", Quantity::new(inlet, Kind::Velocity));
            remarks.add(Remark::new("law-at-inlet-velocity", says));
            inlet
        }
    };
    if let Some(crop) = crop.filter(|crop| !crop.kinetics.iter().flat_map(|k| &k.laws).any(|own| *own == law)) {
        let says = Phrase::new("{law} is no law of {crop}: taken literally all the same");
        remarks.add(Remark::new("law-of-another-crop", says.text("law", law.id()).text("crop", &crop.id)));
    }
    let temperature = Some(law.range().temperature);
    Some(Chosen { exchange: Exchange::Literal { law, velocity }, name: law.id().into(), named: true, temperature })
}

fn own(sheet: &Sheet<'_>, top: &Node<'_, '_>, crop: &Crop, remarks: &mut Remarks) -> Option<Chosen> {
    let kinetics = crop.kinetics().map_err(|e| sheet.add(e.diagnostic(top.place("crop")))).ok()?;
    let fit = match &kinetics.production {
        Production::Fitted(fit) => fit,
        Production::Bounds { slow, .. } => {
            let says = Phrase::new("no drying law of {crop} is recorded: run with the slower bound, {slow}");
            let says = says.text("crop", &crop.id).text("slow", &slow.id);
            remarks.add(Remark::new("crop-kinetics-bounded", says).from_source(slow.evidence.source.clone()));
            slow
        }
    };
    Some(Chosen {
        exchange: Exchange::Kernel(fit.constants),
        name: format!("two-compartment-{}", fit.id),
        named: false,
        temperature: Some(fit.temperature),
    })
}
