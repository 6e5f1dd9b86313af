//! Keeps the table of crates and floors in ARCHITECTURE.md true.

use std::{collections::BTreeMap, process::Command};

/// Crate names and their floors, read from the lines that look like "| 4 | `season` | …".
fn floors(page: &str) -> BTreeMap<String, u32> {
    let row = |line: &str| {
        let mut cells = line.strip_prefix('|')?.split('|').map(str::trim);
        let floor = cells.next()?.parse().ok()?;
        let name = cells.next()?.strip_prefix('`')?.strip_suffix('`')?;
        Some((name.to_string(), floor))
    };
    page.lines().filter_map(row).collect()
}

/// Workspace crates and the workspace crates each of them uses, dev-dependencies left out.
fn uses() -> BTreeMap<String, Vec<String>> {
    let cargo = std::env::var("CARGO").unwrap_or_else(|_| "cargo".into());
    let answer = Command::new(cargo)
        .args(["metadata", "--no-deps", "--format-version", "1", "--offline"])
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .expect("cargo runs, for it runs this test");
    assert!(answer.status.success(), "{}", String::from_utf8_lossy(&answer.stderr));
    let metadata: serde_json::Value = serde_json::from_slice(&answer.stdout).expect("cargo writes JSON");
    let mut uses = BTreeMap::new();
    for package in metadata["packages"].as_array().expect("packages") {
        let name = package["name"].as_str().expect("name").to_string();
        let inside = |d: &&serde_json::Value| !d["path"].is_null() && d["kind"].as_str() != Some("dev");
        let used = package["dependencies"].as_array().expect("dependencies").iter().filter(inside);
        uses.insert(name, used.filter_map(|d| d["name"].as_str().map(Into::into)).collect());
    }
    uses
}

/// What breaks the rule, in words; empty when all is well.
fn faults(floors: &BTreeMap<String, u32>, uses: &BTreeMap<String, Vec<String>>) -> Vec<String> {
    let mut faults = Vec::new();
    for (name, used) in uses {
        let Some(own) = floors.get(name) else {
            faults.push(format!("{name} is missing from the table of ARCHITECTURE.md"));
            continue;
        };
        for lower in used {
            if floors.get(lower).is_none_or(|floor| floor >= own) {
                faults.push(format!("{name} (floor {own}) must not use {lower} (floor {:?})", floors.get(lower)));
            }
        }
    }
    let gone = floors.keys().filter(|name| !uses.contains_key(*name));
    faults.extend(gone.map(|name| format!("ARCHITECTURE.md lists {name}, which does not exist")));
    faults
}

#[test]
fn crates_only_depend_downwards() {
    let floors = floors(include_str!("../../../ARCHITECTURE.md"));
    let uses = uses();
    assert!(uses.len() >= 10 && uses["contract"].contains(&"notice".to_string()), "metadata read wrongly: {uses:?}");
    let faults = faults(&floors, &uses);
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

/// The rule bites: a crate beside itself, above itself, and missing from the page are each seen.
#[test]
fn faults_are_found() {
    let floors = floors("| 1 | `a` | x | y |\n| 1 | `b` | x | y |\n| 2 | `c` | x | y |\n| 3 | `gone` | x | y |");
    let uses = BTreeMap::from([
        ("a".to_string(), vec!["b".to_string()]),
        ("b".to_string(), vec!["c".to_string()]),
        ("c".to_string(), vec!["a".to_string()]),
        ("new".to_string(), vec![]),
    ]);
    assert_eq!(faults(&floors, &uses).len(), 4);
}
