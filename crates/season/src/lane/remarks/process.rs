//! Remarks of single processes: what was left out of them and what is dangerous about them.

use crate::operations::{HOT_GRAIN, Process, SPREAD_ALLOWED, SWELLING};
use crate::result::{SeasonResult, Step, StepKind};
use crate::spec::CaseSpec;
use notice::{Kind, Phrase, Quantity, Remark};
use physics::grain::wet_basis;

/// Beyond what a stage of warming wants from which it is spoken of, K (judgement).
const BEYOND: f64 = 1.0;

pub(super) fn remark(r: &mut SeasonResult, spec: &CaseSpec) {
    match r.process {
        Process::Drying => {}
        Process::Aeration => aeration(r),
        Process::Batches => batches(r),
        Process::Discharge => discharge(r, spec),
        Process::Conditioning => conditioning(r, spec),
    }
}

fn aeration(r: &mut SeasonResult) {
    r.remarks.add(Remark::new(
        "aeration",
        Phrase::new(
            "aeration moves temperature; moisture follows a little. Stand a fan that rests shut, or wind cools and wets the \
             floor. Stored grain may use up the oxygen of a bin and fill it with carbon dioxide: nobody enters alone, unroped, \
             without testing the air and locking out every machine",
        ),
    ));
    let beyond = |step: &&Step| step.to.is_some_and(|to| step.temperature.1 > to + BEYOND);
    if let Some(step) = r.steps.iter().filter(|step| step.kind == StepKind::Warmed).find(beyond) {
        r.remarks.add(Remark::new(
            "warmed-on",
            Phrase::new(
                "the stage that warms the grain wanted {wanted} and ended at {end}: the fan stops once the mean is there and no layer lags \
                 far, what lags is warmed with air warmer than the mean, and walls and sun go on without a fan. Grain is warmed in spring so that \
                 nothing condenses on it, and no further than that (common practice, no source): a stage that is some degrees beyond is \
                 no fault, a fan that runs on in warm air is",
            )
            .with("wanted", Quantity::new(step.to.unwrap_or_default(), Kind::Temperature))
            .with("end", Quantity::new(step.temperature.1, Kind::Temperature)),
        ));
    }
}

fn batches(r: &mut SeasonResult) {
    let batches = || r.steps.iter().filter(|step| step.kind == StepKind::Batch);
    let spread = batches().map(|b| wet_basis(b.extremes.0) - wet_basis(b.extremes.1)).fold(0.0, f64::max);
    let count = batches().count();
    r.remarks.add(Remark::new(
        "batches",
        Phrase::new(
            "{count} batches came dry; each is counted as coming when the bin is empty, as wet as the lot was said to be, and as \
             mixed wholly while it is unloaded. Heated air over grain and chaff is a fire waiting for a spark: somebody stays with \
             it, with the burner's limits tested; grain that flows buries whoever stands on it",
        )
        .text("count", count.to_string()),
    ));
    if spread > SPREAD_ALLOWED {
        r.remarks.add(Remark::new(
            "batch-spread",
            Phrase::new(
                "wettest and driest tenth of a batch lay {spread} of moisture apart when it was dry on the mean; extension \
                 advice keeps them within {allowed}, by less depth, less heat or stirring",
            )
            .with("spread", Quantity::new(spread, Kind::Fraction))
            .with("allowed", Quantity::new(SPREAD_ALLOWED, Kind::Fraction)),
        ));
    }
    if r.refused > 0.0 {
        r.remarks.add(Remark::new(
            "batches-refused",
            Phrase::new("{mass} of dry matter had not been taken in when the day of the goal came")
                .with("mass", Quantity::new(r.refused, Kind::Mass)),
        ));
    }
}

fn discharge(r: &mut SeasonResult, spec: &CaseSpec) {
    let tempers = spec.operations.discharge.is_some_and(|d| d.tempering > 0);
    let says = if tempers {
        "kernels from the dryer are taken as even inside; what condenses on roof and wall while hot grain rests, and runs back \
         into the grain there, is not counted: extension advice tempers in a bin of its own and moves the grain on. Hot grain is \
         watched for fire, and a bin of it not entered"
    } else {
        "kernels from the dryer are taken as even inside; what condenses under the roof while hot grain is cooled is not \
         counted. Hot grain is watched for fire, and a bin of it not entered"
    };
    r.remarks.add(Remark::new("discharge", Phrase::new(says)));
    r.remarks.add(Remark::new(
        "hot-life",
        Phrase::new(
            "no published storage time covers hot grain: above {hot} it is counted as spent at the pace of {hot} (judgement: \
             moulds grow fastest near 27 °C and die above 50 °C)",
        )
        .with("hot", Quantity::new(HOT_GRAIN, Kind::Temperature)),
    ));
}

fn conditioning(r: &mut SeasonResult, spec: &CaseSpec) {
    let most = spec.operations.conditioning.map_or(f64::INFINITY, |limit| limit.most);
    let begun = r.steps.iter().find(|s| s.kind == StepKind::Conditioned).map(|s| s.moisture.0);
    let gained = begun.map_or(0.0, |from| wet_basis(r.wettest_at_stop) - wet_basis(from)).max(0.0);
    r.remarks.add(Remark::new(
        "swelling",
        Phrase::new(
            "the wettest tenth took up {gained} of moisture: such grain swells by {swelling} of its volume where it lies (computed, with a \
             density of kernels from memory) and presses on the wall. Wetted grain that cannot move has split bins: draw from the \
             middle while it is wetted, by the maker's leave, and never add liquid water",
        )
        .with("gained", Quantity::new(gained, Kind::Fraction))
        .with("swelling", Quantity::new(SWELLING * gained, Kind::Fraction)),
    ));
    if r.wettest_at_stop > most {
        r.remarks.add(Remark::new(
            "wetted-enough",
            Phrase::new("wetting was ended because the wettest tenth had come to {wettest}, whatever the mean was")
                .with("wettest", Quantity::new(wet_basis(r.wettest_at_stop), Kind::MoistureWetBasis)),
        ));
    }
}
