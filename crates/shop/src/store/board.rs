//! The work board and the search.

use ledger::{BoardOrder, BoardQuery, Kind, Ledger, SearchQuery};
use workorder::WaitsFor;

use super::open::Store;
use super::teller::{ledger_word, work_word};
use super::view::{Board, BoardQuestion, BoardRow, DocumentKey, Lane, SearchHit};
use crate::error::ShopError;

impl Store {
    /// The work board: orders by what they wait for, and how many wait for what.
    ///
    /// # Errors
    /// When the shop cannot be read.
    pub fn board(&self, question: &BoardQuestion) -> Result<Board, ShopError> {
        let ledger = self.ledger();
        let counted = ledger.board_counts()?;
        let count = |waits_for: WaitsFor| {
            let found = counted.iter().find(|count| count.waits_for == ledger_word(waits_for));
            found.map_or(0, |count| usize::try_from(count.n_orders).unwrap_or(usize::MAX))
        };
        let mut counts: Vec<(Lane, usize)> =
            WaitsFor::ALL.iter().map(|waits_for| (Lane::Waits(*waits_for), count(*waits_for))).collect();
        let n_on_board: usize = counts.iter().map(|(_, n)| n).sum();
        let orders = ledger.documents(Kind::Order)?;
        counts.push((Lane::HandedOver, orders.len().saturating_sub(n_on_board)));
        let waits_for = match question.lane {
            None => None,
            Some(Lane::Waits(waits_for)) => Some(waits_for),
            Some(Lane::HandedOver) => {
                let rows = handed_over(&ledger, orders, question)?;
                return Ok(Board { rows, counts });
            }
        };
        let rows = ledger.board(&BoardQuery {
            waits_for: waits_for.map(ledger_word),
            order: BoardOrder::Changed,
            offset: question.skip,
            limit: question.limit,
        })?;
        let row = |row: ledger::BoardRow| {
            let findings = row.line.findings;
            let n = |count: u32| usize::try_from(count).unwrap_or(usize::MAX);
            BoardRow {
                number: row.document.name,
                model: row.line.model,
                lane: Lane::Waits(work_word(row.line.waits_for)),
                n_findings: [n(findings.stops), n(findings.reworks), n(findings.opens), n(findings.notes)],
                changed_at: row.document.at,
            }
        };
        Ok(Board { rows: rows.into_iter().map(row).collect(), counts })
    }

    /// Documents that hold all of these words, best first; the last letters of each word may be missing.
    ///
    /// # Errors
    /// When the shop cannot be read.
    pub fn search(&self, words: &str, limit: usize) -> Result<Vec<SearchHit>, ShopError> {
        let found = self.ledger().search(&SearchQuery { words, kind: None, offset: 0, limit })?;
        let hit = |hit: ledger::Hit| SearchHit {
            key: DocumentKey::new(hit.document.kind, hit.document.name),
            title: hit.document.title,
            excerpt: hit.excerpt.into_iter().map(|piece| (piece.text, piece.is_match)).collect(),
        };
        Ok(found.hits.into_iter().map(hit).collect())
    }
}

/// Orders that have no line on the board: those that are handed over.
fn handed_over(
    ledger: &Ledger,
    mut orders: Vec<ledger::Document>,
    question: &BoardQuestion,
) -> Result<Vec<BoardRow>, ShopError> {
    let all = BoardQuery { waits_for: None, order: BoardOrder::Number, offset: 0, limit: usize::MAX };
    let on_board: std::collections::BTreeSet<_> =
        ledger.board(&all)?.into_iter().map(|row| row.document.id).collect();
    orders.retain(|order| !on_board.contains(&order.id));
    orders.sort_by_key(|order| std::cmp::Reverse((order.at, order.id)));
    let row = |order: ledger::Document| BoardRow {
        number: order.name,
        model: order.title,
        lane: Lane::HandedOver,
        n_findings: [0; 4],
        changed_at: order.at,
    };
    Ok(orders.into_iter().skip(question.skip).take(question.limit).map(row).collect())
}
