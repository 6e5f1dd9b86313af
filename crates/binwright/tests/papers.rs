//! `propose` from the outside: the text of every paper against the committed one, and that two runs give the same bytes.
//!
//! `WRITE_GOLDEN=1 cargo test -p binwright --test papers` writes the texts anew: look at what changed, a customer will.
#![cfg(feature = "pdf")]

use std::path::{Path, PathBuf};
use std::process::Command;

/// The bundled site with a quote, whose date stands for the day on which the papers are written.
const QUOTE: &str = "\n[quote]\nnumber = \"2026-014\"\ndate = \"2026-11-26\"\nvalid_until = \"2026-12-31\"\n\
                     substitution = \"Equal or better equipment may take the place of what is named.\"\n";

fn folder(name: &str) -> PathBuf {
    let folder = std::env::temp_dir().join(format!("binwright-papers-{name}-{}", std::process::id()));
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).expect("a folder");
    folder
}

fn propose(site: &Path, out: &Path, more: &[&str]) {
    let done = Command::new(env!("CARGO_BIN_EXE_binwright"))
        .arg("propose")
        .arg(site)
        .arg("--out")
        .arg(out)
        .args(more)
        .output()
        .expect("the program runs");
    assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
}

fn site(folder: &Path, name: &str, text: &str) -> PathBuf {
    let file = folder.join(name);
    std::fs::write(&file, text).expect("a site file");
    file
}

/// The text of a PDF; none where the tool is not installed (`./check` installs it).
fn text_of(file: &Path) -> Option<String> {
    let out = Command::new("pdftotext").arg("-layout").arg(file).arg("-").output().ok()?;
    assert!(out.status.success(), "{}", String::from_utf8_lossy(&out.stderr));
    Some(String::from_utf8_lossy(&out.stdout).into_owned())
}

/// The text without what another version or machine may change: the foot of each page, and how wide the gaps between columns are.
fn steady(text: &str) -> String {
    let lines = text.lines().filter(|line| !line.contains(" · run ") && !line.trim_start().starts_with("run  "));
    let words = lines.map(|line| line.split_whitespace().collect::<Vec<_>>().join(" "));
    words.filter(|line| !line.is_empty()).collect::<Vec<_>>().join("\n")
}

fn same_as_committed(name: &str, text: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden/papers").join(format!("{name}.txt"));
    if std::env::var_os("WRITE_GOLDEN").is_some() {
        std::fs::create_dir_all(path.parent().expect("a folder")).expect("the folder of texts");
        std::fs::write(&path, text).expect("a text");
    }
    let committed = std::fs::read_to_string(&path).unwrap_or_default();
    for (number, (got, want)) in text.lines().zip(committed.lines()).enumerate() {
        assert_eq!(got, want, "{name}, line {}: WRITE_GOLDEN=1 writes it anew", number + 1);
    }
    assert_eq!(text.lines().count(), committed.lines().count(), "{name}");
}

#[test]
fn every_paper_says_what_it_said() {
    let folder = folder("text");
    let demo = site(&folder, "demo.toml", &format!("{}{QUOTE}", include_str!("../../job/data/demo.toml")));
    let (first, second) = (folder.join("first"), folder.join("second"));
    propose(&demo, &first, &["--quick"]);
    propose(&demo, &second, &["--quick"]);
    for paper in ["proposal", "loads", "commissioning", "card", "annex"] {
        for ending in ["pdf", "html", "xlsx"] {
            let name = format!("{paper}-north.{ending}");
            let read = |folder: &Path| std::fs::read(folder.join(&name)).expect("a paper");
            assert!(read(&first) == read(&second), "{name} differs between two runs");
        }
        let Some(text) = text_of(&first.join(format!("{paper}-north.pdf"))) else { continue };
        assert!(text.contains("DEMO: invented equipment"), "{paper} carries its mark");
        same_as_committed(paper, &steady(&text));
    }
    let _ = std::fs::remove_dir_all(&folder);
}

/// Every page carries the mark, its number and its identity; a share of years is never a hundred percent.
#[test]
fn a_heated_bin_on_a4_in_si_has_its_fuel_sheet_and_its_marks() {
    let folder = folder("heated");
    let heated = site(&folder, "heated.toml", include_str!("../../job/data/heated.toml"));
    propose(
        &heated,
        &folder.join("out"),
        &["--quick", "--only", "loads,card,proposal", "--paper", "a4", "--units", "si"],
    );
    let out = folder.join("out");
    let (Some(loads), Some(card), Some(proposal)) = (
        text_of(&out.join("loads-south.pdf")),
        text_of(&out.join("card-south.pdf")),
        text_of(&out.join("proposal-south.pdf")),
    ) else {
        return;
    };
    for wanted in ["coldest week", "regulator 2", "Tanks: 1 of"] {
        assert!(loads.contains(wanted), "{wanted}: {loads}");
    }
    assert!(!loads.contains("°F") && !card.contains("in. water"), "SI on every sheet");
    let pages: Vec<&str> = proposal.split('\u{c}').filter(|page| !page.trim().is_empty()).collect();
    for (number, page) in pages.iter().enumerate() {
        assert!(page.contains("DEMO: invented equipment"), "page {} carries no mark", number + 1);
        assert!(page.contains(&format!("page {} of {}", number + 1, pages.len())), "page {} has no number", number + 1);
        assert!(page.contains(" · run "), "page {} has no identity", number + 1);
    }
    assert_eq!(card.matches('\u{c}').count(), 1, "the card is one page");
    for line in proposal.lines().filter(|line| line.contains("year")) {
        assert!(!line.contains("100 %") && !line.contains("100\u{a0}%"), "{line}");
    }
    let _ = std::fs::remove_dir_all(&folder);
}

/// Data of a fan that are old, and power that was estimated, stand on every page; signs that the PDF cannot show are named.
#[test]
fn old_and_estimated_data_mark_every_page_and_lacking_signs_are_named() {
    let folder = folder("marks");
    let catalogue = include_str!("../../job/data/demo-catalogue.toml");
    let of = |name: &str| {
        let from = catalogue.find(&format!("[fans.{name}]\n")).expect("a fan of the catalogue");
        let body = &catalogue[from..];
        let end = body[1..].find("\n[").map_or(body.len(), |end| end + 1);
        body[..end].replace(
            "origin = \"invented\"",
            "source = \"leaflet 12\"\ndate = \"2009-04\"\nrating = \"outlet chamber\"",
        )
    };
    let old = of("demo-centrifugal-10hp").replace("demo-centrifugal-10hp", "old-ten");
    // Without its power a curve is completed by estimate.
    let estimated: String = of("demo-centrifugal-10hp")
        .replace("demo-centrifugal-10hp", "guessed-ten")
        .replace("2009-04", "2025-04")
        .lines()
        .map(|line| match line.rsplit_once(", \"") {
            Some((points, power)) if power.ends_with(" hp\"],") => format!("{points}],\n"),
            _ => format!("{line}\n"),
        })
        .collect();
    std::fs::write(folder.join("catalogue.toml"), format!("{old}\n{estimated}")).expect("a catalogue");
    let text = include_str!("../../job/data/demo.toml")
        .replace("\"demo-centrifugal-10hp\", \"demo-centrifugal-10hp\"", "\"old-ten\", \"guessed-ten\"")
        .replace("name = \"demo\"", "name = \"粮仓\"");
    let file = site(&folder, "site.toml", &text);
    let done = Command::new(env!("CARGO_BIN_EXE_binwright"))
        .args(["propose", "--quick", "--only", "proposal", "--out"])
        .arg(folder.join("out"))
        .arg(file)
        .output()
        .expect("the program runs");
    let said = String::from_utf8_lossy(&done.stderr);
    assert!(done.status.success(), "{said}");
    assert!(said.contains("name “粮仓”: the typefaces of the PDF lack 粮仓"), "{said}");
    let Some(text) = text_of(&folder.join("out/proposal-north.pdf")) else { return };
    for page in text.split('\u{c}').filter(|page| !page.trim().is_empty()) {
        assert!(page.contains("ESTIMATED: ") && page.contains("OUTDATED: ") && !page.contains("DEMO: "), "{page}");
    }
    assert!(text.contains("leaflet 12") && text.contains("2009-04") && text.contains("outlet chamber"), "{text}");
    let _ = std::fs::remove_dir_all(&folder);
}
