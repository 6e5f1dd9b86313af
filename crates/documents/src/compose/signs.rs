//! What the typefaces of a printer cannot show: said by its field, never printed as squares in silence.

use job::{BinJob, Job};
use notice::{Phrase, Remark, Remarks};

/// Signs shown of those that are lacking.
const SHOWN: usize = 12;

/// Longest text that is repeated in a remark.
const REPEATED: usize = 60;

/// What of a site a printer lacks signs for, each sign said once; `lacking` gives the signs of a text that it cannot set.
pub fn unset(job: &Job, text: &str, lacking: fn(&str) -> String) -> Remarks {
    let mut remarks = Remarks::default();
    let mut said = String::new();
    for (field, words) in words_of(job, text) {
        let signs: String = lacking(&words).chars().filter(|sign| !said.contains(*sign)).collect();
        if signs.is_empty() {
            continue;
        }
        said.push_str(&signs);
        let words = if words.chars().count() <= REPEATED { format!(" “{words}”") } else { String::new() };
        let more = if signs.chars().count() > SHOWN { " and more" } else { "" };
        let shown: String = signs.chars().take(SHOWN).collect();
        remarks.add(Remark::new(
            "signs-not-in-typefaces",
            Phrase::new(
                "{field}{words}: the typefaces of the PDF lack {signs}; empty squares stand there in its place. Web page and workbook \
                 show it; another spelling prints everywhere",
            )
            .text("field", field)
            .text("words", words)
            .text("signs", format!("{shown}{more}")),
        ));
    }
    remarks
}

/// Words that a site file brings into its papers, each with the field it stands in.
fn words_of(job: &Job, text: &str) -> Vec<(String, String)> {
    let mut words = vec![("name".to_string(), job.name.clone())];
    words.extend(job.bins.iter().map(|bin| (format!("bins.{}", bin.name), bin.name.clone())));
    if let Some(quote) = &job.quote {
        words.push(("quote.number".into(), quote.number.clone()));
        words.extend(quote.substitution.iter().map(|says| ("quote.substitution".into(), says.clone())));
        words.extend(quote.from.iter().map(|says| ("quote.from".into(), says.clone())));
        words.extend(quote.to.iter().map(|says| ("quote.to".into(), says.clone())));
    }
    for piece in job.bins.iter().flat_map(BinJob::pieces) {
        let source = format!("source of {} {}", piece.what, piece.id);
        words.extend(piece.provenance.source.iter().map(|says| (source.clone(), says.clone())));
        words.push((format!("name of {}", piece.what), piece.id.to_string()));
    }
    words.push(("text of the site file".into(), text.to_string()));
    words
}
