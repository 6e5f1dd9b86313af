//! A tuned control: the best of what was tried on the years that found it, and scored on others.

use advice::tune::{PARTS, says, tune};
use ensemble::{Engine, Observer, Silent};
use job::{Base, BuiltIn, Records, change::apply};
use std::sync::Arc;

#[test]
fn the_found_rule_is_the_cheapest_at_the_wanted_risk_and_is_scored_on_years_that_did_not_find_it() {
    let demo = include_str!("../../job/data/demo.toml");
    let base = Base::open(&Records::default(), demo, "demo.toml", &BuiltIn::new()).unwrap_or_else(|e| panic!("{e}"));
    let observer: Arc<dyn Observer> = Arc::new(Silent);
    let tuning = tune(&Engine::new(2), (&base, 0), &BuiltIn::new(), &observer).unwrap_or_else(|e| panic!("{e:?}"));
    assert!(!tuning.partial && tuning.halves.len() == PARTS);
    let found = &tuning.tried[tuning.found.expect("a rule")];
    assert!(found.rule.thresholds <= 3, "few enough for a panel");
    let allowed = ((1.0 - tuning.wanted) * tuning.years.len() as f64).floor() as usize;
    let least = tuning.tried.iter().map(|tried| tried.score.failures()).min().unwrap();
    for tried in &tuning.tried {
        if tried.score.failures() <= allowed.max(least) {
            assert!(found.score.cost() <= tried.score.cost(), "{}", tried.text);
        }
    }
    // By hand: each year with the rule that the other half found, with other sensors.
    let mut failed = 0;
    for year in 0..tuning.years.len() {
        let score = tuning.tried[tuning.halves[year % PARTS]].unseen.as_ref().expect("scored");
        failed += usize::from(score.years[year].as_ref().expect("run").failed());
    }
    assert_eq!(tuning.unseen_failures, failed);
    assert_eq!(tuning.against.len(), tuning.tried.iter().filter(|tried| tried.rule.usual.is_some()).count());
    // Drying without a sensor does not hang on one; cooling still does, a little.
    let continuous = &tuning.tried[0];
    assert_eq!(continuous.rule.usual, Some("continuous"));
    let other = continuous.unseen.as_ref().expect("scored");
    assert!(
        (other.cost() / continuous.score.cost() - 1.0).abs() < 0.02,
        "{} {}",
        other.cost(),
        continuous.score.cost()
    );
    assert_eq!(other.failures(), continuous.score.failures());
    // What is given can be set: the site with it resolves.
    let text = apply(demo, &tuning.changes().expect("changes")).unwrap_or_else(|e| panic!("{e}"));
    assert!(job::open(&text, "demo.toml", &BuiltIn::new()).is_ok(), "{text}");
    let headline = says::headline(&tuning).render(notice::UnitSystem::Us);
    assert!(!headline.contains('{'), "every blank is filled: {headline}");
}
