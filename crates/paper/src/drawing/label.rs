//! Labels: how much room a text takes, and how to keep labels apart.

/// Mean width of a letter as a share of the text's height. Sans-serif faces lie between 0.5 and 0.58 for running text
/// (own estimate from the faces of three systems); the upper end, so that labels never run out of the drawing.
const LETTER_WIDTH: f64 = 0.58;

/// About how wide a text is, in the unit of its height.
#[must_use]
pub fn text_width(words: &str, height: f64) -> f64 {
    // Widths of texts are small numbers: a text of 2^32 letters does not occur.
    let n_letters = u32::try_from(words.chars().count()).unwrap_or(u32::MAX);
    f64::from(n_letters) * LETTER_WIDTH * height
}

/// The words, cut with an ellipsis where they would be wider than `width`. Say them whole elsewhere.
#[must_use]
pub fn shortened(words: &str, height: f64, width: f64) -> String {
    if text_width(words, height) <= width {
        return words.to_owned();
    }
    let mut short = String::new();
    for letter in words.chars() {
        let longer = format!("{short}{letter}");
        if text_width(&format!("{longer}…"), height) > width {
            break;
        }
        short = longer;
    }
    format!("{}…", short.trim_end())
}

/// Moves positions apart until neighbours are at least `gap` away from each other, with the least sum of squared shifts
/// that keeps their order, within `least..=most` where they all fit there. The answer is in the order of the wishes.
///
/// Wishes that are not finite are taken as `least`.
///
/// # Source
/// Isotonic regression by pooling adjacent violators: R. E. Barlow et al., Statistical Inference under Order
/// Restrictions, 1972 (from memory). Taking `gap` off once per place turns "at least `gap` apart" into "not falling".
#[must_use]
pub fn spread(wishes: &[f64], gap: f64, (least, most): (f64, f64)) -> Vec<f64> {
    let wish = |index: usize| if wishes[index].is_finite() { wishes[index] } else { least };
    let mut order: Vec<usize> = (0..wishes.len()).collect();
    order.sort_by(|left, right| wish(*left).total_cmp(&wish(*right)));

    let mut pools: Vec<Pool> = Vec::new();
    let mut offset = 0.0;
    for index in &order {
        let mut pool = Pool { members: 1, sum: wish(*index) - offset, weight: 1.0 };
        while let Some(before) = pools.pop_if(|before| before.mean() > pool.mean()) {
            pool = Pool {
                members: before.members + pool.members,
                sum: before.sum + pool.sum,
                weight: before.weight + pool.weight,
            };
        }
        pools.push(pool);
        offset += gap;
    }

    let highest = (most - (offset - gap)).max(least);
    let means =
        pools.iter().flat_map(|pool| std::iter::repeat_n(pool.mean().clamp(least, highest), pool.members));
    let mut placed = vec![least; wishes.len()];
    let mut offset = 0.0;
    for (index, mean) in order.iter().zip(means) {
        placed[*index] = mean + offset;
        offset += gap;
    }
    placed
}

/// Neighbours that share one mean.
struct Pool {
    members: usize,
    sum: f64,
    weight: f64,
}

impl Pool {
    fn mean(&self) -> f64 {
        self.sum / self.weight
    }
}
