//! Where catalogued figures come from: what is read, what is refused, and what is said of data that are old or of unknown
//! origin.

use equipment::DataDate;
use job::change::Change;
use job::{Base, BuiltIn, Job, MemoryLibrary, Records, open, read_catalogue};

const DEMO: &str = include_str!("../data/demo.toml");
const TODAY: DataDate = DataDate::day(2026, 11, 25);

/// A fan of one's own with further keys, and a burner likewise.
fn catalogue(fan: &str, burner: &str) -> String {
    format!(
        "[fans.own]\nkind = \"centrifugal-low-speed\"\nmotor = \"10 hp\"\nspeed = 1750\n\
         points = [[\"0 in wc\", \"13000 cfm\"], [\"3 in wc\", \"10000 cfm\"], [\"6 in wc\", \"5000 cfm\"]]\n{fan}\n\
         [burners.warm]\ncapacity = \"250000 Btu/h\"\nfuel = \"propane\"\n{burner}\n"
    )
}

fn library(fan: &str, burner: &str) -> MemoryLibrary {
    let read = read_catalogue(&catalogue(fan, burner), "catalogue.toml").unwrap_or_else(|e| panic!("{e}"));
    MemoryLibrary::new().with_catalogue(read)
}

/// The demonstration with two of those fans.
fn text() -> String {
    let fans = "[\"demo-centrifugal-10hp\", \"demo-centrifugal-10hp\"]";
    assert!(DEMO.contains(fans));
    DEMO.replace(fans, "[\"own\", \"own\"]")
}

fn job(library: &MemoryLibrary) -> Job {
    open(&text(), "site.toml", library).unwrap_or_else(|e| panic!("{e}"))
}

fn codes(job: &Job) -> Vec<&str> {
    let data = |code: &&str| code.starts_with("data-");
    job.bins[0].remarks.0.iter().map(|r| r.code.as_str()).filter(data).collect()
}

#[test]
fn source_date_and_rating_are_kept() {
    let said = "source = \"table 12-A\"\ndate = \"2019-06\"\nrating = \"static, bare fan, 1.2 kg/m3\"";
    let job = job(&library(said, said));
    let pieces = job.bins[0].pieces();
    assert_eq!(pieces.len(), 1, "two of a kind are one entry");
    assert_eq!((pieces[0].what, pieces[0].id, pieces[0].invented), ("fan", "own", false));
    assert_eq!(pieces[0].provenance.to_string(), "table 12-A; data of 2019-06; static, bare fan, 1.2 kg/m3");
    assert!(codes(&job.seen_on(TODAY)).is_empty());
    let burner = read_catalogue(&catalogue("", said), "catalogue.toml").unwrap().burners.remove(0);
    assert_eq!(burner.provenance.date.map(|d| d.to_string()).as_deref(), Some("2019-06"));
}

#[test]
fn what_cannot_be_is_refused_on_its_line() {
    for (key, code) in [
        ("date = \"June 2019\"", "not-a-date"),
        ("date = \"2019-02-30\"", "not-a-date"),
        ("date = 2019", "wrong-kind"),
        ("source = \"\"", "not-a-line"),
        ("source = 12", "wrong-kind"),
        ("rating = \"two\\nlines\"", "not-a-line"),
        ("sauce = \"table 12-A\"", "unknown-key"),
    ] {
        for (text, line) in [(catalogue(key, ""), 6), (catalogue("", key), 10)] {
            let wrong = read_catalogue(&text, "catalogue.toml").unwrap_err();
            assert_eq!(wrong.0.len(), 1, "{wrong}");
            assert_eq!((wrong.0[0].code.as_str(), wrong.0[0].at.line), (code, Some(line)), "{wrong}");
        }
    }
}

#[test]
fn a_fan_without_source_and_old_data_are_remarked_on() {
    let unsourced = job(&library("", ""));
    assert_eq!(codes(&unsourced), ["data-without-source"]);
    let sourced = library("source = \"table 3\"\ndate = \"2015\"", "");
    let old = job(&sourced);
    assert!(codes(&old).is_empty(), "no day is known, so nothing is old");
    let old = old.seen_on(TODAY);
    assert_eq!(codes(&old), ["data-old"]);
    let says = &old.bins[0].remarks.0.iter().find(|r| r.code == "data-old").unwrap().says;
    assert!(says.render(notice::UnitSystem::Us).contains("2015 are 10 years old"), "{says:?}");
    let changed = Base::open(&Records::default(), &text(), "site.toml", &sourced)
        .map(|base| base.seen_on(TODAY))
        .and_then(|base| {
            let wetter = Change { path: "bins.north.lots[0].moisture".into(), value_text: "21 %".into() };
            base.resolve(&base.compile(&[wetter], &sourced)?, &Records::default(), &sourced)
        });
    assert_eq!(codes(&changed.unwrap_or_else(|e| panic!("{e}"))), ["data-old"], "variations are seen on the same day");
    let ahead = job(&library("source = \"table 3\"\ndate = \"2027\"", "")).seen_on(TODAY);
    assert_eq!(codes(&ahead), ["data-date-ahead"]);
}

#[test]
fn what_is_invented_needs_no_source() {
    let demo = open(DEMO, "demo.toml", &BuiltIn::new()).unwrap_or_else(|e| panic!("{e}"));
    assert!(codes(&demo.seen_on(TODAY)).is_empty());
    let invented = job(&library("origin = \"invented\"\ndate = \"1990\"", ""));
    assert!(codes(&invented.seen_on(TODAY)).is_empty());
}
