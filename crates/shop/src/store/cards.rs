//! An order's card, with the proof of its latest run.

use paper::PaperSize;

use super::clock::shown_moment;
use super::open::{Store, order_id};
use super::runs::run_words;
use crate::card::{ProofFacts, card_page};
use crate::error::ShopError;
use crate::print::to_pdf;
use crate::program::{self, RunOutcome};

impl Store {
    /// An order's card as a page that stands alone.
    ///
    /// # Errors
    /// No such order, an order with faults, or the shop cannot be read.
    pub fn card_html(&self, order: &str, size: PaperSize) -> Result<String, ShopError> {
        let (_, checked, desk) = self.sound_order(order, "its card")?;
        let proof = self.proof(order)?;
        Ok(card_page(&desk, &checked, proof.as_ref(), size))
    }

    /// An order's card as a PDF, printed by a browser of the Chromium family that is installed.
    ///
    /// # Errors
    /// As [`Self::card_html`]; [`ShopError::NoBrowser`] where there is none, [`ShopError::Browser`] where it does not print.
    pub fn card_pdf(&self, order: &str, size: PaperSize) -> Result<Vec<u8>, ShopError> {
        to_pdf(&self.card_html(order, size)?)
    }

    /// What the latest run that came to its end proves; none where no run did, or what it wrote was brought back.
    ///
    /// # Errors
    /// No such order, or the shop cannot be read.
    pub fn proof(&self, order: &str) -> Result<Option<ProofFacts>, ShopError> {
        let ledger = self.ledger();
        let document = order_id(&ledger, order)?;
        let Some((run, read)) = self.inner.ended_runs.latest_proof(&ledger, document)? else {
            return Ok(None);
        };
        let (record, report) = (ledger.run(run)?, read.report.clone());
        let ended = record.ended.map_or(record.at, |(_, at)| at);
        let outcome = report.map(|report| RunOutcome {
            report: report.as_ref().clone(),
            n_taken_up: program::n_taken_up(&read.entries),
            journal: run_words(run),
        });
        Ok(outcome.map(|outcome| outcome.proof_facts(&shown_moment(ended))))
    }
}
