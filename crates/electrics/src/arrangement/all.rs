//! Every series-parallel arrangement of some speakers, each exactly once.
//!
//! What it is: a catalogue of forms built up from small to large: a parallel form is a set of two or more forms that are
//! single speakers or series forms, and the other way round. Interchangeable speakers are counted, not named, so that
//! swapping them never makes a second form.
//! What it is not: a judgement; see [`super::rank`].
//!
//! Their number for n different speakers is 1, 2, 8, 52, 472, 5504 (OEIS A006351, from memory), for n equal ones
//! 1, 2, 4, 10, 24, 66 (OEIS A000084, from memory).

use thiserror::Error;

use super::Arrangement;

/// The most forms that are made; about what fits a person's patience. Seven different speakers stay below it, eight do not.
pub const MOST_ARRANGEMENTS: usize = 300_000;

/// There are too many arrangements to look at them all.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[error(
    "{speakers} speakers of {kinds} kinds have more than {MOST_ARRANGEMENTS} arrangements: take fewer, or treat similar ones as equal"
)]
pub struct TooManyArrangements {
    /// How many speakers there are.
    pub speakers: usize,
    /// How many of them differ.
    pub kinds: usize,
}

/// Every arrangement of at least `least` of the speakers, fewest speakers first. `kind_of[k]` is the kind of speaker
/// `k`; speakers of one kind are interchangeable, and of arrangements that differ only by such a swap one is given.
///
/// # Errors
/// There are more than [`MOST_ARRANGEMENTS`].
///
/// ```
/// // Four different speakers, all of them used.
/// assert_eq!(electrics::arrangements(&[0, 1, 2, 3], 4).unwrap().len(), 52);
/// // Four equal ones.
/// assert_eq!(electrics::arrangements(&[0, 0, 0, 0], 4).unwrap().len(), 10);
/// ```
pub fn arrangements(kind_of: &[usize], least: usize) -> Result<Vec<Arrangement>, TooManyArrangements> {
    let catalogue = Catalogue::of(kind_of)?;
    Ok(catalogue.whole(least).map(|form| catalogue.arrangement(form)).collect())
}

/// A form: a speaker of some kind, or a connection of earlier forms.
#[derive(Debug, Clone)]
pub(super) enum Form {
    Kind(usize),
    Series(Vec<usize>),
    Parallel(Vec<usize>),
}

/// How many speakers of each kind, as one number: digit `k` counts kind `k`.
type Stock = usize;

/// Every form of every part of the stock, smaller ones first, so that parts come before what is made of them.
#[derive(Debug, Clone)]
pub(super) struct Catalogue {
    pub(super) forms: Vec<Form>,
    /// How many speakers each form has.
    sizes: Vec<usize>,
    n_speakers: usize,
    /// The speakers of each kind.
    speakers: Vec<Vec<usize>>,
}

impl Catalogue {
    pub(super) fn of(kind_of: &[usize]) -> Result<Self, TooManyArrangements> {
        let mut kinds: Vec<usize> = kind_of.to_vec();
        kinds.sort_unstable();
        kinds.dedup();
        let with_kind =
            |kind: &usize| (0..kind_of.len()).filter(|speaker| kind_of[*speaker] == *kind).collect();
        let speakers: Vec<Vec<usize>> = kinds.iter().map(with_kind).collect();
        let too_many = TooManyArrangements { speakers: kind_of.len(), kinds: kinds.len() };
        // Beyond this the digits of a stock would not fit, and the forms would be far too many anyway.
        if kinds.len() > 16 {
            return Err(too_many);
        }
        Builder::new(&speakers).build(speakers.clone()).ok_or(too_many)
    }

    /// The forms that use at least `least` speakers.
    pub(super) fn whole(&self, least: usize) -> impl Iterator<Item = usize> {
        (0..self.forms.len()).filter(move |form| self.sizes[*form] >= least)
    }

    /// Whether a form uses every speaker, so that it is part of no other.
    pub(super) fn is_largest(&self, form: usize) -> bool {
        self.sizes[form] == self.n_speakers
    }

    /// The first speaker of a kind.
    pub(super) fn first_of_kind(&self, kind: usize) -> usize {
        self.speakers[kind][0]
    }

    /// The form with real speakers: those of one kind in their order.
    pub(super) fn arrangement(&self, form: usize) -> Arrangement {
        let mut n_used = vec![0; self.speakers.len()];
        self.fill(form, &mut n_used)
    }

    fn fill(&self, form: usize, n_used: &mut [usize]) -> Arrangement {
        match &self.forms[form] {
            Form::Kind(kind) => {
                n_used[*kind] += 1;
                Arrangement::Speaker(self.speakers[*kind][n_used[*kind] - 1])
            }
            Form::Series(parts) => {
                Arrangement::Series(parts.iter().map(|part| self.fill(*part, n_used)).collect())
            }
            Form::Parallel(parts) => {
                Arrangement::Parallel(parts.iter().map(|part| self.fill(*part, n_used)).collect())
            }
        }
    }
}

/// The catalogue while it grows.
struct Builder {
    /// The number of speakers of each kind that there are, and the weight of each kind's digit in a stock.
    digits: Vec<(usize, usize)>,
    forms: Vec<Form>,
    sizes: Vec<usize>,
    /// For every stock, those that can be taken out of it, itself included, in rising order.
    within: Vec<Vec<Stock>>,
    /// Forms by the stock that they use up: single speakers and series forms, which may stand in parallel.
    for_parallel: Vec<Vec<usize>>,
    /// Likewise single speakers and parallel forms, which may stand in series.
    for_series: Vec<Vec<usize>>,
}

impl Builder {
    fn new(speakers: &[Vec<usize>]) -> Self {
        let mut weight = 1_usize;
        let digit = |of_kind: &Vec<usize>| {
            let digit = (of_kind.len(), weight);
            weight = weight.saturating_mul(of_kind.len() + 1);
            digit
        };
        let digits = speakers.iter().map(digit).collect();
        let (forms, sizes) = (Vec::new(), Vec::new());
        let (within, for_parallel, for_series) = (Vec::new(), Vec::new(), Vec::new());
        Self { digits, forms, sizes, within, for_parallel, for_series }
    }

    fn build(mut self, speakers: Vec<Vec<usize>>) -> Option<Catalogue> {
        let n_stocks = self.digits.iter().try_fold(1_usize, |n, (count, _)| n.checked_mul(count + 1))?;
        if n_stocks > MOST_ARRANGEMENTS {
            return None;
        }
        self.for_parallel = vec![Vec::new(); n_stocks];
        self.for_series = vec![Vec::new(); n_stocks];
        self.within = vec![Vec::new(); n_stocks];
        let mut stocks: Vec<Stock> = (1..n_stocks).collect();
        stocks.sort_by_key(|stock| self.size(*stock));
        for stock in stocks {
            self.within[stock] = (1..=stock).filter(|part| self.is_within(*part, stock)).collect();
            self.add_forms_of(stock)?;
        }
        let n_speakers = speakers.iter().map(Vec::len).sum();
        Some(Catalogue { forms: self.forms, sizes: self.sizes, n_speakers, speakers })
    }

    fn count(&self, stock: Stock, kind: usize) -> usize {
        let (count, weight) = self.digits[kind];
        stock / weight % (count + 1)
    }

    fn size(&self, stock: Stock) -> usize {
        (0..self.digits.len()).map(|kind| self.count(stock, kind)).sum()
    }

    fn is_within(&self, part: Stock, whole: Stock) -> bool {
        (0..self.digits.len()).all(|kind| self.count(part, kind) <= self.count(whole, kind))
    }

    fn add_forms_of(&mut self, stock: Stock) -> Option<()> {
        if self.size(stock) == 1 {
            let kind = (0..self.digits.len()).find(|kind| self.count(stock, *kind) == 1)?;
            let form = self.add(stock, Form::Kind(kind))?;
            self.for_parallel[stock].push(form);
            self.for_series[stock].push(form);
            return Some(());
        }
        let (mut parallel, mut series) = (Vec::new(), Vec::new());
        self.combine(&self.for_parallel, stock, (0, 0), &mut Vec::new(), &mut parallel)?;
        self.combine(&self.for_series, stock, (0, 0), &mut Vec::new(), &mut series)?;
        for parts in parallel {
            let form = self.add(stock, Form::Parallel(parts))?;
            self.for_series[stock].push(form);
        }
        for parts in series {
            let form = self.add(stock, Form::Series(parts))?;
            self.for_parallel[stock].push(form);
        }
        Some(())
    }

    fn add(&mut self, stock: Stock, form: Form) -> Option<usize> {
        self.sizes.push(self.size(stock));
        self.forms.push(form);
        (self.forms.len() <= MOST_ARRANGEMENTS).then_some(self.forms.len() - 1)
    }

    /// Every way to use up `rest` with further parts, none of them before `from` (a stock and a place in its list), so
    /// that each set of parts comes once. The whole stock at once is not a part: it has no forms yet.
    fn combine(
        &self,
        parts_of: &[Vec<usize>],
        rest: Stock,
        from: (Stock, usize),
        chosen: &mut Vec<usize>,
        found: &mut Vec<Vec<usize>>,
    ) -> Option<()> {
        let parts = &self.within[rest];
        let first = parts.partition_point(|stock| *stock < from.0);
        for &stock in &parts[first..] {
            // What is left afterwards must again be this stock or a later one.
            if stock != rest && rest - stock < stock {
                continue;
            }
            let first_place = if stock == from.0 { from.1 } else { 0 };
            for (place, &form) in parts_of[stock].iter().enumerate().skip(first_place) {
                chosen.push(form);
                if stock == rest {
                    found.push(chosen.clone());
                    if found.len() > MOST_ARRANGEMENTS {
                        return None;
                    }
                } else {
                    self.combine(parts_of, rest - stock, (stock, place), chosen, found)?;
                }
                chosen.pop();
            }
        }
        Some(())
    }
}
