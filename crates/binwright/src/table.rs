//! Small aligned tables for terminals, readable without colour.

/// Rows of cells; the first column is aligned left, the others as told.
#[derive(Debug, Default)]
pub struct Table {
    rows: Vec<Vec<String>>,
    right: bool,
}

impl Table {
    /// A table of names and what belongs to them.
    pub fn facts() -> Self {
        Self::default()
    }

    /// A table of numbers under a head, aligned right from the second column on.
    pub fn numbers(head: &[&str]) -> Self {
        Self { rows: vec![head.iter().map(ToString::to_string).collect()], right: true }
    }

    /// A table of numbers under names and, in a second line, their units: cells then need none.
    pub fn measured(head: &[(&str, &str)]) -> Self {
        let mut table = Self::numbers(&head.iter().map(|h| h.0).collect::<Vec<_>>());
        table.row(head.iter().map(|h| h.1));
        table
    }

    /// Adds a row.
    pub fn row<S: Into<String>>(&mut self, cells: impl IntoIterator<Item = S>) -> &mut Self {
        self.rows.push(cells.into_iter().map(Into::into).collect());
        self
    }

    /// The table as lines.
    pub fn render(&self) -> String {
        let columns = self.rows.iter().map(Vec::len).max().unwrap_or(0);
        let width: Vec<usize> = (0..columns)
            .map(|c| self.rows.iter().filter_map(|r| r.get(c)).map(|s| s.chars().count()).max().unwrap_or(0))
            .collect();
        let mut out = String::new();
        for row in &self.rows {
            let mut line = String::new();
            for (c, cell) in row.iter().enumerate() {
                let pad = " ".repeat(width[c] - cell.chars().count());
                if c > 0 {
                    line.push_str("  ");
                }
                if self.right && c > 0 {
                    line.push_str(&pad);
                    line.push_str(cell);
                } else {
                    line.push_str(cell);
                    line.push_str(&pad);
                }
            }
            out.push_str(line.trim_end_matches(' '));
            out.push('\n');
        }
        out
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_line_up() {
        let mut table = Table::numbers(&["depth", "Pa"]);
        table.row(["4 m", "120"]).row(["12 m", "1080"]);
        assert_eq!(table.render(), "depth    Pa\n4 m     120\n12 m   1080\n");
        let mut table = Table::measured(&[("fill", ""), ("static", "Pa")]);
        table.row(["full", "1080"]);
        assert_eq!(table.render(), "fill  static\n          Pa\nfull    1080\n");
    }
}
