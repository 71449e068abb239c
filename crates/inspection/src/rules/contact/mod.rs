//! What first contact showed.

mod address_and_configuration_contradict;
mod configuration_not_of_a_locomotive;
mod consist_address_left_set;
mod decoder_is_another;
mod decoder_locked;
mod fourteen_steps;
mod idle_current_out_of_bounds;
mod index_page_not_selected;
mod no_acknowledgement;
mod readings_all_255;
mod runs_on_any_voltage;
mod stored_copy_missing;

use datasheets::CvPlace;
use finding::Path;
use workorder::Contact;

use crate::job::Job;
use crate::rule::Rule;

/// In the order in which a bench goes through them: does anything flow, does it answer, can the answers be true, who is
/// it, what is set.
pub(super) static RULES: &[&Rule] = &[
    &idle_current_out_of_bounds::RULE,
    &no_acknowledgement::RULE,
    &readings_all_255::RULE,
    &decoder_is_another::RULE,
    &decoder_locked::RULE,
    &configuration_not_of_a_locomotive::RULE,
    &address_and_configuration_contradict::RULE,
    &consist_address_left_set::RULE,
    &runs_on_any_voltage::RULE,
    &fourteen_steps::RULE,
    &index_page_not_selected::RULE,
    &stored_copy_missing::RULE,
];

/// What an error looks like where it is shown as a value (practice row 40).
const ERROR_AS_VALUE: u8 = 255;

/// The content of a CV as it was read, where the readings can be believed at all: a decoder that acknowledges nothing
/// tells nothing, and 255 everywhere is an error.
pub(in crate::rules) fn reading(job: &Job<'_>, cv: u16) -> Option<u8> {
    let contact = job.order.contact.as_ref()?;
    if contact.acknowledged == Some(false) || is_255_everywhere(contact) {
        return None;
    }
    contact.cv(cv)
}

/// Whether two or more CVs were read and all of them show 255.
fn is_255_everywhere(contact: &Contact) -> bool {
    let readings = &contact.cv.0;
    readings.len() >= 2 && readings.iter().all(|(_, value)| value.get() == u16::from(ERROR_AS_VALUE))
}

/// The path of a reading.
fn path(cv: u16) -> Path {
    Path::new(format!("contact.cv.CV{cv}"))
}

/// What the planned decoder's CV29 holds on delivery, where its sheet tells it.
fn configuration_on_delivery(job: &Job<'_>) -> Option<u8> {
    job.decoder()?.content_on_delivery().get(&CvPlace { page: None, cv: 29 }).copied()
}
