//! Cheapest partner for every start at once: the step of the dynamic program
//! that puts a step before (or after) another with a price on the minutes between.

use super::offer::NEVER;

/// A price on the minutes between two starts, in pieces: from `least` to
/// `most` minutes it costs `price + slope * (minutes - least)`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Piece {
    /// From so many minutes.
    pub least: i32,
    /// To so many minutes, both ends included.
    pub most: i32,
    /// Price at `least`.
    pub price: i64,
    /// Price of each minute more.
    pub slope: i64,
}

/// Room for the sliding minimum.
#[derive(Debug, Clone, Default)]
pub struct Slider {
    /// Candidates `(start, value)`, values rising.
    queue: Vec<(i32, i64)>,
}

impl Slider {
    /// For each `s`: `out[s] = min(out[s], min over a of before[a] + price(s - a))`
    /// with `a >= not_before[s]` where that is given (it must not fall), for the
    /// starts `s` of the runs. The lists begin at the starts `from` and `to`.
    pub fn run(
        &mut self,
        (from, before): (i32, &[i64]),
        piece: Piece,
        not_before: Option<&[i32]>,
        (to, out): (i32, &mut [i64]),
        runs: &[(i32, i32)],
    ) {
        self.queue.clear();
        let mut head = 0;
        let past = from + before.len() as i32;
        // Work with value(a) = before[a] - slope * a; what is left depends on s alone.
        let mut next = from;
        for s in runs.iter().flat_map(|&(from, past)| from..past) {
            let i = (s - to) as usize;
            let last = (s - piece.least).min(past - 1);
            while next <= last {
                let b = before[(next - from) as usize];
                if b < NEVER {
                    let value = b - piece.slope * i64::from(next);
                    // Of equals the later start stays.
                    while self.queue.len() > head && self.queue[self.queue.len() - 1].1 >= value {
                        self.queue.pop();
                    }
                    self.queue.push((next, value));
                }
                next += 1;
            }
            let mut first = s - piece.most;
            if let Some(bound) = not_before {
                first = first.max(bound[i]);
            }
            while head < self.queue.len() && self.queue[head].0 < first {
                head += 1;
            }
            if let Some(&(_, value)) = self.queue.get(head) {
                let total = value + piece.price + piece.slope * i64::from(s - piece.least);
                out[i] = out[i].min(total);
            }
        }
    }
}

/// A price that bends or jumps at some minutes, cut into pieces over `least..=most`.
pub fn pieces(
    least: i32,
    most: i32,
    bends: &mut Vec<i32>,
    price: impl Fn(i32) -> i64,
    out: &mut Vec<Piece>,
) {
    out.clear();
    if least > most {
        return;
    }
    bends.retain(|&b| b > least && b <= most);
    bends.push(least);
    bends.sort_unstable();
    bends.dedup();
    for (i, &from) in bends.iter().enumerate() {
        let to = bends.get(i + 1).map_or(most, |&next| next - 1);
        let here = price(from);
        let slope = if to > from { price(from + 1) - here } else { 0 };
        out.push(Piece { least: from, most: to, price: here, slope });
    }
}

#[cfg(test)]
mod tests {
    use super::super::rng::Rng;
    use super::*;

    #[test]
    fn slides_as_trying_every_pair_says() {
        let mut rng = Rng::new(5);
        for _ in 0..400 {
            let n = 1 + rng.below(40);
            let before: Vec<i64> = (0..n)
                .map(|_| if rng.chance(30) { NEVER } else { rng.below(100) as i64 })
                .collect();
            let mut bounds: Vec<i32> = (0..n).map(|_| rng.below(n) as i32 - 10).collect();
            bounds.sort_unstable();
            let bounds = rng.chance(50).then_some(bounds);
            let least = rng.below(20) as i32 - 8;
            let most = least + rng.below(30) as i32;
            let (x, y) = (rng.below(12) as i32, rng.below(12) as i32);
            let price = |d: i32| {
                i64::from((d - x).max(0)) * 3 + i64::from((y - d).max(0)) * 7 + i64::from(d > 4)
            };
            let mut list = Vec::new();
            pieces(least, most, &mut vec![x, y, 5], price, &mut list);
            let mut out = vec![NEVER; n];
            for &piece in &list {
                let runs = [(0, n as i32)];
                let bounds = bounds.as_deref();
                Slider::default().run((0, &before), piece, bounds, (0, &mut out), &runs);
            }
            for s in 0..n {
                let plain = (0..n)
                    .filter(|&a| {
                        let d = s as i32 - a as i32;
                        d >= least
                            && d <= most
                            && bounds.as_ref().is_none_or(|b| a as i32 >= b[s])
                            && before[a] < NEVER
                    })
                    .map(|a| before[a] + price(s as i32 - a as i32))
                    .min()
                    .unwrap_or(NEVER);
                assert_eq!(out[s], plain);
            }
        }
    }
}
