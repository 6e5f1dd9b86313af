//! The weighing against plain enumeration, on any number of threads.

use advice::weigh::race::{Contender, dominated, race};
use advice::weigh::score::{Score, YearScore};
use advice::weigh::{Answer, Asking, Field, Reason, Rules, Standing, says, weigh};
use advice::{Accuracy, proof::on_rung};
use ensemble::{Batch, Engine, Observer, Priority, Silent};
use job::{Base, BuiltIn, Records};
use season::Record;
use std::sync::Arc;

const PRICES: &str = r#"
grain = "4.10 $/bu"
demand = "6 $/kW"
ownership = { interest = "6 %", years = 20, taxes = "1 %", repairs = "3 %" }
equipment = { demo-axial-1hp = "900 $", demo-axial-10hp = "4300 $", demo-inline-7hp = "3900 $", demo-centrifugal-10hp = "5200 $" }

[goal.remedy]
kind = "custom-drying"
charge_per_point = "0.05 $/bu"
spoiled = "2.00 $/bu"

[bins.north.choose]
fans = ["demo-axial-1hp", "demo-axial-10hp", "demo-inline-7hp", "demo-centrifugal-10hp"]
most_fans = 2
"#;

fn base(more: &str) -> Base {
    let demo = include_str!("../../job/data/demo.toml");
    let text =
        demo.replace("electricity = \"0.12 $/kWh\"\n", &format!("electricity = \"0.12 $/kWh\"\n{PRICES}{more}\n"));
    Base::open(&Records::default(), &text, "demo.toml", &BuiltIn::new()).unwrap_or_else(|e| panic!("{e}"))
}

fn silent() -> Arc<dyn Observer> {
    Arc::new(Silent)
}

fn weighed(base: &Base, threads: usize, rules: Rules) -> (Field, Answer) {
    let field = Field::of(base, 0, &BuiltIn::new()).unwrap_or_else(|e| panic!("{e}"));
    let answer = weigh(&Engine::new(threads), base.job(), &field, &Asking::quietly(rules, &silent()));
    (field, answer)
}

#[test]
fn the_exact_race_has_the_front_of_running_everything() {
    let base = base("");
    let (field, exact) = weighed(&base, 2, Rules::Certain);
    // Everything that was not excluded, over all years, without any race.
    let ledger = Arc::new(advice::money::Ledger::of(
        &base.job().bins[0],
        base.job().prices.as_ref().unwrap(),
        base.job().remedy.as_ref(),
    ));
    let engine = Engine::new(2);
    let scores: Vec<Score> = exact
        .outfits
        .iter()
        .map(|shown| {
            let candidate = &field.candidates[shown.candidate];
            let years = field.years(candidate);
            let cases: Vec<_> =
                years.iter().map(|(_, case)| Arc::new(on_rung(case, Accuracy::Verdict.first_rung()))).collect();
            let outcome = engine.run(Batch {
                cases: cases.clone(),
                record: Record::Summary,
                priority: Priority::Ordinary,
                observer: silent(),
            });
            let scored = years.iter().zip(&cases).zip(&outcome.results).map(|(((year, _), case), result)| {
                Some(YearScore::of(*year, case, result.as_ref().unwrap(), Some(&ledger)))
            });
            Score {
                owning: ledger.owning(shown.first_cost.unwrap()),
                bought: true,
                measure: ledger.bushels().unwrap(),
                years: scored.collect(),
            }
        })
        .collect();
    let mut front: Vec<usize> = (0..scores.len())
        .filter(|&p| !scores[p].hopeless() && !scores.iter().any(|by| dominated(&scores[p], by)))
        .collect();
    front.sort_by(|&a, &b| scores[a].cost().total_cmp(&scores[b].cost()));
    assert_eq!(exact.front, front);
    for &place in &exact.front {
        assert!(exact.outfits[place].score.complete(), "every outfit on the front has run all years");
        assert_eq!(exact.outfits[place].score, scores[place]);
    }
    // An outfit that fell out early is dominated in the enumeration by the one that is named.
    for (place, shown) in exact.outfits.iter().enumerate() {
        if let Standing::Beaten(by) = &shown.standing {
            assert!(dominated(&scores[place], &scores[by.by]), "{}", shown.name);
        }
    }
    // The smallest fan falls out before anything is run, with its number.
    let smallest = exact.excluded.iter().find(|out| out.name.starts_with("demo-axial-1hp")).unwrap();
    assert!(matches!(smallest.reason, Reason::TooLittleAir(_) | Reason::Beyond | Reason::Stall(_)), "{smallest:?}");
    assert_eq!(exact.excluded.len() + exact.outfits.len(), exact.candidates);
}

#[test]
fn the_answer_does_not_hang_on_the_number_of_threads() {
    let base = base("");
    let one = weighed(&base, 1, Rules::Probable).1;
    let three = weighed(&base, 3, Rules::Probable).1;
    assert_eq!(one, three);
    assert!(one.chosen.is_some_and(|place| one.outfits[place].score.complete()));
    assert!(one.front.iter().all(|&place| one.outfits[place].score.complete()));
}

#[test]
fn the_place_excludes_with_its_numbers() {
    let supply = "supply = { phases = \"single\", volts = 230, amps = 45 }\nbudget = \"4000 $\"";
    let base = base(supply);
    let field = Field::of(&base, 0, &BuiltIn::new()).unwrap_or_else(|e| panic!("{e}"));
    let engine = Engine::new(2);
    let answer = weigh(&engine, base.job(), &field, &Asking::quietly(Rules::Probable, &silent()));
    let reason = |name: &str| {
        let found = answer.excluded.iter().find(|out| out.name.starts_with(name));
        found.map(|out| out.reason.clone()).unwrap_or_else(|| panic!("{name} is not excluded"))
    };
    // 10 hp on one phase of 230 V: 50 A by the table.
    assert_eq!(reason("demo-centrifugal-10hp, "), Reason::Amperes(50.0, 45.0));
    assert_eq!(reason("2 × demo-inline-7hp"), Reason::Amperes(80.0, 45.0));
    let left: Vec<&str> = answer.outfits.iter().map(|shown| shown.name.as_str()).collect();
    assert!(answer.outfits[0].present, "what stands there is run whatever is said against it: {left:?}");
}

/// What stands there is named once, also where its motors were fitted to a supply of one phase.
#[test]
fn what_stands_there_is_no_candidate_of_itself() {
    let demo = include_str!("../../job/data/demo.toml");
    let power = "[power]\nphases = \"single\"\nvolts = \"240 V\"\nservice = \"400 A\"\n\n[bins.north]\n";
    for text in [demo.to_string(), demo.replacen("[bins.north]\n", power, 1)] {
        let base =
            Base::open(&Records::default(), &text, "demo.toml", &BuiltIn::new()).unwrap_or_else(|e| panic!("{e}"));
        let field = Field::of(&base, 0, &BuiltIn::new()).unwrap_or_else(|e| panic!("{e}"));
        let key = |at: usize| {
            let candidate = &field.candidates[at];
            let fans: Vec<&str> = candidate.fans.iter().map(|fan| fan.id.as_str()).collect();
            (candidate.setting, fans, candidate.arrangement)
        };
        assert!(field.candidates[0].present);
        let same = (1..field.candidates.len()).filter(|at| key(*at) == key(0)).count();
        assert_eq!(same, 0, "{text}");
    }
}

#[test]
fn a_race_without_years_or_contenders_ends() {
    let engine = Engine::new(1);
    let nobody: [Contender; 0] = [];
    let race = race(&engine, &nobody, 0, Rules::Probable, (&silent(), &|_| {}));
    assert!(race.scores.is_empty() && !race.partial);
}

/// A field larger than what may run exactly: a surface chooses who runs, and the choice is that of running everything.
#[test]
fn a_surface_chooses_who_runs_and_says_how_far_it_lies() {
    let base = base("");
    let (field, whole) = weighed(&base, 2, Rules::Probable);
    let most = whole.outfits.len() - 2;
    let engine = Engine::new(2);
    let observer = silent();
    let read = weigh(&engine, base.job(), &field, &Asking { most, ..Asking::quietly(Rules::Probable, &observer) });
    assert!(read.outfits.len() <= most && read.outfits.len() + read.not_run == whole.outfits.len());
    let name = |answer: &Answer| answer.chosen.map(|place| answer.outfits[place].name.clone());
    assert_eq!(name(&read), name(&whole));
    let check = read.surface.expect("it was needed");
    assert!(check.seasons > 0 && check.compared > 1);
    // Coarsest grid, a quarter of the years: it ranks, it does not prove.
    assert!(check.failures.0 < 0.25, "{check:?}");
    assert!(whole.surface.is_none());
}

/// Wetter grain never fails less, and dearer power never makes drying cheaper.
#[test]
fn what_matters_moves_the_way_it_must() {
    let base = base("");
    let (field, answer) = weighed(&base, 2, Rules::Probable);
    let shown = &answer.outfits[answer.chosen.expect("a choice")];
    let engine = Engine::new(2);
    let (effects, partial) =
        advice::weigh::matters::matters(&engine, (&base, 0), &BuiltIn::new(), (&field, shown), &silent());
    assert!(!partial);
    let of = |name: &str| effects.iter().find(|e| e.name == name).unwrap_or_else(|| panic!("{name} is missing"));
    assert!(of("grain 2 points wetter").failures >= of("grain 2 points drier").failures);
    let (cheap, dear) = (of("electricity × 0.7"), of("electricity × 1.3"));
    assert!(cheap.cost < cheap.cost_before && dear.cost > dear.cost_before);
    // The price of power is linear in the cost and moves no year.
    assert!((cheap.cost + dear.cost - 2.0 * dear.cost_before).abs() < 1e-9);
    assert_eq!(dear.failures, dear.failures_before);
    assert!(
        effects
            .windows(2)
            .all(|pair| { (pair[0].cost - pair[0].cost_before).abs() >= (pair[1].cost - pair[1].cost_before).abs() })
    );
}

fn changed(pairs: &[(&str, &str)], more: &str) -> Base {
    let demo = include_str!("../../job/data/demo.toml");
    let mut text =
        demo.replace("electricity = \"0.12 $/kWh\"\n", &format!("electricity = \"0.12 $/kWh\"\n{PRICES}{more}\n"));
    for (from, to) in pairs {
        assert!(text.contains(from), "{from}");
        text = text.replace(from, to);
    }
    Base::open(&Records::default(), &text, "demo.toml", &BuiltIn::new()).unwrap_or_else(|e| panic!("{e}"))
}

/// What stands there has no price where others have one: it runs, is marked, beats nobody on cost and is never called the cheapest.
#[test]
fn an_outfit_without_a_price_is_never_the_cheapest() {
    let base = changed(&[(", demo-centrifugal-10hp = \"5200 $\"", "")], "");
    let (_, answer) = weighed(&base, 2, Rules::Probable);
    let present = &answer.outfits[0];
    assert!(present.present && present.unpriced && present.first_cost.is_none(), "{}", present.name);
    let headline = says::headline(&answer).render(notice::UnitSystem::Us);
    assert!(answer.chosen != Some(0) || !headline.contains("cheapest"), "{headline}");
    for shown in &answer.outfits {
        if let Standing::Beaten(by) = &shown.standing {
            assert!(by.by != 0 || shown.unpriced, "{} is beaten by what has no price", shown.name);
        }
    }
    assert!(says::unpriced(&answer).is_some_and(|why| why.contains("prices.equipment")));
    // Without any price of equipment everything is marked, and nothing is called cheapest.
    let equipment = PRICES.lines().find(|line| line.starts_with("equipment")).unwrap();
    let fewer = "fans = [\"demo-centrifugal-10hp\", \"demo-axial-10hp\"]";
    let fans = PRICES.lines().find(|line| line.starts_with("fans")).unwrap();
    let (_, answer) = weighed(&changed(&[(equipment, ""), (fans, fewer)], ""), 2, Rules::Probable);
    assert!(answer.outfits.iter().all(|shown| shown.unpriced) && answer.chosen.is_some());
    let headline = says::headline(&answer).render(notice::UnitSystem::Us);
    assert!(!headline.contains("cheapest") && headline.contains("in what has a price"), "{headline}");
}

/// Two small fans for grain far too wet: each fails in every year, and that is no front.
#[test]
fn what_fails_in_every_year_is_no_choice() {
    let few = "fans = [\"demo-axial-1hp\", \"demo-axial-10hp\", \"demo-inline-7hp\", \"demo-centrifugal-10hp\"]";
    let base = changed(&[("moisture = \"20 %\"", "moisture = \"27 %\""), (few, "fans = [\"demo-axial-10hp\"]")], "");
    let (_, answer) = weighed(&base, 2, Rules::Probable);
    assert!(!answer.hopeless.is_empty());
    for &place in &answer.hopeless {
        let shown = &answer.outfits[place];
        assert!(shown.score.hopeless() && shown.standing == Standing::Hopeless && !answer.front.contains(&place));
        let why = says::why(&answer, place).render(notice::UnitSystem::Us);
        assert!(why.contains("every one of") && why.contains(" in "), "{why}");
    }
    if answer.front.is_empty() {
        assert_eq!(answer.chosen, None);
        assert!(says::headline(&answer).render(notice::UnitSystem::Us).contains("none is good enough"));
    }
}

/// The choice is the choice at the file's own moisture and price, and another one beyond the break.
#[test]
fn the_choice_changes_where_it_is_said_to() {
    use advice::weigh::breaks::{Axis, breaks};
    let base = base("");
    let (field, answer) = weighed(&base, 2, Rules::Probable);
    let found = breaks(&Engine::new(2), (&base, 0), &BuiltIn::new(), (&field, &answer), &silent());
    assert!(!found.partial && !found.found.is_empty() || !found.stays.is_empty());
    let chosen = &answer.outfits[answer.chosen.expect("a choice")];
    for at in &found.found {
        assert!(at.then != answer.chosen, "{at:?}");
        assert!((at.at - at.from) * (at.to - at.at) >= 0.0, "between its steps: {at:?}");
        let says = says::breaking(&answer, at).render(notice::UnitSystem::Us);
        assert!(!says.contains('{'), "{says}");
        if let (Axis::Electricity | Axis::FirstCost, Some(then)) = (at.axis, at.then) {
            // At the break both cost the same, by the lines of the ledger.
            let then = &answer.outfits[then];
            let cost = |shown: &advice::weigh::Shown, mine: bool| {
                let years: Vec<_> = shown.score.years.iter().flatten().filter_map(|y| y.cost.as_ref()).collect();
                let electricity = years.iter().map(|c| c.electricity).sum::<f64>() / years.len() as f64;
                let part = match at.axis {
                    Axis::Electricity => electricity,
                    _ if mine => shown.score.owning,
                    _ => 0.0,
                };
                shown.score.cost() + (at.at - 1.0) * part / shown.score.measure
            };
            assert!((cost(chosen, true) - cost(then, false)).abs() < 1e-9, "{at:?}");
        }
    }
}
