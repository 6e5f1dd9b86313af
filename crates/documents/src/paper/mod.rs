//! The papers of a bin as plain data: blocks of text, tables, figures, blanks and cautions, in the units of their reader.
//!
//! A paper is filled once ([`crate::compose`]) and printed by printers that know nothing of grain: [`html`] and [`xlsx`] here,
//! the PDF in the crate `typeset`. All text may come from outside; printers escape it.

pub mod html;
pub mod polish;
pub mod table;
pub mod text;
pub mod xlsx;
pub mod years;

pub use table::{Align, Cell, Column, Table};

use crate::scene::Scene;

/// Which paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PaperKind {
    /// What is offered, what it will do, at which risk and cost.
    Proposal,
    /// Electric, fuel, structure and roof loads for those who decide on them.
    Loads,
    /// Expected readings with blanks, beside a running fan.
    Commissioning,
    /// One page for the control box.
    Card,
    /// Every relation with source, range and remarks; the site text; identity; balances.
    Annex,
}

impl PaperKind {
    /// All, in the order of their use.
    pub const ALL: [Self; 5] = [Self::Proposal, Self::Loads, Self::Commissioning, Self::Card, Self::Annex];

    /// Name in addresses and of files.
    pub fn name(self) -> &'static str {
        match self {
            Self::Proposal => "proposal",
            Self::Loads => "loads",
            Self::Commissioning => "commissioning",
            Self::Card => "card",
            Self::Annex => "annex",
        }
    }

    /// The paper of a name.
    pub fn of_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.name() == name)
    }

    /// Title as printed.
    pub fn title(self) -> &'static str {
        match self {
            Self::Proposal => "Proposal",
            Self::Loads => "Load sheets",
            Self::Commissioning => "Commissioning sheet",
            Self::Card => "Operating card",
            Self::Annex => "Engineer’s annex",
        }
    }

    /// What it holds, in one line.
    pub fn says(self) -> &'static str {
        match self {
            Self::Proposal => "what is offered, what it will do, at which risk and cost, and what it assumes",
            Self::Loads => {
                "loads for the electrician, the gas fitter and the structural engineer, with who decides what"
            }
            Self::Commissioning => "readings to expect beside the running fan, with blanks, order of work and cautions",
            Self::Card => {
                "one page for the control box: first fill, limits, set points, weekly readings, winter and spring"
            }
            Self::Annex => {
                "every relation with source, range and remarks; the site text; identity of the run; balances"
            }
        }
    }
}

/// A bin's name as part of a file name that every file system takes.
pub fn file_stem(name: &str) -> String {
    let plain: String = name.chars().map(|c| if c.is_alphanumeric() || c == '-' { c } else { '-' }).take(60).collect();
    plain.to_lowercase()
}

/// One paper.
#[derive(Debug, Clone, PartialEq)]
pub struct Paper {
    /// Which.
    pub kind: PaperKind,
    /// What it is about: site and bin.
    pub subject: String,
    /// Facts under the title: name and what it says.
    pub facts: Vec<(String, String)>,
    /// Warnings that every page carries: DEMO, ESTIMATED.
    pub marks: Vec<String>,
    /// Foot of every page: identity of bin, site, date and run.
    pub foot: String,
    /// Date as year, month, day: that of the file as well, since printers read no clock.
    pub date: (i32, u8, u8),
    /// Kept on one page, in smaller type and two columns.
    pub one_page: bool,
    /// The content.
    pub blocks: Vec<Block>,
}

/// One part of a paper.
#[derive(Debug, Clone, PartialEq)]
pub enum Block {
    /// A heading; level 1 is the largest below the title.
    Heading {
        /// 1 or 2.
        level: u8,
        /// What it says.
        text: String,
    },
    /// The sentence the paper is about, set large.
    Lead(String),
    /// A paragraph.
    Text(String),
    /// A remark in small type.
    Note(String),
    /// Points; numbered where their order matters.
    List {
        /// Numbered.
        numbered: bool,
        /// The points.
        items: Vec<String>,
    },
    /// A table.
    Table(Table),
    /// A picture with the numbers behind it.
    Figure(Figure),
    /// Lines to write on: what is to be written, and how wide the line is (1 is the whole width).
    Blanks(Vec<(String, f64)>),
    /// Cautions, framed.
    Cautions(Vec<String>),
    /// Text as it is, in a face of one width: the site file.
    Verbatim(String),
    /// What follows begins a page; a column on a paper of one page.
    NewPage,
}

impl Block {
    /// A heading of the first level.
    pub fn heading(text: impl Into<String>) -> Self {
        Self::Heading { level: 1, text: text.into() }
    }

    /// A heading of the second level.
    pub fn under(text: impl Into<String>) -> Self {
        Self::Heading { level: 2, text: text.into() }
    }

    /// A paragraph.
    pub fn text(text: impl Into<String>) -> Self {
        Self::Text(text.into())
    }

    /// A remark in small type.
    pub fn note(text: impl Into<String>) -> Self {
        Self::Note(text.into())
    }

    /// Points whose order does not matter.
    pub fn points(items: Vec<String>) -> Self {
        Self::List { numbered: false, items }
    }

    /// Steps in their order.
    pub fn steps(items: Vec<String>) -> Self {
        Self::List { numbered: true, items }
    }
}

/// A picture.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    /// What it is called.
    pub name: String,
    /// What it shows, in words: for those who cannot see it, and under it for all.
    pub says: String,
    /// The picture.
    pub scene: Scene,
    /// The numbers behind it, each list a sheet of the workbook.
    pub behind: Vec<Series>,
}

/// A list of numbers behind a picture.
#[derive(Debug, Clone, PartialEq)]
pub struct Series {
    /// What it is called.
    pub name: String,
    /// Headings, with their units.
    pub columns: Vec<String>,
    /// Rows.
    pub rows: Vec<Vec<Datum>>,
}

/// One entry of a list of numbers.
#[derive(Debug, Clone, PartialEq)]
pub enum Datum {
    /// A number in the unit of its heading; what is no number stays empty.
    Number(f64),
    /// A word or a date.
    Text(String),
}

impl Paper {
    /// Title of the document.
    pub fn title(&self) -> String {
        match self.subject.is_empty() {
            true => self.kind.title().to_string(),
            false => format!("{}: {}", self.kind.title(), self.subject),
        }
    }

    /// Figures in their order.
    pub fn figures(&self) -> impl Iterator<Item = &Figure> {
        self.blocks.iter().filter_map(|block| match block {
            Block::Figure(figure) => Some(figure),
            _ => None,
        })
    }

    /// Tables in their order.
    pub fn tables(&self) -> impl Iterator<Item = &Table> {
        self.blocks.iter().filter_map(|block| match block {
            Block::Table(table) => Some(table),
            _ => None,
        })
    }
}
