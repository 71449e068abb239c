//! The meter card: what the meter must read before any power is put on.

use maud::{Markup, html};
use speakers::MeterRow;

use super::nothing;

/// What has to be so before a lead is held anywhere.
const BEFORE: &str = "Decoder out, model off the rails, nothing powered: a meter put to a plugged-in decoder reads the \
     decoder. OL means that the meter shows no connection.";

/// The readings to take, in their order.
pub(in crate::order) fn meter(rows: &[MeterRow]) -> Markup {
    if rows.is_empty() {
        return nothing("The meter card appears as soon as the plan has speakers and wires.");
    }
    html! {
        p class="soft" { (BEFORE) }
        ol class="meter" {
            @for row in rows {
                li {
                    p class="leads" { b { (row.from) } " to " b { (row.to.join(", ")) } }
                    p class="reads" { span class="unseen" { "must read " } (row.expect) }
                    @if !row.wrong.is_empty() {
                        ul class="wrong" {
                            @for (reading, meaning) in &row.wrong { li { b { (reading) } ": " (meaning) } }
                        }
                    }
                }
            }
        }
    }
}
