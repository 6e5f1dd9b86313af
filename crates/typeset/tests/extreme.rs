//! The template with what it may meet at its worst: nothing at all, far too much, names as long as a line or from right to left.

use documents::paper::{Block, Cell, Datum, Figure, Paper, PaperKind, Series, Table, html, text, xlsx, years};
use documents::report::Outcome;
use documents::scene::Scene;
use std::process::{Command, Stdio};
use typeset::{Sheet, pdf};

fn paper(kind: PaperKind, blocks: Vec<Block>) -> Paper {
    Paper {
        kind,
        subject: "site, bin north".into(),
        facts: vec![("Lot".into(), "corn, 15 000 legal bu".into())],
        marks: vec!["DEMO: invented equipment".into()],
        foot: "site, bin north · 26 Nov 2026 · text 0123456789ab · run 0123456789ab".into(),
        date: (2026, 11, 26),
        one_page: false,
        blocks,
    }
}

/// A table of so many rows with numbers of unlike decimals.
fn table(rows: usize) -> Table {
    let mut table =
        Table::new("Many rows", "There is nothing to list.").wide("Name", 1.0).plain("value", "kW").column("How");
    for row in 0..rows {
        table.row(vec![
            Cell::text(format!("row {row}")),
            Cell::number(row as f64 * 1.25, row % 3),
            Cell::Outcome(Outcome::Held),
        ]);
    }
    table
}

/// Everything a paper can hold, with one text in every place for text.
fn everything(words: &str) -> Paper {
    let says = || words.to_string();
    let mut list = Table::new(words, words).wide(words, 1.0).plain(words, words).blanks(words, words);
    list.row(vec![Cell::text(words), Cell::None(says()), Cell::Blank]);
    list.row(vec![Cell::Strong(says())]);
    let empty = Scene { width: 720.0, height: 40.0, title: says(), describe: says(), items: Vec::new() };
    let behind = vec![Series {
        name: says(),
        columns: vec![says()],
        rows: vec![vec![Datum::Text(says())], vec![Datum::Number(f64::NAN)]],
    }];
    let mut all = paper(
        PaperKind::Proposal,
        vec![
            Block::heading(words),
            Block::under(words),
            Block::Lead(says()),
            Block::text(words),
            Block::note(words),
            Block::points(vec![says(), says()]),
            Block::steps(vec![says()]),
            Block::Table(list),
            Block::Figure(Figure { name: says(), says: says(), scene: empty, behind }),
            Block::Figure(years::figure(
                &[(1999, Outcome::Met), (2000, Outcome::Held), (2001, Outcome::Failed)],
                words,
            )),
            Block::Blanks(vec![(says(), 0.5), (says(), 1.0)]),
            Block::Cautions(vec![says()]),
            Block::Verbatim(says()),
            Block::NewPage,
        ],
    );
    (all.subject, all.foot) = (says(), says());
    all.marks = vec![says()];
    all.facts = vec![(says(), says()); 3];
    all
}

fn set(paper: &Paper) -> Vec<u8> {
    let set = pdf(paper, Sheet::Letter).unwrap_or_else(|error| panic!("{error}"));
    assert!(set.pages > 0 && set.pdf.starts_with(b"%PDF-"));
    set.pdf
}

/// The text of a PDF, pages apart by form feeds; none where the tool is not installed (`./check` installs it).
fn text_of(pdf: &[u8]) -> Option<String> {
    use std::io::Write;
    let mut tool = Command::new("pdftotext")
        .args(["-layout", "-", "-"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .ok()?;
    let mut stdin = tool.stdin.take()?;
    let bytes = pdf.to_vec();
    let feed = std::thread::spawn(move || stdin.write_all(&bytes));
    let out = tool.wait_with_output().ok()?;
    feed.join().ok()?.ok()?;
    Some(String::from_utf8_lossy(&out.stdout).into_owned())
}

#[test]
fn whatever_text_comes_is_set_and_stays_text() {
    let long = "x".repeat(400);
    let markup = "#set page(width: 1cm) $x$ *bold* _it_ `code` <a href=\"x\"> \\u{0} // [ ] { } @ref ~ --- &amp;";
    for words in
        ["", "a", &long, markup, "مخزن الحبوب رقم ٣", "צריף דגן 12", "粮仓 🌽 \u{7}\u{202e}\u{e000}", "a\nb\tc"]
    {
        let all = everything(words);
        set(&all);
        assert!(html::render(&all).ends_with("</html>\n"));
        assert!(xlsx::write(&all).is_ok());
        assert!(!text::lines(&all).is_empty());
    }
    if let Some(said) = text_of(&set(&everything(markup))) {
        assert!(said.contains("#set page(width: 1cm)"), "{said}");
    }
}

#[test]
fn a_paper_of_nothing_and_a_table_of_nothing_are_set() {
    let mut nothing = paper(PaperKind::Annex, Vec::new());
    (nothing.subject, nothing.facts, nothing.marks) = (String::new(), Vec::new(), Vec::new());
    set(&nothing);
    let empty = paper(PaperKind::Annex, vec![Block::Table(table(0)), Block::points(Vec::new())]);
    if let Some(said) = text_of(&set(&empty)) {
        assert!(said.contains("There is nothing to list."), "{said}");
    }
}

/// Long tables are cut into whole pieces with their head on each page; short ones stay on one page.
#[test]
fn no_page_ends_in_half_a_table() {
    let filler = || Block::text("A paragraph that takes its room on the page. ".repeat(60));
    let long = paper(
        PaperKind::Proposal,
        vec![filler(), Block::Table(table(400)), filler(), filler(), Block::Table(table(28))],
    );
    let set = pdf(&long, Sheet::A4).expect("it is set");
    let Some(said) = text_of(&set.pdf) else { return };
    let pages: Vec<&str> = said.split('\u{c}').collect();
    let rows = |page: &str| page.lines().filter(|line| line.trim_start().starts_with("row ")).count();
    for page in pages.iter().filter(|page| rows(page) > 0) {
        assert!(page.contains("Many rows") && page.contains("value"), "a page of rows without their head: {page}");
    }
    let counts: Vec<usize> = pages.iter().map(|page| rows(page)).filter(|rows| *rows > 0).collect();
    assert_eq!(counts.iter().sum::<usize>(), 428);
    assert_eq!(counts.last(), Some(&28), "the short table stands whole: {counts:?}");
    let pieces = &counts[..counts.len() - 1];
    assert!(pieces.iter().all(|rows| *rows >= 20), "every piece is a good part of a page: {counts:?}");
}

#[test]
fn a_card_goes_down_in_size_until_it_fits_one_page() {
    let mut card = paper(PaperKind::Card, vec![Block::text("Words of a card. ".repeat(350))]);
    card.one_page = true;
    for sheet in [Sheet::Letter, Sheet::A4] {
        assert_eq!(pdf(&card, sheet).expect("it is set").pages, 1);
    }
}

#[test]
fn the_same_paper_gives_the_same_bytes() {
    let all = everything("the same");
    assert_eq!(set(&all), set(&all));
    assert_eq!(html::render(&all), html::render(&all));
    assert_eq!(xlsx::write(&all).ok(), xlsx::write(&all).ok());
}

#[test]
fn faces_are_embedded_and_the_file_says_that_it_is_tagged_and_archivable() {
    let bytes = set(&everything("embedded"));
    let plain = String::from_utf8_lossy(&bytes);
    for wanted in ["pdfuaid:part", "pdfaid:part", "/MarkInfo", "/Lang"] {
        assert!(plain.contains(wanted), "{wanted}");
    }
    let file = std::env::temp_dir().join(format!("binwright-faces-{}.pdf", std::process::id()));
    std::fs::write(&file, &bytes).expect("a file in the temporary folder");
    let fonts = Command::new("pdffonts").arg(&file).output();
    let _ = std::fs::remove_file(&file);
    let Ok(fonts) = fonts else { return };
    let listed = String::from_utf8_lossy(&fonts.stdout);
    let faces: Vec<&str> = listed.lines().skip(2).collect();
    assert!(faces.len() >= 2, "{listed}");
    for face in faces {
        let marks: Vec<&str> = face.split_whitespace().collect();
        let from_end = |n: usize| marks.get(marks.len().saturating_sub(n)).copied();
        // Embedded, subset, with a table to Unicode; behind them stand two numbers.
        assert_eq!((from_end(5), from_end(4), from_end(3)), (Some("yes"), Some("yes"), Some("yes")), "{face}");
    }
}
