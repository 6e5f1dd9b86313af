//! The page: sections of rows, each row with its verdict, and the count of them.

use std::fmt::Write;

/// What a comparison came to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// Within the allowance stated.
    Agrees,
    /// Outside it.
    Differs,
    /// The source leaves inputs out: swept, no pass and no fail.
    Band,
    /// The same, and even the widest sweep does not reach what the source says.
    Outside,
    /// The figure was recalled without a text at hand, or restates the constants we took: it can confirm nothing.
    NoCheck,
    /// Not computed, with the reason.
    NotRun,
}

impl Verdict {
    const ALL: [Self; 6] = [Self::Agrees, Self::Differs, Self::Outside, Self::Band, Self::NoCheck, Self::NotRun];

    /// Agrees when the deviation is within the allowance; what is no number differs.
    pub fn of(deviation: f64, allowed: f64) -> Self {
        if deviation.abs() <= allowed { Self::Agrees } else { Self::Differs }
    }

    fn word(self) -> &'static str {
        match self {
            Self::Agrees => "agrees",
            Self::Differs => "**differs**",
            Self::Band => "band",
            Self::Outside => "**outside the band**",
            Self::NoCheck => "no check (memory)",
            Self::NotRun => "not run",
        }
    }
}

/// What the figures of a section come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Against {
    /// Published by others.
    Published,
    /// Worked out by other means from the same equations: checks the programming, says nothing of the grain.
    Computed,
    /// Neither: common practice, or our own runs.
    Own,
}

impl Against {
    fn word(self) -> &'static str {
        match self {
            Self::Published => "published figures",
            Self::Computed => "figures computed elsewhere",
            Self::Own => "common practice or own runs",
        }
    }
}

/// One comparison, or a group of alike ones.
#[derive(Debug, Clone)]
pub struct Row {
    /// How many values it stands for.
    pub count: usize,
    /// What is compared.
    pub what: String,
    /// What the source says.
    pub says: String,
    /// What we compute.
    pub found: String,
    /// The difference, and what is allowed.
    pub difference: String,
    /// Verdict.
    pub verdict: Verdict,
    /// Why, and what was assumed.
    pub because: String,
}

/// A row for one value.
pub fn row(what: impl Into<String>, says: impl Into<String>, found: impl Into<String>) -> Row {
    Row {
        count: 1,
        what: what.into(),
        says: says.into(),
        found: found.into(),
        difference: String::new(),
        verdict: Verdict::NotRun,
        because: String::new(),
    }
}

impl Row {
    /// With a difference in words.
    pub fn off(mut self, difference: impl Into<String>) -> Self {
        self.difference = difference.into();
        self
    }

    /// With its verdict. A band that misses what the source says, published rules taken at ±20 %, is said to.
    pub fn is(mut self, verdict: Verdict) -> Self {
        let apart = || {
            let ((low, high), (least, most)) = (interval(&self.says)?, interval(&self.found)?);
            Some(least > 1.2 * high || most < 0.8 * low)
        };
        self.verdict = match verdict {
            Verdict::Band if apart() == Some(true) => Verdict::Outside,
            other => other,
        };
        self
    }

    /// With a reason.
    pub fn because(mut self, reason: impl Into<String>) -> Self {
        self.because = reason.into();
        self
    }

    /// For several values.
    pub fn times(mut self, count: usize) -> Self {
        self.count = count;
        self
    }
}

/// The range of a figure in words: `30 to 40 d`, `about 50 d`, `at least 70 d`, `median 1.4 (0.9 to 2.8) MJ/kg`, `26 to never d`.
/// Nothing for texts that say more than one thing.
fn interval(text: &str) -> Option<(f64, f64)> {
    if text.contains([',', ';', '`', '<', '-', '−']) || text.contains("against") {
        return None;
    }
    let text =
        [" per ", " in ", " for ", " with "].iter().fold(text, |text, word| text.split(word).next().unwrap_or(text));
    let figure = |word: &str| match word.trim_matches(['(', ')', '×']) {
        "never" => Some(f64::INFINITY),
        word => word.parse::<f64>().ok().filter(|v| *v > 0.0),
    };
    let all: Vec<f64> = text.split_whitespace().filter_map(figure).collect();
    let low = all.iter().copied().reduce(f64::min)?;
    let high = all.iter().copied().reduce(f64::max)?;
    Some(if text.contains("at least") { (low, f64::INFINITY) } else { (low, high) })
}

/// What was not run, and why.
pub fn not_run(what: impl Into<String>, says: impl Into<String>, why: impl Into<String>) -> Row {
    row(what, says, "–").because(why)
}

/// A section of the page.
pub struct Section {
    /// Heading.
    pub title: &'static str,
    /// What its figures come from.
    pub against: Against,
    /// What it shows, what is allowed and why.
    pub about: String,
    /// Rows.
    pub rows: Vec<Row>,
    /// Anything below the table: grids, plots.
    pub below: String,
    /// Sources as the tables name them.
    pub sources: Vec<String>,
}

impl Section {
    /// An empty section.
    pub fn new(title: &'static str, against: Against, about: impl Into<String>) -> Self {
        Self { title, against, about: about.into(), rows: Vec::new(), below: String::new(), sources: Vec::new() }
    }

    /// Adds sources, each once; what only points elsewhere in the compiled tables is none.
    pub fn sources<'s>(&mut self, names: impl IntoIterator<Item = &'s str>) {
        let pointer = |name: &str| {
            ["same", "as above", "computed"].contains(&name)
                || ["section ", "computed (Second", "as above,", "equations of section"]
                    .iter()
                    .any(|s| name.starts_with(s))
        };
        for name in names {
            if !pointer(name) && !self.sources.iter().any(|known| known == name) {
                self.sources.push(name.into());
            }
        }
    }

    /// Adds a plot that lies beside the page.
    pub fn plot(&mut self, file: &str, alternative: &str) {
        let _ = writeln!(self.below, "\n![{alternative}](validation/{file}.svg)");
    }

    fn count(&self, verdict: Verdict) -> usize {
        self.rows.iter().filter(|r| r.verdict == verdict).map(|r| r.count).sum()
    }
}

/// A cell of a table: no bar may break it, and no last bit may turn the sign of a zero.
fn cell(text: &str) -> String {
    let words = text.split(' ').map(|word| {
        let number = word.trim_end_matches([',', ';']);
        let zero = number.starts_with(['-', '+'])
            && number[1..].contains('0')
            && number[1..].chars().all(|c| "0.".contains(c));
        if zero { &word[1..] } else { word }
    });
    words.collect::<Vec<_>>().join(" ").replace('|', "\\|")
}

fn summary(sections: &[Section]) -> String {
    let mut out = String::from(
        "| section | against | agrees | differs | outside the band | band | no check (memory) | not run |\n\
         | --- | --- | --: | --: | --: | --: | --: | --: |\n",
    );
    let line = |out: &mut String, name: &str, against: &str, counts: [usize; 6]| {
        let counts: Vec<String> = counts.iter().map(usize::to_string).collect();
        let _ = writeln!(out, "| {name} | {against} | {} |", counts.join(" | "));
    };
    let mut all = [0; 6];
    for section in sections {
        let counts = Verdict::ALL.map(|v| section.count(v));
        all.iter_mut().zip(counts).for_each(|(a, c)| *a += c);
        let anchor: String = section.title.to_lowercase().chars().filter_map(anchor_letter).collect();
        line(&mut out, &format!("[{}](#{anchor})", section.title), section.against.word(), counts);
    }
    line(&mut out, "**all**", "", all);
    out
}

/// What a heading's letter is in its address.
fn anchor_letter(c: char) -> Option<char> {
    match c {
        ' ' | '-' => Some('-'),
        c if c.is_alphanumeric() => Some(c),
        _ => None,
    }
}

/// The differences, one below the other, so that nobody has to look for them.
fn misses(sections: &[Section]) -> String {
    let mut out = String::new();
    for section in sections {
        for row in section.rows.iter().filter(|r| matches!(r.verdict, Verdict::Differs | Verdict::Outside)) {
            let _ =
                writeln!(out, "* {}: {}: {} against {}. {}", section.title, row.what, row.found, row.says, row.because);
        }
    }
    out
}

/// The page as text.
pub fn render(sections: &[Section]) -> String {
    let mut out = String::from(
        "# Validation: what we compute beside what is published\n\n\
         Written by `cargo run --release -p validation -- write`; `./check` fails when it is out of date. Never edited by hand.\n\n\
         Verdicts: **agrees** and **differs** say whether the difference is within the allowance named beside it; **band**: the\n\
         source leaves inputs out, which are swept over a plausible range, so there is no pass and no fail; **outside the band**:\n\
         even the widest sweep stays more than 20 % away from what the source says; **no check (memory)**: the figure was recalled without a text at hand, or restates constants that we took, and can confirm\n\
         nothing; **not run**: with the reason. Published rules, which are rounded, are judged at ±20 %. Counts are of\n\
         values, not of lines.\n\n\
         Agreement with figures computed elsewhere from the same equations shows that the equations are solved rightly, not\n\
         that grain behaves so. Evidence from grain is in the sections against published figures, and it is thin: measured\n\
         trials seldom state all inputs.\n\n## Summary\n\n",
    );
    out.push_str(&summary(sections));
    out.push_str("\n## Everything that differs\n\n");
    out.push_str(&misses(sections));
    for section in sections {
        let _ = write!(out, "\n## {}\n\n{}\n\n", section.title, section.about.trim());
        out.push_str("| what | the source says | we compute | difference | verdict | reason, assumptions |\n");
        out.push_str("| --- | --- | --- | --- | --- | --- |\n");
        for r in &section.rows {
            let texts = [&r.what, &r.says, &r.found, &r.difference].map(|t| cell(t));
            let _ = writeln!(out, "| {} | {} | {} |", texts.join(" | "), r.verdict.word(), cell(&r.because));
        }
        out.push_str(&section.below);
        if !section.sources.is_empty() {
            out.push_str("\nSources:\n\n");
            section.sources.iter().for_each(|s| {
                let _ = writeln!(out, "* {}", s.trim());
            });
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_no_number_never_agrees() {
        assert_eq!(Verdict::of(0.1, 0.1), Verdict::Agrees);
        assert_eq!(Verdict::of(-0.2, 0.1), Verdict::Differs);
        assert_eq!(Verdict::of(f64::NAN, 0.1), Verdict::Differs);
        assert_eq!(Verdict::of(0.0, f64::NAN), Verdict::Differs);
    }

    #[test]
    fn a_band_that_misses_its_source_is_said_to() {
        let verdict = |says, found| row("x", says, found).is(Verdict::Band).verdict;
        assert_eq!(verdict("24 to 32 fan h", "268 to 795 h"), Verdict::Outside);
        assert_eq!(verdict("3.9 to 4.1 MJ per kg of water", "median 1.4 (0.9 to 2.8) MJ/kg"), Verdict::Outside);
        assert_eq!(verdict("about 50 d", "21 to 55 d"), Verdict::Band);
        assert_eq!(verdict("about 50 d", "31 to 41 d"), Verdict::Band);
        assert_eq!(verdict("at least 70 d", "26 to 30 d"), Verdict::Outside);
        assert_eq!(verdict("at least 70 d", "26 to never d"), Verdict::Band);
        assert_eq!(verdict("62 d against 35 d, 1.77 times", "1.15 times"), Verdict::Band);
    }

    #[test]
    fn zeros_have_no_sign_and_bars_are_escaped() {
        assert_eq!(cell("-0.00 points, allowed 1 | -0.5 +0"), "0.00 points, allowed 1 \\| -0.5 0");
    }

    #[test]
    fn misses_are_counted_and_listed() {
        let mut section = Section::new("One", Against::Own, "about");
        section.rows.push(row("a", "1", "2").times(3).is(Verdict::Differs).because("why"));
        section.rows.push(row("b", "1", "1").is(Verdict::Agrees));
        let page = render(&[section]);
        assert!(page.contains("| [One](#one) | common practice or own runs | 1 | 3 | 0 | 0 | 0 | 0 |"), "{page}");
        assert!(page.contains("* One: a: 2 against 1. why"));
    }
}
