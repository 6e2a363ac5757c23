//! A document as blocks, before any file format: what is said, not where it stands on the page.

use super::Paper;
use serde::Serialize;

/// Side that a table column's text keeps to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Align {
    /// Words.
    Left,
    /// Numbers.
    Right,
    /// Marks and short words.
    Center,
}

/// One column of a table.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Column {
    /// Heading, with the unit of every figure below it.
    pub title: String,
    /// Side the text keeps to.
    pub align: Align,
    /// Share of the spare width; 0 takes what its widest cell needs.
    pub share: f64,
}

impl Column {
    /// A column of words that takes a share of the spare width.
    pub fn words(title: impl Into<String>, share: f64) -> Self {
        Self {
            title: title.into(),
            align: Align::Left,
            share,
        }
    }

    /// A column of figures, as wide as it needs.
    pub fn figures(title: impl Into<String>) -> Self {
        Self {
            title: title.into(),
            align: Align::Right,
            share: 0.0,
        }
    }

    /// A column of short words or marks, as wide as it needs.
    pub fn marks(title: impl Into<String>) -> Self {
        Self {
            title: title.into(),
            align: Align::Center,
            share: 0.0,
        }
    }
}

/// Rows under headings. The heading row is repeated on each page.
#[derive(Debug, Clone, PartialEq, Serialize, Default)]
pub struct Table {
    /// Said in one line above the table, also to a screen reader.
    pub caption: String,
    /// Columns.
    pub columns: Vec<Column>,
    /// Cells, as many in each row as there are columns.
    pub rows: Vec<Vec<String>>,
    /// Rows (from 0) that are printed bold.
    pub strong: Vec<usize>,
    /// Text size, points; 0 for the document's own.
    pub size_pt: f64,
    /// Columns of the page over which the table runs side by side, 1 for one.
    pub abreast: u8,
    /// Whether there is room to write by hand in the rows.
    pub roomy: bool,
}

/// How loud a boxed text is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Tone {
    /// Good to know.
    Note,
    /// Look at this before relying on the figures.
    Warning,
    /// Someone can be hurt or something damaged.
    Caution,
}

/// A label and what stands beside it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Fact {
    /// What it is.
    pub label: String,
    /// Its value; empty for a line to write on.
    pub value: String,
}

impl Fact {
    /// A label with its value.
    pub fn new(label: impl Into<String>, value: impl Into<String>) -> Self {
        Self {
            label: label.into(),
            value: value.into(),
        }
    }
}

/// One verdict on a summary page.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Answer {
    /// What was asked.
    pub title: String,
    /// The answer in a word or two.
    pub word: String,
    /// Shape of the box: `within`, `out`, `in doubt`, `not tested`, or `plain`.
    pub mark: String,
    /// How much of the room the word speaks for: `on 210 of 400 sq ft`; empty where it is all of it.
    pub on: String,
    /// Lines of detail.
    pub lines: Vec<String>,
}

/// A drawing to be placed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Picture {
    /// Name of the drawing in [`Document::drawings`].
    pub drawing: String,
    /// What it shows, for someone who cannot see it.
    pub alt: String,
    /// Line under it; empty for none.
    pub caption: String,
    /// Width on paper, millimetres; 0 for the width of the text.
    pub width_mm: f64,
    /// Height on paper, millimetres; 0 to follow the width.
    pub height_mm: f64,
}

/// A piece of a document.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum Block {
    /// A heading; also a bookmark. Levels count from 1 and skip none.
    Heading {
        /// 1 for a chapter.
        level: u8,
        /// Its text.
        text: String,
    },
    /// A paragraph.
    Text {
        /// Its text.
        text: String,
    },
    /// A paragraph set larger: the answer of the page.
    Lead {
        /// Its text.
        text: String,
    },
    /// A paragraph set smaller: a remark on a figure.
    Small {
        /// Its text.
        text: String,
    },
    /// Points one under the other.
    Bullets {
        /// The points.
        items: Vec<String>,
    },
    /// Boxes to tick.
    Ticks {
        /// Columns side by side.
        columns: u8,
        /// What to tick off.
        items: Vec<String>,
    },
    /// A text that must not be overlooked.
    Boxed {
        /// How loud.
        tone: Tone,
        /// Its heading word.
        title: String,
        /// Its text.
        text: String,
    },
    /// Labels with values, in columns.
    Facts {
        /// Columns side by side.
        columns: u8,
        /// The labels and values.
        items: Vec<Fact>,
    },
    /// A drawing with something beside it.
    Beside {
        /// The drawing.
        picture: Picture,
        /// What stands at its right.
        blocks: Vec<Block>,
    },
    /// Labels with lines to write on, in columns.
    Blanks {
        /// Columns side by side.
        columns: u8,
        /// The labels; a value given is printed on the line.
        items: Vec<Fact>,
    },
    /// Verdicts as boxes.
    Answers {
        /// Columns side by side.
        columns: u8,
        /// The verdicts.
        items: Vec<Answer>,
    },
    /// A table.
    Table(Table),
    /// A drawing in the run of the text.
    Picture(Picture),
    /// Drawings side by side.
    Pictures {
        /// Columns side by side.
        columns: u8,
        /// The drawings.
        items: Vec<Picture>,
    },
    /// A drawing at its true size on a page of its own.
    Sheet {
        /// The drawing; its width and height are its true size.
        picture: Picture,
        /// Whether the page lies on its long side.
        landscape: bool,
        /// Heading in the free edge above the drawing; also a bookmark. Empty for none.
        heading: String,
    },
    /// Lines to sign on.
    SignOff {
        /// Who signs.
        roles: Vec<String>,
        /// What each writes: name, signature, date.
        fields: Vec<String>,
        /// Whether they sign side by side, where a page has to hold more than signatures.
        abreast: bool,
    },
    /// The rest begins on a new page.
    PageBreak,
    /// One of several ways to say the same: the first that fits what is left of the page, or the last.
    Fitting {
        /// The ways, the roomiest first.
        ways: Vec<Way>,
    },
}

/// One of several ways to say the same.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Way {
    /// Text size, points; 0 for the document's own.
    pub size_pt: f64,
    /// What is said.
    pub blocks: Vec<Block>,
}

/// A vector or raster drawing, as bytes.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// Name, with the ending that tells its kind (`map.svg`, `logo.png`).
    pub name: String,
    /// The file.
    pub bytes: Vec<u8>,
}

/// A calendar date, pinned by the caller; nothing here reads a clock.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Date {
    /// Year.
    pub year: i32,
    /// Month, 1 to 12.
    pub month: u8,
    /// Day, 1 to 31.
    pub day: u8,
}

impl Date {
    /// Reads `2026-03-31`; `None` when it is anything else or no such day exists.
    pub fn parse(text: &str) -> Option<Self> {
        let mut parts = text.trim().get(..10)?.splitn(3, '-');
        let year: i32 = parts.next()?.parse().ok()?;
        let month: u8 = parts.next()?.parse().ok()?;
        let day: u8 = parts.next()?.parse().ok()?;
        let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
        let days = match month {
            1 | 3 | 5 | 7 | 8 | 10 | 12 => 31,
            4 | 6 | 9 | 11 => 30,
            2 if leap => 29,
            2 => 28,
            _ => return None,
        };
        ((0..=9999).contains(&year) && (1..=days).contains(&day)).then_some(Self {
            year,
            month,
            day,
        })
    }
}

/// Pages to be set.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Document {
    /// Title: on the first page, in the running head and in the file's own data.
    pub title: String,
    /// Under the title: room, place, date.
    pub subtitle: String,
    /// Under that, in a frame: what stands in for something of the job's own.
    pub stand_ins: Vec<String>,
    /// Running head, right side.
    pub head: String,
    /// Running foot, left side: version and input.
    pub foot: String,
    /// Word before the page number.
    pub page_word: String,
    /// Word between page number and page count.
    pub of_word: String,
    /// Who made it, for the file's own data.
    pub authors: Vec<String>,
    /// Words to find it by, for the file's own data.
    pub keywords: Vec<String>,
    /// Date in the file's own data; `None` leaves it out.
    pub date: Option<Date>,
    /// Language of the words, as in BCP 47.
    pub language: String,
    /// Paper.
    #[serde(skip)]
    pub paper: Paper,
    /// Whether the text pages lie on their long side.
    pub landscape: bool,
    /// Drawing to print as a logo on the first page; empty for none.
    pub logo: String,
    /// The logo's file as the user named it, for what is said of it; empty where it has the drawing's own name.
    pub logo_file: String,
    /// Lines beside the logo: the company block.
    pub company: Vec<String>,
    /// What is said.
    pub blocks: Vec<Block>,
    /// The drawings that blocks refer to.
    #[serde(skip)]
    pub drawings: Vec<Drawing>,
}

impl Document {
    /// An empty document in English.
    pub fn new(title: impl Into<String>, paper: Paper) -> Self {
        Self {
            title: title.into(),
            subtitle: String::new(),
            stand_ins: Vec::new(),
            head: String::new(),
            foot: String::new(),
            page_word: super::words::PAGE.to_owned(),
            of_word: super::words::OF.to_owned(),
            authors: Vec::new(),
            keywords: Vec::new(),
            date: None,
            language: super::words::LANGUAGE.to_owned(),
            paper,
            landscape: false,
            logo: String::new(),
            logo_file: String::new(),
            company: Vec::new(),
            blocks: Vec::new(),
            drawings: Vec::new(),
        }
    }

    /// Adds a block.
    pub fn push(&mut self, block: Block) -> &mut Self {
        self.blocks.push(block);
        self
    }

    /// Adds a heading.
    pub fn heading(&mut self, level: u8, text: impl Into<String>) -> &mut Self {
        self.push(Block::Heading {
            level,
            text: text.into(),
        })
    }

    /// Adds a paragraph.
    pub fn text(&mut self, text: impl Into<String>) -> &mut Self {
        self.push(Block::Text { text: text.into() })
    }

    /// Keeps a drawing under a name and gives the name back.
    pub fn draw(&mut self, name: impl Into<String>, bytes: impl Into<Vec<u8>>) -> String {
        let name = name.into();
        self.drawings.push(Drawing {
            name: name.clone(),
            bytes: bytes.into(),
        });
        name
    }
}
