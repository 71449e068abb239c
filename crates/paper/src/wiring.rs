//! The wiring diagram: speakers and pads with the wires between them, as found beside as planned.
//!
//! What it is: each set of joined terminals as a lane with a stub to every terminal, so that nothing depends on which way a
//! wire runs in the model. Joints to change carry a number in a shape: a square where a wire is lifted, a circle where one is
//! joined, a diamond where a new wire ends.
//! What it is not: a drawing of the model, and it decides nothing: nets, numbers and order come from the caller.

use std::collections::BTreeMap;

use maud::{Markup, html};

use crate::drawing::{About, Anchor, Drawing, Mark, Paint, PathData, Pen, shortened, text_width};

/// What a drawn part is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PartShape {
    /// A loudspeaker.
    Speaker,
    /// A resistor, capacitor or inductor.
    Component,
}

/// A part with its two leads.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DrawnPart {
    /// Its name.
    pub name: String,
    /// What it is, in a few words.
    pub detail: String,
    /// What it looks like.
    pub shape: PartShape,
    /// Its leads, plus first.
    pub leads: (String, String),
    /// Whether it is known which lead is plus.
    pub is_polarity_known: bool,
}

/// What is done at a joint.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum JointChange {
    /// A wire is lifted here: a square.
    Lift,
    /// A wire is joined here: a circle.
    Join,
    /// A new wire ends here: a diamond.
    Lay,
}

/// A joint that is changed, with the number of the step.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Badge {
    /// The terminal.
    pub terminal: String,
    /// What is done.
    pub change: JointChange,
    /// The number of the step.
    pub number: usize,
}

/// One wiring.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct WiringPanel {
    /// What it is: "as found".
    pub title: String,
    /// Terminals on the left: pads of the board or outputs of the amplifier first, then whatever else wires reach.
    pub pads: Vec<String>,
    /// Parts on the right.
    pub parts: Vec<DrawnPart>,
    /// Sets of joined terminals.
    pub nets: Vec<Vec<String>>,
    /// Joints that are changed.
    pub badges: Vec<Badge>,
}

const TITLE_BASE: f64 = 20.0;
const TOP: f64 = 52.0;
const PAD_STEP: f64 = 44.0;
const PART_STEP: f64 = 74.0;
const LEAD_STEP: f64 = 34.0;
const LANE_STEP: f64 = 18.0;
const LABEL_HEIGHT: f64 = 12.0;
const GAP: f64 = 34.0;
/// The widest that a name may be drawn; the whole name stands in the tables beside the drawing.
const MOST_LABEL: f64 = 92.0;
/// The width that two panels may have side by side; wider ones stand one above the other.
const MOST_WIDTH: f64 = 840.0;

/// Draws one or more wirings, side by side where they fit, else one above the other.
#[must_use]
pub fn wiring_diagram(about: &About, panels: &[WiringPanel], paint: Paint) -> Drawing {
    let pen = Pen::new(paint);
    let laid_out: Vec<Layout<'_>> = panels.iter().map(Layout::of).collect();
    let total: f64 =
        laid_out.iter().map(|panel| panel.width).sum::<f64>() + GAP * laid_out.len().saturating_sub(1) as f64;
    let is_side_by_side = total <= MOST_WIDTH;
    let (mut x, mut y, mut width, mut height) = (0.0, 0.0, 0.0_f64, 0.0_f64);
    let mut drawn: Vec<Markup> = Vec::new();
    for panel in &laid_out {
        drawn
            .push(html! { g transform={ "translate(" (tenth(x)) " " (tenth(y)) ")" } { (panel.draw(pen)) } });
        if is_side_by_side {
            width = x + panel.width;
            height = height.max(panel.height);
            x += panel.width + GAP;
        } else {
            width = width.max(panel.width);
            height = y + panel.height;
            y += panel.height + GAP;
        }
    }
    Drawing::new(about, (width.max(1.0), height.max(1.0)), paint, &html! { @for one in &drawn { (one) } })
}

fn tenth(value: f64) -> String {
    crate::drawing::tenths(value)
}

/// Where everything of a panel lies.
struct Layout<'a> {
    panel: &'a WiringPanel,
    /// Where the pads' stubs begin.
    pads_x: f64,
    /// Where the parts' leads end.
    leads_x: f64,
    width: f64,
    height: f64,
    terminals: BTreeMap<&'a str, Place>,
}

#[derive(Clone, Copy)]
struct Place {
    x: f64,
    y: f64,
    is_pad: bool,
}

impl<'a> Layout<'a> {
    fn of(panel: &'a WiringPanel) -> Self {
        let label = |words: &str| text_width(&shortened(words, LABEL_HEIGHT, MOST_LABEL), LABEL_HEIGHT);
        let widest_pad = panel.pads.iter().map(|pad| label(pad)).fold(0.0, f64::max);
        let pads_x = widest_pad + 12.0;
        let n_lanes = panel.nets.len().max(1) as f64;
        let leads_x = pads_x + 34.0 + LANE_STEP * n_lanes + 10.0;
        let widest_part =
            panel.parts.iter().map(|part| label(&part.name).max(label(&part.detail))).fold(0.0, f64::max);
        let mut terminals = BTreeMap::new();
        for (index, pad) in panel.pads.iter().enumerate() {
            terminals
                .insert(pad.as_str(), Place { x: pads_x, y: TOP + PAD_STEP * index as f64, is_pad: true });
        }
        for (index, part) in panel.parts.iter().enumerate() {
            let y = TOP + PART_STEP * index as f64;
            terminals.insert(part.leads.0.as_str(), Place { x: leads_x, y, is_pad: false });
            terminals.insert(part.leads.1.as_str(), Place { x: leads_x, y: y + LEAD_STEP, is_pad: false });
        }
        let pads_height = TOP + PAD_STEP * panel.pads.len().saturating_sub(1) as f64;
        let parts_height = TOP + PART_STEP * panel.parts.len().saturating_sub(1) as f64 + LEAD_STEP;
        Self {
            panel,
            pads_x,
            leads_x,
            width: leads_x + 64.0 + widest_part,
            height: pads_height.max(parts_height) + 26.0,
            terminals,
        }
    }

    fn draw(&self, pen: Pen) -> Markup {
        html! {
            (pen.text(Mark::Strong, (0.0, TITLE_BASE), Anchor::Start, &self.panel.title))
            @for (lane, net) in self.panel.nets.iter().enumerate() { (self.net(pen, lane, net)) }
            @for pad in &self.panel.pads { (self.pad(pen, pad)) }
            @for part in &self.panel.parts { (self.part(pen, part)) }
            @for badge in &self.panel.badges { (self.badge(pen, badge)) }
        }
    }

    fn net(&self, pen: Pen, lane: usize, net: &[String]) -> Markup {
        let places: Vec<Place> =
            net.iter().filter_map(|terminal| self.terminals.get(terminal.as_str())).copied().collect();
        if places.len() < 2 {
            return html! {};
        }
        let x = self.pads_x + 34.0 + LANE_STEP * lane as f64;
        let top = places.iter().map(|place| place.y).fold(f64::INFINITY, f64::min);
        let bottom = places.iter().map(|place| place.y).fold(f64::NEG_INFINITY, f64::max);
        html! {
            (pen.line(Mark::Wire, (x, top), (x, bottom)))
            @for place in &places {
                (pen.line(Mark::Wire, (place.x, place.y), (x, place.y)))
                (pen.circle(Mark::Solid, (x, place.y), 2.6))
            }
        }
    }

    fn pad(&self, pen: Pen, pad: &str) -> Markup {
        let Some(place) = self.terminals.get(pad) else { return html! {} };
        html! {
            (pen.rectangle(Mark::Cover, (place.x - 5.0, place.y - 5.0), (10.0, 10.0), 1.5))
            (pen.rectangle(Mark::Outline, (place.x - 5.0, place.y - 5.0), (10.0, 10.0), 1.5))
            (pen.text(Mark::Label, (place.x - 10.0, place.y + 4.0), Anchor::End, &shortened(pad, LABEL_HEIGHT, MOST_LABEL)))
        }
    }

    fn part(&self, pen: Pen, part: &DrawnPart) -> Markup {
        let (Some(plus), Some(minus)) =
            (self.terminals.get(part.leads.0.as_str()), self.terminals.get(part.leads.1.as_str()))
        else {
            return html! {};
        };
        let x = self.leads_x;
        let middle = f64::midpoint(plus.y, minus.y);
        let lead = |terminal: &str| terminal.rsplit_once('.').map_or(terminal, |(_, lead)| lead).to_owned();
        html! {
            (pen.line(Mark::Outline, (x, plus.y), (x + 26.0, plus.y)))
            (pen.line(Mark::Outline, (x, minus.y), (x + 26.0, minus.y)))
            @match part.shape {
                PartShape::Speaker => {
                    (pen.rectangle(Mark::Outline, (x + 26.0, plus.y - 4.0), (8.0, minus.y - plus.y + 8.0), 1.0))
                    (pen.path(Mark::Outline, &PathData::polygon([
                        (x + 34.0, plus.y + 4.0), (x + 48.0, plus.y - 9.0), (x + 48.0, minus.y + 9.0), (x + 34.0, minus.y - 4.0),
                    ])))
                }
                PartShape::Component => {
                    (pen.line(Mark::Outline, (x + 26.0, plus.y), (x + 26.0, plus.y + 6.0)))
                    (pen.rectangle(Mark::Outline, (x + 21.0, plus.y + 6.0), (10.0, minus.y - plus.y - 12.0), 1.0))
                    (pen.line(Mark::Outline, (x + 26.0, minus.y - 6.0), (x + 26.0, minus.y)))
                }
            }
            @if part.shape == PartShape::Speaker {
                (pen.text(Mark::Strong, (x + 14.0, plus.y - 4.0), Anchor::Middle, if part.is_polarity_known { "+" } else { "?" }))
            }
            (pen.text(Mark::Small, (x + 13.0, plus.y + 11.0), Anchor::Middle, &shortened(&lead(&part.leads.0), 10.5, 40.0)))
            (pen.text(Mark::Small, (x + 13.0, minus.y + 11.0), Anchor::Middle, &shortened(&lead(&part.leads.1), 10.5, 40.0)))
            (pen.text(Mark::Strong, (x + 56.0, middle), Anchor::Start, &shortened(&part.name, LABEL_HEIGHT, MOST_LABEL)))
            (pen.text(Mark::Small, (x + 56.0, middle + 14.0), Anchor::Start, &shortened(&part.detail, 10.5, MOST_LABEL)))
        }
    }

    fn badge(&self, pen: Pen, badge: &Badge) -> Markup {
        let Some(place) = self.terminals.get(badge.terminal.as_str()) else { return html! {} };
        let earlier = self
            .panel
            .badges
            .iter()
            .take_while(|other| *other != badge)
            .filter(|other| other.terminal == badge.terminal)
            .count();
        // Badges stand on the stub, away from the lead's name; a second one at the same joint stands beside the first.
        let away = 14.0 + 19.0 * earlier as f64;
        let centre = (if place.is_pad { place.x + away } else { place.x - away }, place.y - 12.0);
        let number = badge.number.to_string();
        html! {
            @match badge.change {
                JointChange::Lift => {
                    (pen.rectangle(Mark::Cover, (centre.0 - 8.0, centre.1 - 8.0), (16.0, 16.0), 0.0))
                    (pen.rectangle(Mark::Emphasis, (centre.0 - 8.0, centre.1 - 8.0), (16.0, 16.0), 0.0))
                }
                JointChange::Join => {
                    (pen.circle(Mark::Cover, centre, 9.0))
                    (pen.circle(Mark::Emphasis, centre, 9.0))
                }
                JointChange::Lay => {
                    (pen.path(Mark::Cover, &diamond(centre)))
                    (pen.path(Mark::Emphasis, &diamond(centre)))
                }
            }
            (pen.text(Mark::Strong, (centre.0, centre.1 + 4.0), Anchor::Middle, &number))
        }
    }
}

fn diamond((x, y): (f64, f64)) -> PathData {
    PathData::polygon([(x, y - 11.5), (x + 11.5, y), (x, y + 11.5), (x - 11.5, y)])
}

#[cfg(test)]
mod tests {
    use super::{About, Badge, DrawnPart, JointChange, Paint, PartShape, WiringPanel, wiring_diagram};

    fn panel() -> WiringPanel {
        let speaker = |name: &str| DrawnPart {
            name: name.to_owned(),
            detail: "8 ohm".to_owned(),
            shape: PartShape::Speaker,
            leads: (format!("{name}.red"), format!("{name}.black")),
            is_polarity_known: true,
        };
        let net = |terminals: &[&str]| terminals.iter().map(|terminal| (*terminal).to_owned()).collect();
        WiringPanel {
            title: "as planned".to_owned(),
            pads: vec!["board.S1".to_owned(), "board.S2".to_owned()],
            parts: vec![speaker("A"), speaker("B")],
            nets: vec![
                net(&["board.S1", "A.red"]),
                net(&["A.black", "B.red"]),
                net(&["B.black", "board.S2"]),
            ],
            badges: vec![Badge { terminal: "B.red".to_owned(), change: JointChange::Join, number: 4 }],
        }
    }

    #[test]
    fn every_net_part_and_badge_is_drawn_once() {
        let about = About { name: "w".to_owned(), title: "wiring".to_owned(), description: String::new() };
        let drawing = wiring_diagram(&about, &[panel()], Paint::Paper);
        let svg = drawing.as_svg();
        // Three nets of two terminals: three lanes and six stubs.
        assert_eq!(svg.matches("stroke-width=\"1.8\"").count(), 9);
        assert_eq!(svg.matches(">A<").count(), 1);
        assert_eq!(svg.matches(">4<").count(), 1);
    }

    #[test]
    fn hostile_names_are_inert_and_unknown_terminals_are_left_out() {
        let mut panel = panel();
        panel.parts[0].name = "<script>".to_owned();
        panel.nets.push(vec!["nowhere".to_owned(), "A.red".to_owned()]);
        let about = About::default();
        let drawing = wiring_diagram(&about, &[panel.clone(), panel], Paint::Page);
        assert!(!drawing.as_svg().contains("<script>"));
        assert!(drawing.as_svg().contains("&lt;script&gt;"));
    }
}
