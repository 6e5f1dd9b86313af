//! What a case takes from the crop or leaves out without being told, said beside the result.

use super::plain::Plain;
use crops::Crop;
use notice::{Kind, Phrase, Quantity, Remark, Remarks};
use season::column::{ColumnCase, Exchange};

/// Says it, and takes out of the case what its exchange cannot do.
pub fn say(crop: &Crop, plain: &Plain, case: &mut ColumnCase, remarks: &mut Remarks) {
    if case.adsorption_gap > 0.0 {
        let offset = &crop.adsorption_offset_wb;
        let says = Phrase::new("grain takes up water along a branch {gap} below the one along which it dries")
            .with("gap", Quantity::new(offset.value.value, Kind::MoistureWetBasis));
        remarks.add(Remark::new("adsorption-gap", says).from_source(offset.evidence.source.clone()));
    }
    if case.shrink > 0.0 {
        let says = Phrase::new("depth shrinks by {share} for each point of moisture lost")
            .text("share", format!("{:.1} %", case.shrink));
        let source = crop.shrink_per_point.evidence.source.clone();
        remarks.add(Remark::new("bed-shrinks", says).from_source(source));
    }
    if case.strict.is_empty() {
        let says = Phrase::new("storage of {crop} is not judged: no relation is recorded").text("crop", &crop.id);
        remarks.add(Remark::new("crop-storage-not-judged", says));
    }
    let Exchange::Literal { law, .. } = case.exchange else { return };
    if !case.exchange.is_literal() {
        return;
    }
    let says = if case.rewetting > 0.0 {
        "{law} describes drying alone: rewetting decays at the given share of the rate at which the law dries to 1/e"
    } else {
        "{law} describes drying alone: grain at or below equilibrium keeps its moisture until vapour condenses on it"
    };
    remarks.add(Remark::new("law-without-rewetting", Phrase::new(says).text("law", law.id())));
    if case.respiration.take().is_some() {
        let mut says = "respiration is left out under a literal law";
        if plain.respiration == Some(true) {
            says = "respiration was asked for and is left out: a literal law knows none";
        }
        remarks.add(Remark::new("no-respiration", Phrase::new(says)));
    }
}
