use super::*;
use crate::library::BuiltIn;
use crate::site::read_site;

const DEMO: &str = include_str!("../data/demo.toml");
const GOLDEN: &str = include_str!("../tests/golden/site-v1.toml");

fn as_json(text: &str) -> Value {
    serde_json::to_value(text.parse::<toml::Table>().unwrap()).unwrap()
}

fn faults(text: &str) -> Vec<String> {
    let validator = jsonschema::draft202012::new(&site_schema().to_value()).unwrap();
    validator.iter_errors(&as_json(text)).map(|error| error.to_string()).collect()
}

#[test]
fn the_schema_is_one_and_the_example_files_fit_it() {
    assert!(jsonschema::meta::is_valid(&site_schema().to_value()));
    for text in [DEMO, GOLDEN] {
        assert_eq!(faults(text), Vec::<String>::new());
        // They fit the reader as well, or the agreement says nothing.
        assert!(read_site(text, "site.toml", &BuiltIn::new()).is_ok());
    }
}

#[test]
fn the_schema_refuses_what_the_reader_refuses() {
    for (sound, faulty) in [
        ("diameter = \"36 ft\"", "diameter = 36"),
        ("diameter = \"36 ft\"", "diameter = \"36\""),
        ("diameter = \"36 ft\"", "diameter = \"1,1 ft\""),
        ("diameter = \"36 ft\"", "diametre = \"36 ft\""),
        ("binwright = 1", "binwright = 2"),
        ("binwright = 1", ""),
        ("weather = \"champaign\"", "weather = \"../champaign\""),
        ("by = \"12-15\"", "by = \"2026-12-15\""),
        ("electricity = \"0.12 $/kWh\"", "electricity = \"0.12 $\""),
    ] {
        assert!(DEMO.contains(sound), "{sound}");
        let text = DEMO.replacen(sound, faulty, 1);
        assert!(!faults(&text).is_empty(), "schema takes {faulty:?}");
        assert!(read_site(&text, "site.toml", &BuiltIn::new()).is_err(), "reader takes {faulty:?}");
    }
}

#[test]
fn the_examples_of_the_schema_are_understood() {
    fn walk(fields: &Fields) {
        for field in fields {
            match &field.form {
                Quantity(kind, examples) => {
                    for text in *examples {
                        let pattern = faults_of(field, text);
                        assert!(pattern.is_empty(), "{}: {pattern:?}", field.key);
                        assert!(crate::parse::quantity(*kind, text).is_ok(), "{} {text:?}", field.key);
                    }
                }
                Table(inner) | Tables(inner, _) | Named(inner) | NameOr(inner) => walk(inner),
                Pattern(_, examples) => examples.iter().for_each(|text| assert_eq!(faults_of(field, text), [""; 0])),
                _ => {}
            }
        }
    }
    fn faults_of(field: &Field, text: &str) -> Vec<String> {
        let validator = jsonschema::draft202012::new(&property(field)).unwrap();
        validator.iter_errors(&Value::String(text.into())).map(|e| e.to_string()).collect()
    }
    walk(SITE);
}

/// A site with every table in it; `STRAY` is where a stray key goes.
fn with_stray(table: &str) -> String {
    let mut text = String::from("binwright = 1\n");
    let mut add = |name: &str, body: &str| {
        if name.is_empty() {
            text.insert_str(0, if table.is_empty() { "qqqqqqqqqqqqqq = 1\n" } else { "" });
            return;
        }
        text.push_str(&format!("{name}\n{body}"));
        if name == table {
            text.push_str("qqqqqqqqqqqqqq = 1\n");
        }
    };
    add("", "");
    add("[place]", "");
    add("[goal]", "");
    add("[prices]", "");
    add("[[prices.tariff]]", "");
    add("[fuel]", "");
    add("[fuel.tank]", "");
    add("[fuel.vaporizer]", "");
    add("[fuel.main]", "");
    add("[[fuel.line]]", "");
    add("[prices.ownership]", "");
    add("[prices.wet]", "");
    add("[quote]", "");
    add("[power]", "");
    add("[power.feeder]", "");
    add("[yard]", "");
    add("[yard.bins.north]", "");
    add("[[yard.dwellings]]", "");
    add("[bins.north]", "");
    add("[bins.north.pad]", "");
    add("[bins.north.ducts]", "");
    add("[bins.north.inlet]", "");
    add("[bins.north.duct]", "");
    add("[bins.north.transition]", "");
    add("[bins.north.roof]", "");
    add("[[bins.north.lots]]", "");
    // One of the two at a time: both together are refused before their keys are looked at.
    for one in ["[[bins.north.lots.by_year]]", "[bins.north.lots.field]"] {
        if table == one {
            add(one, "");
        }
    }
    add("[bins.north.outfit]", "");
    add("[bins.north.outfit.burner]", "");
    add("[bins.north.outfit.firing]", "");
    add("[bins.north.outfit.sensors]", "");
    add("[bins.north.outfit.stirring]", "");
    add("[bins.north.outfit.counterflow]", "");
    add("[bins.north.layers]", "");
    add("[bins.north.choose]", "");
    add("[[bins.north.choose.fillings]]", "");
    add("[bins.north.choose.supply]", "");
    add("[bins.north.choose.quiet]", "");
    add("[[bins.north.aeration]]", "");
    add("[bins.north.batches]", "");
    add("[bins.north.discharge]", "");
    add("[bins.north.conditioning]", "");
    text
}

/// The keys that the reader knows in a table, as the message on a stray key lists them.
fn known_to_reader(text: &str) -> Vec<String> {
    let found = read_site(text, "site.toml", &BuiltIn::new()).unwrap_err();
    let stray: Vec<_> = found.0.iter().filter(|d| d.code == "unknown-key" && d.found.contains("qqqq")).collect();
    assert_eq!(stray.len(), 1, "{:?}\n{text}", found.0);
    let help = stray[0].help.as_deref().unwrap_or_default();
    let list = help.strip_prefix("known here: ").unwrap_or_else(|| panic!("{help}"));
    list.split(", ").map(str::to_string).collect()
}

fn keys(fields: &Fields) -> Vec<String> {
    let mut keys: Vec<String> = fields.iter().map(|field| field.key.to_string()).collect();
    keys.sort();
    keys
}

#[test]
fn the_schema_has_the_keys_that_the_reader_asks_for() {
    for (table, fields) in [
        ("", SITE),
        ("[place]", PLACE),
        ("[goal]", GOAL),
        ("[prices]", PRICES),
        ("[[prices.tariff]]", SLOT),
        ("[fuel]", FUEL),
        ("[fuel.tank]", TANK),
        ("[fuel.vaporizer]", VAPORIZER),
        ("[fuel.main]", MAIN),
        ("[[fuel.line]]", LINE),
        ("[quote]", QUOTE),
        ("[power]", POWER),
        ("[power.feeder]", FEEDER),
        ("[yard]", YARD),
        ("[yard.bins.north]", YARD_BIN),
        ("[[yard.dwellings]]", DWELLING),
        ("[bins.north]", BIN),
        ("[bins.north.pad]", PAD),
        ("[bins.north.ducts]", DUCTS),
        ("[bins.north.inlet]", INLET),
        ("[bins.north.duct]", SUPPLY_DUCT),
        ("[bins.north.transition]", TRANSITION),
        ("[bins.north.roof]", ROOF),
        ("[[bins.north.lots]]", LOT),
        ("[[bins.north.lots.by_year]]", LOT_YEAR),
        ("[bins.north.lots.field]", FIELD),
        ("[bins.north.outfit]", OUTFIT),
        ("[bins.north.outfit.burner]", BURNER),
        ("[bins.north.outfit.firing]", FIRING),
        ("[bins.north.outfit.sensors]", SENSOR_BAND),
        ("[[bins.north.aeration]]", STAGE),
        ("[bins.north.batches]", BATCHES),
        ("[bins.north.discharge]", DISCHARGE),
        ("[bins.north.conditioning]", CONDITIONING),
        ("[bins.north.outfit.stirring]", STIRRING),
        ("[prices.ownership]", money::OWNERSHIP),
        ("[prices.wet]", money::WET),
        ("[bins.north.choose]", money::CHOOSE),
        ("[[bins.north.choose.fillings]]", money::FILLING),
        ("[bins.north.choose.supply]", money::SUPPLY),
        ("[bins.north.choose.quiet]", money::QUIET),
        ("[bins.north.layers]", LAYERS),
        ("[bins.north.outfit.counterflow]", COUNTERFLOW),
    ] {
        assert_eq!(known_to_reader(&with_stray(table)), keys(fields), "{table}");
    }
}

/// Keys of a table whose `kind` decides which of them are asked for: all kinds together ask for those of the schema.
#[test]
fn the_schema_has_the_keys_of_every_rule() {
    let outfit = |body: &str| DEMO.replace("control = { kind = \"continuous\" }", body);
    let all = |body: &dyn Fn(&str) -> String, fields: &Fields| {
        let Some(Field { form: Words(kinds), .. }) = fields.iter().find(|field| field.key == "kind") else {
            panic!("no kinds");
        };
        let mut known: Vec<String> = kinds.iter().flat_map(|kind| known_to_reader(&outfit(&body(kind)))).collect();
        known.sort();
        known.dedup();
        assert_eq!(known, keys(fields));
    };
    all(&|kind| format!("control = {{ kind = \"{kind}\", qqqqqqqqqqqqqq = 1 }}"), CONTROL);
    all(&|kind| format!("cooling = {{ kind = \"{kind}\", qqqqqqqqqqqqqq = 1 }}"), COOLING);
    all(&|kind| format!("stop = {{ kind = \"{kind}\", qqqqqqqqqqqqqq = 1 }}"), STOP);
    let remedy = |kind: &str| {
        DEMO.replace("[prices]", &format!("[goal.remedy]\nkind = \"{kind}\"\ncharge = \"1 $/bu\"\ncharge_per_point = \"1 $/bu\"\nqqqqqqqqqqqqqq = 1\n[prices]"))
    };
    let mut known: Vec<String> = ["custom-drying", "sale-wet", "spring-finish"]
        .iter()
        .flat_map(|kind| {
            let found = read_site(&remedy(kind), "site.toml", &BuiltIn::new()).unwrap_err();
            let stray = found.0.iter().find(|d| d.code == "unknown-key" && d.found.contains("qqqq")).unwrap().clone();
            let help = stray.help.unwrap_or_default();
            help.trim_start_matches("known here: ").split(", ").map(str::to_string).collect::<Vec<_>>()
        })
        .collect();
    known.sort();
    known.dedup();
    assert_eq!(known, keys(money::REMEDY));
    all(
        &|kind| format!("control = {{ kind = \"continuous\", burner = {{ kind = \"{kind}\", qqqqqqqqqqqqqq = 1 }} }}"),
        BURNER_RULE,
    );
}
