//! Drawings: a small toolkit that turns numbers and words into one self-contained SVG.
//!
//! What it is: scales with round ticks, paths with one decimal, a pen that knows the marks of this house, axes, labels
//! that keep out of each other's way, and the response plot. What it is not: a charting library, and it computes
//! nothing: it draws what it is given.
//! Source: SVG 1.1 (second edition) for elements and attributes; WAI-ARIA Graphics practice for `role="img"` with a
//! title and a description (both from memory).

mod axes;
mod curves;
mod impedance;
mod label;
mod path;
mod pen;
mod plot;
mod scale;

#[cfg(test)]
mod tests;

use maud::{Markup, Render, html};

pub use axes::{Area, Axis, axes};
pub use impedance::{ImpedanceLabels, ImpedanceSeries, impedance_plot, impedance_table};
pub use label::{shortened, spread, text_width};
pub use path::{PathData, tenths};
pub use pen::{Anchor, Mark, Paint, Pen};
pub use plot::{PlotLabels, Series, response_plot, response_table};
pub use scale::{LinearScale, LogScale, hertz_label, plain_label};

/// The style sheet that drawings with [`Paint::Page`] need on their page. It reads the custom properties `--ink`,
/// `--soft`, `--line`, `--paper` and `--accent`, and has fallbacks for each.
pub const DRAWING_CSS: &str = include_str!("drawing.css");

/// What a drawing says to those who cannot see it.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct About {
    /// Makes the ids of this drawing unique on its page: letters, digits and hyphens; all else is dropped.
    pub name: String,
    /// One line that says what is drawn.
    pub title: String,
    /// What a look at the drawing would tell.
    pub description: String,
}

/// A finished drawing: one SVG element with title, description and role.
#[derive(Debug, Clone)]
pub struct Drawing {
    markup: Markup,
    paint: Paint,
}

impl Drawing {
    /// A drawing of `width` × `height` units (CSS pixels when not scaled) around `content`.
    ///
    /// The content is trusted markup: make it with a [`Pen`] or with maud, which escape every text.
    #[must_use]
    pub fn new(about: &About, (width, height): (f64, f64), paint: Paint, content: &Markup) -> Self {
        let name: String = about.name.chars().filter(|c| c.is_ascii_alphanumeric() || *c == '-').collect();
        let (title_id, desc_id) = (format!("{name}-title"), format!("{name}-desc"));
        let (width, height) = (tenths(width), tenths(height));
        let markup = html! {
            svg class="drawing" xmlns="http://www.w3.org/2000/svg" role="img" aria-labelledby={ (title_id) " " (desc_id) }
                viewBox={ "0 0 " (width) " " (height) } width=(width) height=(height)
            {
                title id=(title_id) { (about.title) }
                desc id=(desc_id) { (about.description) }
                (content)
            }
        };
        Self { markup, paint }
    }

    /// How it carries its colours.
    #[must_use]
    pub fn paint(&self) -> Paint {
        self.paint
    }

    /// The SVG element as text; with [`Paint::Paper`] it is a complete file of its own.
    #[must_use]
    pub fn as_svg(&self) -> &str {
        &self.markup.0
    }
}

impl Render for Drawing {
    fn render(&self) -> Markup {
        self.markup.clone()
    }
}
