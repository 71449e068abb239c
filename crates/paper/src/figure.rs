//! Figures: a drawing with a caption and, where it shows numbers, the same numbers as a table.

use maud::{Markup, html};

use crate::drawing::{Drawing, Paint};

/// A drawing in a sheet.
#[derive(Debug, Clone)]
pub struct Figure {
    /// One line below the drawing.
    pub caption: String,
    /// The drawing.
    pub drawing: Drawing,
    /// The same in numbers, folded away on screen and left out in print.
    pub table: Option<DataTable>,
}

/// A plain table of texts.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct DataTable {
    /// What it shows.
    pub caption: String,
    /// Headings of the columns; the first column heads the rows.
    pub headings: Vec<String>,
    /// The cells, row by row.
    pub rows: Vec<Vec<String>>,
}

/// A figure element. A drawing that carries its own colours gets white paper below it, also in the dark.
pub(crate) fn figure(figure: &Figure) -> Markup {
    let class = match figure.drawing.paint() {
        Paint::Page => "figure",
        Paint::Paper => "figure on-paper",
    };
    html! {
        figure class=(class) {
            div class="sheet" tabindex="0" role="group" aria-label=(figure.caption) { (figure.drawing) }
            figcaption {
                p { (figure.caption) }
                @if let Some(table) = &figure.table {
                    details { summary { "the same in numbers" } (data_table(table)) }
                }
            }
        }
    }
}

/// A table element; the first cell of each row is its heading.
#[must_use]
pub fn data_table(table: &DataTable) -> Markup {
    html! {
        table class="numbers" {
            caption { (table.caption) }
            thead { tr { @for heading in &table.headings { th scope="col" { (heading) } } } }
            tbody {
                @for row in &table.rows {
                    tr {
                        @if let Some((first, rest)) = row.split_first() {
                            th scope="row" { (first) }
                            @for cell in rest { td { (cell) } }
                        }
                    }
                }
            }
        }
    }
}
