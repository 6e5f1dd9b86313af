//! What is written down of an outfit is read as the same outfit.

use job::outfit_text::{Written, changes, control};
use job::{BuiltIn, change::apply, choose::FillChoice, read_site};

const PLAIN: &str = include_str!("data/plain.toml");

#[test]
fn a_control_written_down_is_read_as_itself() {
    let burner = "burner = \"demo-burner-propane-250\"\n";
    for said in [
        "{ kind = \"off\" }",
        "{ kind = \"continuous\" }",
        "{ kind = \"clock\", from = \"21:00\", to = \"06:00\", wet_override = \"18 %\" }",
        "{ kind = \"clock\", from = \"00:00\", to = \"24:00\" }",
        "{ kind = \"humidity-window\", low = \"55 %\", high = \"75 %\", sensor = \"after-fan\", dead_band = \"2 points\" }",
        "{ kind = \"equilibrium-window\", low = \"12 %\", high = \"16 %\", wet_override = \"19 %\", dead_band = \"0.5 points\" }",
        "{ kind = \"continuous\", minimum_run = \"2 h\", minimum_rest = \"1 h\", averaging = \"24 h\" }",
        "{ kind = \"continuous\", burner = { kind = \"rise\", rise = \"3 K\" } }",
        "{ kind = \"continuous\", burner = { kind = \"humidistat\", humidity = \"60 %\" } }",
        "{ kind = \"continuous\", burner = { kind = \"both\", humidity = \"60 %\", temperature = \"25 °C\" } }",
    ] {
        let with = if said.contains("burner") { burner } else { "" };
        let there = "control = { kind = \"continuous\" }";
        let text = PLAIN.replace(there, &format!("{with}control = {said}"));
        let of = |text: &str| {
            let site = read_site(text, "farm.toml", &BuiltIn::new()).unwrap_or_else(|e| panic!("{said}: {e}"));
            site.facts.bins[0].outfit.control
        };
        let first = of(&text);
        let again = of(&PLAIN.replace(there, &format!("{with}control = {}", control(&first).expect("can be said"))));
        // Fractions come back to the last digits that are written.
        let near = |a: String, b: String| {
            let numbers = |text: &str| -> Vec<f64> {
                let parts = text.split(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | '-' | 'e')));
                parts.filter_map(|part| part.parse().ok()).collect()
            };
            let (a, b) = (numbers(&a), numbers(&b));
            a.len() == b.len() && a.iter().zip(&b).all(|(a, b)| (a - b).abs() < 1e-7)
        };
        assert!(near(format!("{first:?}"), format!("{again:?}")), "{said}: {first:?} {again:?}");
    }
}

#[test]
fn an_outfit_written_down_is_read_as_that_outfit() {
    let library = BuiltIn::new();
    let site = read_site(PLAIN, "farm.toml", &library).unwrap_or_else(|e| panic!("{e}"));
    let bin = &site.facts.bins[0];
    let fan = job::Library::fans(&library).iter().find(|fan| fan.id == "demo-axial-10hp").unwrap().clone();
    let filling = FillChoice { share: 0.75, days: Some(6), layers: 1 };
    let written = Written {
        fans: &[fan.clone(), fan.clone()],
        arrangement: equipment::Arrangement::Series,
        burner: None,
        control: &bin.outfit.control,
        stirring: None,
        filling,
    };
    let text = apply(PLAIN, &changes(bin, &written).expect("can be said")).unwrap_or_else(|e| panic!("{e}"));
    let read = read_site(&text, "farm.toml", &library).unwrap_or_else(|e| panic!("{e}\n{text}"));
    let there = &read.facts.bins[0];
    assert_eq!(there.outfit.fans, vec![fan.clone(), fan]);
    assert_eq!(there.outfit.arrangement, equipment::Arrangement::Series);
    let mut filled = bin.clone();
    filling.fill(&mut filled);
    assert_eq!(there.lots, filled.lots);
    let layered = Written { filling: FillChoice { layers: 2, ..FillChoice::AS_IT_STANDS }, ..written };
    assert_eq!(changes(bin, &layered), None, "layers make other lots");
}
