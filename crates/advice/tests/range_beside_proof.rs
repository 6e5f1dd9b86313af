//! What the model range calls "as chosen" is what the proof says.

use advice::proof::LADDER;
use advice::{Accuracy, ProofInput, model_range, prove};
use ensemble::{Engine, Observer, Priority, Silent};
use season::Record;
use std::sync::Arc;

const DEMO: &str = include_str!("../../job/data/demo.toml");

#[test]
fn as_chosen_is_what_was_proven() {
    // Loads of unlike moisture, wet enough that a grid which mixes them calls years good that are not.
    let text = DEMO.replace("moisture = \"20 %\"", "moisture = \"22 %\"");
    assert_ne!(text, DEMO);
    let job = job::open(&text, "demo.toml", &job::BuiltIn::new()).unwrap_or_else(|e| panic!("{e}"));
    let (bin, engine) = (&job.bins[0], Engine::on_all_processors());
    let input = ProofInput::of(bin, job.chance);
    let observer: Arc<dyn Observer> = Arc::new(Silent);
    let proof = prove(&engine, &input, Accuracy::Verdict, Record::Summary, Priority::Ordinary, &observer);
    let range = model_range(&engine, &input, &bin.uncertainty, &observer);
    // Only years that climbed beyond the second rung of a verdict may fall otherwise on the first.
    let climbed = proof.years.iter().filter(|y| y.layers > LADDER[2]).count();
    let (good, as_chosen) = (proof.met + proof.held, range.base.met + range.base.held);
    assert!(good.abs_diff(as_chosen) <= climbed, "{as_chosen} as chosen, {good} proven, {climbed} climbed");
    assert!(climbed < proof.years.len() / 4, "{climbed} climbed");
}
