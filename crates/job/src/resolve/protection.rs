//! The limit of the air by what the grain is for.

use super::Site;
use crate::facts::BinFacts;
use crops::Crop;
use notice::{Diagnostic, Diagnostics, Kind, Phrase, Quantity, Remark, Remarks};
use season::Protection;

impl Site<'_> {
    /// The limit of a bin, which says in a remark where it comes from; `None` where a use is said for which the crop has no
    /// limit: that is noted.
    pub(super) fn protection(
        &self,
        bin: &BinFacts,
        crop: &Crop,
        remarks: &mut Remarks,
        wrong: &mut Diagnostics,
    ) -> Option<Option<Protection>> {
        let Some(purpose) = bin.process.purpose else { return Some(None) };
        let Some(limit) = crop.air_limits.iter().find(|limit| limit.purpose == purpose) else {
            let known: Vec<&str> = crop.air_limits.iter().map(|limit| limit.purpose.as_str()).collect();
            let known = if known.is_empty() { "none".to_string() } else { known.join(", ") };
            wrong.add(
                Diagnostic::error(
                    "no-temperature-limit",
                    format!("{} for {purpose}", crop.name),
                    self.at(format!("bins.{}.use", bin.name)),
                )
                .allowed(format!("limits of the drying air are recorded for this crop for: {known}"))
                .help("leave use out: nothing is then judged by it"),
            );
            return None;
        };
        let air = limit.temperature;
        remarks.add(
            Remark::new(
                "temperature-limit",
                Phrase::new(
                    "{purpose}: air of at most {limit} may enter the grain; the published limit is one of the air, whatever the \
                     moisture ({note})",
                )
                .text("purpose", purpose)
                .with("limit", Quantity::new(air, Kind::Temperature))
                .text("note", limit.evidence.note.clone().unwrap_or_default()),
            )
            .from_source(limit.evidence.source.clone()),
        );
        Some(Some(Protection { air }))
    }
}
