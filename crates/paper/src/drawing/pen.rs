//! The pen: shapes and texts with the marks of this house, as presentation attributes or as classes.

use maud::{Markup, html};

use super::path::{PathData, tenths};

/// How a drawing carries its colours. Widths, dashes and sizes are presentation attributes either way, so that a
/// drawing keeps its meaning without any style sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Paint {
    /// By CSS classes: follows the page's light and dark colours; needs [`super::DRAWING_CSS`].
    Page,
    /// By presentation attributes in ink on white: complete in itself, for files and for typesetters.
    Paper,
}

/// What a line, an area or a text stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Mark {
    /// Edge of a thing.
    Outline,
    /// Heavy edge of the thing that the drawing is about.
    Emphasis,
    /// An area in ink.
    Solid,
    /// An area in the colour of the paper, to cover what lies below.
    Cover,
    /// The line of an axis.
    Axis,
    /// A grid line.
    Grid,
    /// A wire.
    Wire,
    /// From a label to its thing.
    Leader,
    /// The n-th curve; told apart by dash pattern and width, never by colour alone. The patterns repeat after six.
    Curve(usize),
    /// Ordinary text, 12 units high.
    Label,
    /// Small text, 10.5 units high.
    Small,
    /// Strong text, 12 units high.
    Strong,
}

/// Where a text's anchor point lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Anchor {
    /// The text begins there.
    Start,
    /// The text is centred there.
    Middle,
    /// The text ends there.
    End,
}

/// Dash patterns of the curves: solid, dashed, dotted, dash-dot, long dash, dash-dot-dot.
const DASHES: [&str; 6] = ["", "7 4", "1.5 3.5", "9 3.5 1.5 3.5", "15 5", "9 3 1.5 3 1.5 3"];

/// Ink, soft ink, line grey and accent of the house on white paper; the same as in `card.css`.
const INK: &str = "#1d2427";
const SOFT: &str = "#475257";
const LINE: &str = "#c5cccf";
const ACCENT: &str = "#17596a";
const PAPER: &str = "#ffffff";
/// The families that drawings for paper name; the first that the reader's system has is used.
const FAMILIES: &str = "Segoe UI, Roboto, Helvetica Neue, Noto Sans, Liberation Sans, Arial, sans-serif";

/// The look of a mark.
struct Look {
    class: &'static str,
    stroke: Option<&'static str>,
    fill: &'static str,
    width: Option<&'static str>,
    dash: Option<&'static str>,
    size: Option<&'static str>,
    weight: Option<&'static str>,
}

impl Mark {
    fn look(self) -> Look {
        let line = |class, stroke, width| Look {
            class,
            stroke: Some(stroke),
            fill: "none",
            width: Some(width),
            dash: None,
            size: None,
            weight: None,
        };
        let area = |class, fill| Look {
            class,
            stroke: None,
            fill,
            width: None,
            dash: None,
            size: None,
            weight: None,
        };
        let text = |class, fill, size| Look { size: Some(size), ..area(class, fill) };
        match self {
            Self::Outline => line("d-outline", INK, "1.2"),
            Self::Emphasis => line("d-emphasis", ACCENT, "2.6"),
            Self::Solid => area("d-solid", INK),
            Self::Cover => area("d-cover", PAPER),
            Self::Axis => line("d-axis", SOFT, "1"),
            Self::Grid => line("d-grid", LINE, "0.6"),
            Self::Wire => line("d-wire", INK, "1.8"),
            Self::Leader => line("d-leader", SOFT, "0.6"),
            Self::Curve(index) => {
                let dash = DASHES[index % DASHES.len()];
                let (class, stroke) = if index == 0 { ("d-first-curve", ACCENT) } else { ("d-curve", INK) };
                Look {
                    dash: Some(dash).filter(|dash| !dash.is_empty()),
                    ..line(class, stroke, if index == 0 { "2.2" } else { "1.6" })
                }
            }
            Self::Label => text("d-label", INK, "12"),
            Self::Small => text("d-small", SOFT, "10.5"),
            Self::Strong => Look { weight: Some("600"), ..text("d-strong", INK, "12") },
        }
    }
}

/// Draws with one paint.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Pen {
    paint: Paint,
}

impl Pen {
    /// A pen for this paint.
    #[must_use]
    pub fn new(paint: Paint) -> Self {
        Self { paint }
    }

    /// A straight line.
    #[must_use]
    pub fn line(self, mark: Mark, from: (f64, f64), to: (f64, f64)) -> Markup {
        self.path(mark, &PathData::polyline([from, to]))
    }

    /// A path.
    #[must_use]
    pub fn path(self, mark: Mark, data: &PathData) -> Markup {
        let (look, class, stroke, fill) = self.colours(mark);
        html! {
            path class=[class] stroke=[stroke] fill=[fill] stroke-width=[look.width] stroke-dasharray=[look.dash]
                stroke-linejoin="round" d=(data.as_str()) {}
        }
    }

    /// A rectangle with its upper left corner, width and height, and the radius of its corners.
    #[must_use]
    pub fn rectangle(self, mark: Mark, corner: (f64, f64), size: (f64, f64), radius: f64) -> Markup {
        let (look, class, stroke, fill) = self.colours(mark);
        html! {
            rect class=[class] stroke=[stroke] fill=[fill] stroke-width=[look.width] stroke-dasharray=[look.dash]
                x=(tenths(corner.0)) y=(tenths(corner.1)) width=(tenths(size.0)) height=(tenths(size.1))
                rx=[(radius > 0.0).then(|| tenths(radius))] {}
        }
    }

    /// A circle.
    #[must_use]
    pub fn circle(self, mark: Mark, centre: (f64, f64), radius: f64) -> Markup {
        let (look, class, stroke, fill) = self.colours(mark);
        html! {
            circle class=[class] stroke=[stroke] fill=[fill] stroke-width=[look.width] stroke-dasharray=[look.dash]
                cx=(tenths(centre.0)) cy=(tenths(centre.1)) r=(tenths(radius)) {}
        }
    }

    /// A text on one line. `at` is its anchor on the base line; the text is escaped.
    #[must_use]
    pub fn text(self, mark: Mark, at: (f64, f64), anchor: Anchor, words: &str) -> Markup {
        let (look, class, _, fill) = self.colours(mark);
        let anchor = match anchor {
            Anchor::Start => None,
            Anchor::Middle => Some("middle"),
            Anchor::End => Some("end"),
        };
        let family = (self.paint == Paint::Paper).then_some(FAMILIES);
        html! {
            text class=[class] fill=[fill] font-family=[family] font-size=[look.size] font-weight=[look.weight]
                text-anchor=[anchor] x=(tenths(at.0)) y=(tenths(at.1)) { (words) }
        }
    }

    /// The look of a mark with its class for the page, or its stroke and fill for paper.
    fn colours(self, mark: Mark) -> (Look, Option<&'static str>, Option<&'static str>, Option<&'static str>) {
        let look = mark.look();
        let (class, stroke, fill) = match self.paint {
            Paint::Page => (Some(look.class), None, None),
            Paint::Paper => (None, look.stroke, Some(look.fill)),
        };
        (look, class, stroke, fill)
    }
}
