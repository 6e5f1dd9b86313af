//! A paper as one self-contained page: inline style and pictures, no script, nothing loaded from anywhere.

use super::{Align, Block, Cell, Figure, Paper, Table};
use crate::report::Outcome;
use crate::scene::Scene;
use crate::svg::{self, escape};

const STYLE: &str = include_str!("paper.css");

/// Rows up to which a table is kept on one printed page.
const SHORT: usize = 34;

/// Returns the page.
pub fn render(paper: &Paper) -> String {
    let mut body = Body { out: String::new(), pictures: 0 };
    body.head(paper);
    body.out.push_str("<main>\n");
    paper.blocks.iter().for_each(|block| body.block(block));
    body.out.push_str("</main>\n");
    body.out.push_str(&format!("<footer><bdi>{}</bdi></footer>\n", escape(&paper.foot)));
    format!(
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'; img-src data:\">\n\
         <meta name=\"color-scheme\" content=\"light\">\n<title>{}</title>\n<style>\n{STYLE}</style>\n</head>\n\
         <body class=\"{}\">\n{}</body>\n</html>\n",
        escape(&paper.title()),
        if paper.one_page { "card" } else { "sheet" },
        body.out
    )
}

struct Body {
    out: String,
    pictures: usize,
}

impl Body {
    fn put(&mut self, text: &str) {
        self.out.push_str(text);
    }

    fn head(&mut self, paper: &Paper) {
        self.put("<header>\n");
        for mark in &paper.marks {
            self.put(&format!("<p class=\"mark\">{}</p>\n", escape(mark)));
        }
        self.put(&format!(
            "<h1>{} <span class=\"subject\"><bdi>{}</bdi></span></h1>\n",
            escape(paper.kind.title()),
            escape(&paper.subject)
        ));
        if !paper.facts.is_empty() {
            self.put("<dl class=\"facts\">\n");
            for (name, says) in &paper.facts {
                let (name, says) = (escape(name), escape(says));
                self.put(&format!("<div><dt>{name}</dt><dd><bdi>{says}</bdi></dd></div>\n"));
            }
            self.put("</dl>\n");
        }
        self.put("</header>\n");
    }

    fn block(&mut self, block: &Block) {
        let element =
            |tag: &str, class: &str, text: &str| format!("<{tag}{class}><bdi>{}</bdi></{tag}>\n", escape(text));
        match block {
            Block::Heading { level, text } => {
                self.put(&element(if *level <= 1 { "h2" } else { "h3" }, "", text));
            }
            Block::Lead(text) => self.put(&element("p", " class=\"lead\"", text)),
            Block::Text(text) => self.put(&element("p", "", text)),
            Block::Note(text) => self.put(&element("p", " class=\"note\"", text)),
            Block::List { numbered, items } => {
                let tag = if *numbered { "ol" } else { "ul" };
                if !items.is_empty() {
                    let items: String = items.iter().map(|item| element("li", "", item)).collect();
                    self.put(&format!("<{tag}>\n{items}</{tag}>\n"));
                }
            }
            Block::Table(table) => self.table(table),
            Block::Figure(figure) => self.figure(figure),
            Block::Blanks(blanks) => {
                self.put("<p class=\"blanks\">");
                for (what, width) in blanks {
                    let width = (100.0 * width).clamp(5.0, 100.0);
                    self.put(&format!("<span style=\"width:{width:.0}%\">{} <i></i></span> ", escape(what)));
                }
                self.put("</p>\n");
            }
            Block::Cautions(cautions) => {
                let items: String = cautions.iter().map(|says| element("li", "", says)).collect();
                self.put(&format!("<div class=\"cautions\" role=\"note\"><b>Cautions</b>\n<ul>\n{items}</ul></div>\n"));
            }
            Block::Verbatim(text) => {
                // Line ends are kept, everything else is escaped as elsewhere.
                let lines: Vec<String> = text.lines().map(escape).collect();
                self.put(&format!("<pre tabindex=\"0\">{}</pre>\n", lines.join("\n")));
            }
            Block::NewPage => self.put("<hr class=\"page\">\n"),
        }
    }

    fn picture(&mut self, scene: &Scene) -> String {
        self.pictures += 1;
        svg::write(scene, &format!("p{}", self.pictures))
    }

    fn figure(&mut self, figure: &Figure) {
        let picture = self.picture(&figure.scene);
        self.put(&format!(
            "<figure>\n<div class=\"picture\">{picture}</div>\n<figcaption><b><bdi>{}</bdi></b> <bdi>{}</bdi></figcaption>\n</figure>\n",
            escape(&figure.name),
            escape(&figure.says)
        ));
    }

    fn table(&mut self, table: &Table) {
        if table.rows.is_empty() {
            return self.put(&format!("<p class=\"note\"><bdi>{}</bdi></p>\n", escape(&table.empty)));
        }
        let short = if table.rows.len() <= SHORT { " short" } else { "" };
        self.put(&format!(
            "<div class=\"scroll{short}\" role=\"region\" aria-label=\"{0}\" tabindex=\"0\"><table>\n<caption><bdi>{0}</bdi></caption>\n<thead><tr>",
            escape(&table.caption)
        ));
        for column in &table.columns {
            let class = if column.align == Align::Number { " class=\"n\"" } else { "" };
            let unit = match column.unit.as_str() {
                "" => String::new(),
                unit => format!(" <span class=\"unit\">{}</span>", escape(unit)),
            };
            self.put(&format!("<th scope=\"col\"{class}>{}{unit}</th>", escape(&column.heading)));
        }
        self.put("</tr></thead>\n<tbody>\n");
        for (r, row) in table.rows.iter().enumerate() {
            self.put("<tr>");
            for (c, cell) in row.iter().enumerate() {
                let numbers = table.columns.get(c).is_some_and(|column| column.align == Align::Number);
                let cell = self.cell(cell, &table.padding(r, c), numbers);
                self.put(&cell);
            }
            self.put("</tr>\n");
        }
        self.put("</tbody></table></div>\n");
    }

    fn cell(&mut self, cell: &Cell, padding: &str, numbers: bool) -> String {
        let class = if numbers { " class=\"n\"" } else { "" };
        match cell {
            Cell::Text(text) => format!("<td{class}><bdi>{}</bdi></td>", escape(text)),
            Cell::Strong(text) => format!("<td{class}><b><bdi>{}</bdi></b></td>", escape(text)),
            Cell::Number { text, .. } => {
                let pad = match padding {
                    "" => String::new(),
                    pad => format!("<span class=\"pad\" aria-hidden=\"true\">{pad}</span>"),
                };
                format!("<td class=\"n\">{}{pad}</td>", escape(text))
            }
            Cell::None(words) => {
                format!("<td class=\"{}none\">{}</td>", if numbers { "n " } else { "" }, escape(words))
            }
            Cell::Outcome(outcome) => format!("<td>{}</td>", shape(*outcome)),
            Cell::Blank => "<td class=\"blank\"></td>".into(),
        }
    }
}

/// Shape and word of an outcome.
fn shape(outcome: Outcome) -> String {
    let items = super::years::mark(outcome, 6.0, 6.0, 5.0);
    let scene = Scene { width: 12.0, height: 12.0, title: String::new(), describe: String::new(), items };
    // Without name and description: the word beside it says what it is.
    let drawn = svg::bare(&scene);
    format!(
        "<svg class=\"shape\" viewBox=\"0 0 12 12\" width=\"12\" height=\"12\" aria-hidden=\"true\">{drawn}</svg> {}",
        outcome.word()
    )
}
