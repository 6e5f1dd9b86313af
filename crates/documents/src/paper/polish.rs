//! The last hand on a paper: one minus sign and one apostrophe throughout, wherever a sentence came from.

use super::{Block, Cell, Paper, Table};

/// The text with true minus signs before numbers and curved apostrophes within words.
pub fn polished(text: &str) -> String {
    let signs: Vec<char> = text.chars().collect();
    let mut out = String::with_capacity(text.len());
    for (i, &sign) in signs.iter().enumerate() {
        let before = i.checked_sub(1).map(|k| signs[k]);
        let after = signs.get(i + 1).copied();
        let opens = before.is_none_or(|b| b.is_whitespace() || matches!(b, '(' | '±' | '['));
        out.push(match sign {
            '-' if opens && after.is_some_and(|a| a.is_ascii_digit()) => '\u{2212}',
            '\'' if before.is_some_and(char::is_alphabetic) && after.is_some_and(char::is_alphabetic) => '’',
            sign => sign,
        });
    }
    out
}

impl Paper {
    /// The paper with all that is said in it polished; text that stands as it was written stays so.
    pub fn polished(mut self) -> Self {
        let polish = |text: &mut String| *text = polished(text);
        self.facts.iter_mut().for_each(|(_, says)| polish(says));
        for block in &mut self.blocks {
            match block {
                Block::Heading { text, .. } | Block::Lead(text) | Block::Text(text) | Block::Note(text) => polish(text),
                Block::List { items, .. } | Block::Cautions(items) => items.iter_mut().for_each(polish),
                Block::Table(table) => self::table(table),
                Block::Figure(figure) => polish(&mut figure.says),
                Block::Blanks(_) | Block::Verbatim(_) | Block::NewPage => {}
            }
        }
        self
    }
}

fn table(table: &mut Table) {
    table.caption = polished(&table.caption);
    for cell in table.rows.iter_mut().flatten() {
        if let Cell::Text(text) | Cell::Strong(text) | Cell::None(text) = cell {
            *text = polished(text);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn minus_and_apostrophe_are_those_of_print() {
        assert_eq!(polished("air of -2.5 °F (-19.2 °C)"), "air of −2.5 °F (−19.2 °C)");
        assert_eq!(
            polished("the bin's maker, propose --quick, 2024-01-01, demo-centrifugal-10hp"),
            "the bin’s maker, propose --quick, 2024-01-01, demo-centrifugal-10hp"
        );
        assert_eq!(polished("'quoted'"), "'quoted'");
    }
}
