//! Fuel and firing in site files: what is read, what is refused and with which remedy.

use equipment::{BurnerRule, Fuel};
use job::facts::{PipeMaterial, SupplyFacts};
use job::{BuiltIn, SiteRead, read_site};
use notice::Diagnostic;

const HEATED: &str = include_str!("../data/heated.toml");

fn read(text: &str) -> Result<SiteRead, Vec<Diagnostic>> {
    read_site(text, "farm.toml", &BuiltIn::new()).map_err(|found| found.0)
}

/// The site with a burner, with one text in it changed.
fn changed(from: &str, to: &str) -> String {
    assert!(HEATED.contains(from), "{from:?} is not in the file");
    HEATED.replacen(from, to, 1)
}

/// The same with supply and line described by a table in place of its own.
fn fed(fuel: &str) -> String {
    let (before, after) = (HEATED.find("[fuel]"), HEATED.find("[bins.south]"));
    match (before, after) {
        (Some(before), Some(after)) => format!("{}{fuel}\n\n{}", &HEATED[..before], &HEATED[after..]),
        _ => panic!("the file has a fuel and a bin"),
    }
}

#[test]
fn a_tank_of_which_only_the_capacity_is_known_gets_a_shape() {
    let text = fed(
        "[fuel]\nkind = \"propane\"\ntank = { capacity = \"1000 gal\" }\nline = [{ regulator = \"10 psi\", pipe = \"1-1/4\", length = \"80 ft\" }]",
    );
    let fuel = read(&text).unwrap_or_else(|e| panic!("{e:#?}")).facts.fuel.unwrap();
    let Some(tank) = fuel.supply.tanks() else { panic!("tanks") };
    assert!(tank.shape_assumed && tank.count == 1);
    // A common tank of this size is about 41 by 192 in. (memory): what counts is the wall, diameter times length.
    let inches = tank.diameter * tank.length / (0.0254 * 0.0254);
    assert!((inches / (41.0 * 192.0) - 1.0).abs() < 0.06, "{inches}");
    assert_eq!((tank.lowest_fill, tank.filled_to), (0.20, 0.80));
    assert_eq!(fuel.line[0].material, PipeMaterial::Steel);
    assert!((fuel.line[0].inside - 1.38 * 0.0254).abs() < 1e-12);
}

#[test]
fn natural_gas_comes_from_a_main() {
    let main = "[fuel]\nkind = \"natural-gas\"\nmain = { pressure = \"2 psi\", meter = \"1500 ft3/h\" }\nline = [{ pipe = \"2 in\", length = \"80 ft\" }]";
    let text =
        fed(main).replace("fuel = \"propane\"", "fuel = \"natural-gas\"").replace("fuel = \"1.80 $/usgal\"\n", "");
    let fuel = read(&text).unwrap_or_else(|e| panic!("{e:#?}")).facts.fuel.unwrap();
    assert_eq!(fuel.fuel, Fuel::NaturalGas);
    assert!(matches!(fuel.supply, SupplyFacts::Main(main) if main.meter.is_some()));
    assert_eq!((fuel.line[0].regulator, fuel.line[0].nominal.as_deref()), (None, Some("2")));
}

#[test]
fn thermostat_and_humidistat_together() {
    let both = changed(
        "{ kind = \"thermostat\", temperature = \"50 F\" }",
        "{ kind = \"both\", humidity = \"60 %\", temperature = \"68 F\" }",
    );
    let site = read(&both).unwrap_or_else(|e| panic!("{e:#?}"));
    let asked = site.facts.bins[0].outfit.control.burner;
    assert!(
        matches!(asked, BurnerRule::HumidistatWithin { humidity, temperature } if humidity == 0.6 && (temperature - 20.0).abs() < 1e-9)
    );
    let half = changed("{ kind = \"thermostat\", temperature = \"50 F\" }", "{ kind = \"both\", humidity = \"60 %\" }");
    assert_eq!(read(&half).unwrap_err()[0].code, "missing-key");
}

#[test]
fn equal_burners_add_up() {
    let one = read(HEATED).unwrap_or_else(|e| panic!("{e:#?}")).facts.bins[0].outfit.burner.clone().unwrap();
    let two = read(&changed("[bins.south.outfit.firing]", "[bins.south.outfit.firing]\nburners = 2"));
    let outfit = two.unwrap_or_else(|e| panic!("{e:#?}")).facts.bins[0].outfit.clone();
    assert_eq!((outfit.burner.unwrap().capacity, outfit.firing.burners), (2.0 * one.capacity, 2));
}

#[test]
fn what_cannot_be_is_refused_with_what_would_be_right() {
    let tank = |body: &str| {
        fed(&format!(
            "[fuel]\nkind = \"propane\"\ntank = {{ {body} }}\nline = [{{ regulator = \"10 psi\", pipe = \"1\", length = \"80 ft\" }}]"
        ))
    };
    let line =
        |body: &str| fed(&format!("[fuel]\nkind = \"propane\"\ntank = {{ capacity = \"1000 gal\" }}\nline = [{body}]"));
    let first = "{ regulator = \"10 psi\", pipe = \"1\", length = \"80 ft\" }";
    let cases = [
        (changed("turndown = 4", "turndown = 0.5"), "out-of-bounds", "down to a quarter"),
        (changed("turndown = 4", "turndown = 4\nminimum_fire = \"25 %\""), "fire-twice", "one of the two"),
        (changed("turndown = 4 ", "# turndown = 4 "), "missing-key", "turndown = 4"),
        (
            changed("[bins.south.outfit.firing]", "[bins.south.outfit.firing]\nburners = 3"),
            "more-burners-than-fans",
            "fan of its own",
        ),
        (tank("capacity = \"-1000 gal\""), "out-of-bounds", "above 0"),
        (tank("capacity = \"1000 gal\", diameter = \"41 in\""), "missing-key", "length"),
        (tank("capacity = \"1000 gal\", diameter = \"41 in\", length = \"80 in\""), "tank-measures", "a little less"),
        (
            tank("capacity = \"1000 gal\", lowest_fill = \"50 %\", filled_to = \"40 %\""),
            "tank-never-drawn",
            "below filled_to",
        ),
        (line("{ pipe = \"1\", length = \"80 ft\" }"), "missing-key", "10 psi"),
        (
            line(&format!("{first}, {{ regulator = \"20 psi\", pipe = \"1\", length = \"8 ft\" }}")),
            "regulator-rising",
            "lowers",
        ),
        (line("{ regulator = \"10 psi\", pipe = \"1-1/3\", length = \"80 ft\" }"), "unknown-word", "1-1/4"),
        (line("{ regulator = \"10 psi\", length = \"80 ft\" }"), "missing-key", "1-1/4"),
        (
            line("{ regulator = \"10 psi\", pipe = \"1\", material = \"copper\", length = \"80 ft\" }"),
            "pipe-not-steel",
            "inside",
        ),
        (line("{ regulator = \"10 psi\", pipe = \"1\", length = \"0 ft\" }"), "out-of-bounds", "above 0"),
        (
            fed("[fuel]\nkind = \"propane\"\nfeed = \"liquid\"\ntank = { capacity = \"1000 gal\" }\nline = []"),
            "missing-key",
            "20 psi",
        ),
        (fed("[fuel]\nkind = \"natural-gas\"\nfeed = \"vapor\""), "gas-from-tank", "main"),
        (
            fed(
                "[fuel]\nkind = \"natural-gas\"\nmain = { pressure = \"2 psi\" }\nline = [{ pipe = \"1\", length = \"80 ft\" }]",
            ),
            "other-fuel",
            "one supply",
        ),
        (
            tank("capacity = \"1000 gal\"").replace("line =", "main = { pressure = \"2 psi\" }\nline ="),
            "other-feed",
            "feed says",
        ),
    ];
    for (text, code, part) in cases {
        let found = read(&text).map(|_| ()).unwrap_err();
        let fits = found.iter().any(|d| {
            d.code == code
                && [&d.help, &d.allowed].iter().any(|said| said.as_deref().unwrap_or_default().contains(part))
        });
        assert!(fits, "{code} {part}: {found:#?}");
        assert!(found.iter().all(|d| d.at.line.is_some()), "{found:#?}");
    }
}
