//! The description of the interface: committed as it is, and held to what the running server does.

use super::client::{DEMO, Reply, Server};
use proptest::prelude::*;
use proptest::strategy::BoxedStrategy;
use proptest::test_runner::{Config, RngSeed, TestRunner};
use serde_json::{Map, Value, json};
use std::path::PathBuf;

/// Requests for each operation. They run against one server, so what one leaves behind the next one meets.
const CASES: u32 = 24;

fn document() -> Value {
    serde_json::to_value(server::api::document()).expect("a description is JSON")
}

/// Written under `WRITE_GOLDEN=1`, compared otherwise: the page's client is generated from the committed file.
#[test]
fn the_committed_description_is_that_of_the_program() {
    let file = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("openapi.json");
    let text = format!("{:#}\n", document());
    if std::env::var_os("WRITE_GOLDEN").is_some() {
        std::fs::write(&file, &text).expect("the crate's folder can be written");
    }
    let committed = std::fs::read_to_string(&file).unwrap_or_default();
    assert!(committed == text, "openapi.json is out of date: WRITE_GOLDEN=1 cargo test -p server --test api described");
}

/// Everything the description refers to stands in it: the page's client is generated from it.
#[test]
fn nothing_is_missing_from_the_description() {
    fn walk<'a>(value: &'a Value, found: &mut Vec<&'a str>) {
        match value {
            Value::Object(map) => {
                found.extend(map.get("$ref").and_then(Value::as_str));
                map.values().for_each(|v| walk(v, found));
            }
            Value::Array(list) => list.iter().for_each(|v| walk(v, found)),
            _ => {}
        }
    }
    let document = document();
    let mut found = Vec::new();
    walk(&document, &mut found);
    assert!(found.len() > 100);
    for path in found {
        assert!(document.pointer(path.trim_start_matches('#')).is_some(), "{path} is missing");
    }
}

fn resolved<'a>(document: &'a Value, schema: &'a Value) -> &'a Value {
    match schema["$ref"].as_str() {
        Some(path) => {
            resolved(document, document.pointer(path.trim_start_matches('#')).expect("a shape that is there"))
        }
        None => schema,
    }
}

/// Any value of a shape, and now and then one that is not.
fn value(document: &Value, schema: &Value, depth: u32) -> BoxedStrategy<Value> {
    let schema = resolved(document, schema);
    let texts = prop_oneof![
        Just("north".to_string()),
        Just("tab".to_string()),
        Just("bins.north.lots[0].moisture".to_string()),
        Just("18 %".to_string()),
        Just("36 ft".to_string()),
        Just("corn".to_string()),
        Just(DEMO.to_string()),
        ".{0,20}",
    ];
    let right: BoxedStrategy<Value> = if let Some(words) = schema["enum"].as_array() {
        proptest::sample::select(words.clone()).boxed()
    } else if let Some(choices) = schema["oneOf"].as_array().or(schema["anyOf"].as_array()) {
        let choices: Vec<_> = choices.iter().map(|choice| value(document, choice, depth)).collect();
        proptest::strategy::Union::new(choices).boxed()
    } else {
        let kind = schema["type"].as_str().or_else(|| schema["type"].as_array()?.first()?.as_str()).unwrap_or("null");
        match kind {
            "string" => texts.prop_map(Value::from).boxed(),
            "integer" => prop_oneof![Just(1), Just(2009), -3_i64..4000].prop_map(Value::from).boxed(),
            "number" => (-1e3..1e3).prop_map(Value::from).boxed(),
            "boolean" => any::<bool>().prop_map(Value::from).boxed(),
            "array" if depth > 0 => proptest::collection::vec(value(document, &schema["items"], depth - 1), 0..3)
                .prop_map(Value::from)
                .boxed(),
            "array" => Just(json!([])).boxed(),
            "object" => {
                let needed: Vec<String> = schema["required"]
                    .as_array()
                    .into_iter()
                    .flatten()
                    .filter_map(|k| Some(k.as_str()?.into()))
                    .collect();
                let fields: Vec<_> = schema["properties"]
                    .as_object()
                    .into_iter()
                    .flatten()
                    .map(|(key, field)| {
                        let (key, always) = (key.clone(), needed.contains(key));
                        let field = value(document, field, depth.saturating_sub(1));
                        (prop::bool::weighted(0.5), field)
                            .prop_map(move |(there, v)| (there || always).then(|| (key.clone(), v)))
                    })
                    .collect();
                fields.prop_map(|fields| Value::Object(fields.into_iter().flatten().collect::<Map<_, _>>())).boxed()
            }
            _ => Just(Value::Null).boxed(),
        }
    };
    prop_oneof![19 => right, 1 => prop_oneof![Just(Value::Null), Just(json!(-1)), Just(json!({"x": []}))]].boxed()
}

/// One operation of the description.
struct Operation<'a> {
    method: &'a str,
    path: &'a str,
    says: &'a Value,
}

/// What fills a request: path and query, headers, body.
type Filled = (String, Vec<(String, String)>, Option<Value>);

fn encoded(text: &str) -> String {
    let plain = |b: u8| b.is_ascii_alphanumeric() || matches!(b, b'-' | b'_' | b'.');
    text.bytes().map(|b| if plain(b) { char::from(b).to_string() } else { format!("%{b:02X}") }).collect()
}

fn word(value: &Value) -> String {
    value.as_str().map_or_else(|| value.to_string(), str::to_string)
}

fn requests(document: &Value, operation: &Operation, known: &[(String, String)]) -> BoxedStrategy<Filled> {
    let ids: Vec<String> = known.iter().map(|(id, _)| id.clone()).collect();
    let tags: Vec<String> = known.iter().map(|(_, tag)| tag.clone()).collect();
    let parameters = operation.says["parameters"].as_array().cloned().unwrap_or_default();
    let filled: Vec<_> = parameters
        .into_iter()
        .map(|p| {
            let (name, place) = (word(&p["name"]), word(&p["in"]));
            let any = match (place.as_str(), name.as_str()) {
                ("path", "id") => {
                    prop_oneof![4 => proptest::sample::select(ids.clone()), 1 => "[a-z0-9]{1,64}"].boxed()
                }
                ("header", _) => prop_oneof![4 => proptest::sample::select(tags.clone()), 1 => "[ -~]{0,12}"]
                    .prop_map(|t| t.trim().to_string())
                    .boxed(),
                _ => value(document, &p["schema"], 1).prop_map(|v| word(&v)).boxed(),
            };
            let always = p["required"] == true;
            (prop::bool::weighted(0.6), any)
                .prop_map(move |(there, v)| (there || always).then(|| (place.clone(), name.clone(), v)))
        })
        .collect();
    let json = &operation.says["requestBody"]["content"]["application/json"]["schema"];
    let body: BoxedStrategy<Option<Value>> = match json.is_null() {
        true => Just(None).boxed(),
        false => value(document, json, 4).prop_map(Some).boxed(),
    };
    let template = operation.path.to_string();
    (filled, body)
        .prop_map(move |(filled, body)| {
            let (mut path, mut query, mut headers) = (template.clone(), Vec::new(), Vec::new());
            for (place, name, text) in filled.into_iter().flatten() {
                match place.as_str() {
                    // An empty part would be another address.
                    "path" => {
                        path = path.replace(&format!("{{{name}}}"), &encoded(if text.is_empty() { "x" } else { &text }))
                    }
                    "query" => query.push(format!("{name}={}", encoded(&text))),
                    _ => headers.push((name, text)),
                }
            }
            let path = if query.is_empty() { path } else { format!("{path}?{}", query.join("&")) };
            (path, headers, body)
        })
        .boxed()
}

/// The answer is one the description names, and of the shape it names.
fn check(document: &Value, operation: &Operation, filled: &Filled, reply: &Reply) {
    let what = || format!("{} {:.300} {:?} {:.300}", operation.method, filled.0, filled.1, word(&json!(filled.2)));
    assert_ne!(reply.status, 500, "{}: {}", what(), reply.text());
    let answer = &operation.says["responses"][reply.status.to_string()];
    assert!(!answer.is_null(), "{}: {} is not described: {:.300}", what(), reply.status, reply.text());
    let Some(content) = answer["content"].as_object() else {
        assert!(reply.body.is_empty(), "{}: a body that is not described", what());
        return;
    };
    let kind = reply.header("content-type").unwrap_or_default().split(';').next().unwrap_or_default().to_string();
    let described = content.get(&kind).unwrap_or_else(|| panic!("{}: {kind} is not described", what()));
    if kind.ends_with("json") {
        let mut schema = described["schema"].clone();
        schema["components"] = document["components"].clone();
        let validator = jsonschema::validator_for(&schema).expect("a schema that can be read");
        let body = reply.value();
        if let Err(error) = validator.validate(&body) {
            panic!("{}: {} {error} at {}", what(), reply.status, error.instance_path());
        }
    }
}

#[test]
fn every_answer_is_one_that_is_described() {
    let document = document();
    let server = Server::start();
    let known = [server.site(DEMO), server.site("a = 1\n")];
    let paths = document["paths"].as_object().expect("paths");
    let mut seen = 0;
    for (path, item) in paths {
        for (method, says) in item.as_object().expect("operations") {
            let operation = Operation { method: &method.to_uppercase(), path, says };
            let streams = says["responses"]["200"]["content"]["text/event-stream"].is_object();
            // A fixed seed: what fails once fails again.
            let config =
                Config { cases: CASES, rng_seed: RngSeed::Fixed(7), failure_persistence: None, ..Config::default() };
            let strategy = requests(&document, &operation, &known);
            let ran = TestRunner::new(config).run(&strategy, |filled| {
                let (path, headers, body) = &filled;
                let mut headers: Vec<(&str, &str)> = headers.iter().map(|(k, v)| (k.as_str(), v.as_str())).collect();
                if body.is_some() {
                    headers.push(("Content-Type", "application/json"));
                }
                let body = body.as_ref().map_or_else(Vec::new, |body| body.to_string().into_bytes());
                if streams && method == "post" {
                    // The order of events has its own tests; here the stream only has to begin.
                    let question: Value = serde_json::from_slice(&body).unwrap_or_default();
                    let status = server.ask(operation.path, &question).status;
                    prop_assert!(
                        !says["responses"][status.to_string()].is_null() && status != 500,
                        "{status} {question}"
                    );
                    return Ok(());
                }
                check(&document, &operation, &filled, &server.send(operation.method, path, &headers, &body));
                Ok(())
            });
            if let Err(error) = ran {
                panic!("{method} {path}: {error}");
            }
            seen += 1;
        }
    }
    assert!(seen >= 30, "{seen} operations");
}
