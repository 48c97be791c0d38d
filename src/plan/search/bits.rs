//! Sets of minutes as bits: 64 minutes a word, so that all starts of a task
//! are looked at together.

/// Words that hold the minutes `0..=last`.
pub const fn words(last: usize) -> usize {
    last / 64 + 1
}

/// Is the minute in the set? Minutes outside are not.
pub fn has(set: &[u64], minute: i32) -> bool {
    usize::try_from(minute)
        .ok()
        .and_then(|m| set.get(m / 64).map(|w| w >> (m % 64) & 1 == 1))
        .unwrap_or(false)
}

/// The bits of word `w` that lie in `from..to`.
pub const fn mask(w: usize, from: usize, to: usize) -> u64 {
    let base = w * 64;
    let low = from.saturating_sub(base);
    if to <= base || low >= 64 {
        return 0;
    }
    let high = to - base;
    let upper = if high >= 64 { u64::MAX } else { (1 << high) - 1 };
    upper & (u64::MAX << low)
}

/// Makes the set the minutes `from..=to`, cut to what it can hold.
pub fn only(set: &mut [u64], from: i32, to: i32) {
    let from = from.max(0) as usize;
    let to = (i64::from(to) + 1).max(0) as usize;
    for (w, word) in set.iter_mut().enumerate() {
        *word = mask(w, from, to);
    }
}

/// Replaces the bits of the minutes from `from` on: is at least so much left at each of them?
pub fn refresh(set: &mut [u64], from: usize, left: &[i32], level: i32) {
    let (mut at, mut rest) = (from, left);
    while !rest.is_empty() {
        let (w, bit) = (at / 64, at % 64);
        let (now, later) = rest.split_at(rest.len().min(64 - bit));
        let mut fresh = 0u64;
        for &left in now.iter().rev() {
            fresh = fresh << 1 | u64::from(left >= level);
        }
        if let Some(word) = set.get_mut(w) {
            *word = (*word & !mask(w, at, at + now.len())) | fresh << bit;
        }
        (at, rest) = (at + now.len(), later);
    }
}

/// The 64 minutes of the set from a minute on.
fn from_minute(set: &[u64], minute: usize) -> u64 {
    let (w, bit) = (minute / 64, minute % 64);
    let low = set.get(w).copied().unwrap_or(0) >> bit;
    if bit == 0 {
        return low;
    }
    low | set.get(w + 1).copied().unwrap_or(0) << (64 - bit)
}

/// In the words given, leaves the minutes from which, `by` minutes later, `run`
/// minutes in a row are free.
pub fn keep_runs(
    set: &mut [u64],
    (first, past): (usize, usize),
    free: &[u64],
    by: usize,
    run: usize,
) {
    for w in first..past.min(set.len()) {
        if set[w] == 0 {
            continue;
        }
        let from = w * 64 + by;
        let (mut have, mut left) = (from_minute(free, from), run.max(1));
        // Chunks of up to 64 minutes: all of each must be free.
        let mut next = from + 64;
        let mut kept = u64::MAX;
        while left > 0 {
            let chunk = left.min(64);
            let ahead = from_minute(free, next);
            kept &= eroded(have, ahead, chunk);
            have = ahead;
            next += 64;
            left -= chunk;
        }
        set[w] &= kept;
    }
}

/// Minutes of the first word from which so many in a row are in the two words; at most 64.
pub const fn eroded(word: u64, ahead: u64, run: usize) -> u64 {
    let mut all = word as u128 | (ahead as u128) << 64;
    let mut have = 1;
    while have * 2 <= run {
        all &= all >> have;
        have *= 2;
    }
    if have < run {
        all &= all >> (run - have);
    }
    all as u64
}

/// Leaves the minutes `from..=to`.
pub fn clip(set: &mut [u64], from: i32, to: i32) {
    let from = from.max(0) as usize;
    let to = (i64::from(to) + 1).max(0) as usize;
    for (w, word) in set.iter_mut().enumerate() {
        *word &= mask(w, from, to);
    }
}

/// The least `a <= at` such that all of `a..at` is in the set.
pub fn run_start(set: &[u64], at: i32) -> i32 {
    let mut a = at.min((set.len() * 64) as i32);
    while a > 0 {
        let minute = (a - 1) as usize;
        let word = set[minute / 64] << (63 - minute % 64);
        let ones = word.leading_ones() as usize;
        let reach = (minute % 64) + 1;
        if ones < reach {
            return a - ones as i32;
        }
        a -= reach as i32;
    }
    a
}

/// The greatest `b >= at` such that all of `at..b` is in the set.
pub fn run_end(set: &[u64], at: i32) -> i32 {
    let mut b = at.max(0) as usize;
    let last = set.len() * 64;
    while b < last {
        let word = set[b / 64] >> (b % 64);
        let ones = word.trailing_ones() as usize;
        let reach = 64 - b % 64;
        if ones < reach {
            return (b + ones) as i32;
        }
        b += reach;
    }
    (b as i32).max(at)
}

/// Adds the runs of the set, each from its first minute to the one after its
/// last, rising; only the words given are looked at.
pub fn runs(set: &[u64], (first, past): (usize, usize), out: &mut Vec<(i32, i32)>) {
    for (w, &word) in set.iter().enumerate().take(past).skip(first) {
        let (mut rest, base) = (word, (w * 64) as i32);
        while rest != 0 {
            let from = rest.trailing_zeros();
            let ones = (rest >> from).trailing_ones();
            let (a, b) = (base + from as i32, base + (from + ones) as i32);
            match out.last_mut() {
                Some(last) if last.1 == a => last.1 = b,
                _ => out.push((a, b)),
            }
            let done = from + ones;
            rest = if done >= 64 { 0 } else { rest >> done << done };
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::rng::Rng;
    use super::*;

    /// `set &= other >> by`.
    fn and_shifted(set: &mut [u64], other: &[u64], by: usize) {
        let (skip, bit) = (by / 64, by % 64);
        for (w, word) in set.iter_mut().enumerate() {
            let low = other.get(w + skip).copied().unwrap_or(0);
            *word &= if bit == 0 {
                low
            } else {
                let high = other.get(w + skip + 1).copied().unwrap_or(0);
                (low >> bit) | (high << (64 - bit))
            };
        }
    }

    /// `set &= set >> by`, in place (words are read before they change).
    fn and_self_shifted(set: &mut [u64], by: usize) {
        let (skip, bit) = (by / 64, by % 64);
        let n = set.len();
        for w in 0..n {
            let low = if w + skip < n { set[w + skip] } else { 0 };
            let value = if bit == 0 {
                low
            } else {
                let high = if w + skip + 1 < n { set[w + skip + 1] } else { 0 };
                (low >> bit) | (high << (64 - bit))
            };
            set[w] &= value;
        }
    }

    /// Leaves the minutes from which `run` minutes in a row are in the set.
    fn erode(set: &mut [u64], run: usize) {
        if run <= 1 {
            return;
        }
        let mut have = 1;
        while have * 2 <= run {
            and_self_shifted(set, have);
            have *= 2;
        }
        if have < run {
            and_self_shifted(set, run - have);
        }
    }

    fn random(rng: &mut Rng, words: usize) -> Vec<u64> {
        (0..words).map(|_| rng.bits() | rng.bits() | rng.bits()).collect()
    }

    #[test]
    fn erosion_is_runs_of_minutes() {
        let mut rng = Rng::new(1);
        for run in 0..150 {
            let set = random(&mut rng, 4);
            let mut small = set.clone();
            erode(&mut small, run);
            for s in 0..256 {
                let plain = (s..s + run.max(1)).all(|m| has(&set, m as i32));
                assert_eq!(has(&small, s as i32), plain, "run {run} at {s}");
            }
        }
    }

    #[test]
    fn runs_are_kept_as_erosion_and_a_shift_say() {
        let mut rng = Rng::new(4);
        for round in 0..2000 {
            let free = random(&mut rng, 4).iter().map(|w| w | rng.bits()).collect::<Vec<u64>>();
            let (run, by) = ([rng.below(5), rng.below(150)][round % 2], rng.below(100));
            let mut set = random(&mut rng, 4);
            let mut plain = set.clone();
            let mut runs = free.clone();
            erode(&mut runs, run);
            and_shifted(&mut plain, &runs, by);
            keep_runs(&mut set, (0, 4), &free, by, run);
            assert_eq!(set, plain, "run {run} by {by}");
            let (from, to) = (rng.below(200) as i32 - 5, rng.below(220) as i32 - 5);
            let mut window = vec![0; 4];
            only(&mut window, from, to);
            and_shifted(&mut plain, &window, 0);
            clip(&mut set, from, to);
            assert_eq!(set, plain);
        }
    }

    #[test]
    fn runs_and_masks() {
        let mut rng = Rng::new(2);
        for _ in 0..50 {
            let set = random(&mut rng, 3);
            for at in 0..192 {
                let mut a = at;
                while a > 0 && has(&set, a - 1) {
                    a -= 1;
                }
                assert_eq!(run_start(&set, at), a);
                let mut b = at;
                while has(&set, b) {
                    b += 1;
                }
                assert_eq!(run_end(&set, at), b);
            }
            let (from, to) = (rng.below(200) as i32 - 5, rng.below(220) as i32 - 5);
            let mut window = vec![0; 3];
            only(&mut window, from, to);
            for m in 0..192 {
                assert_eq!(has(&window, m), m >= from && m <= to);
            }
            let mut list = Vec::new();
            runs(&set, (0, 3), &mut list);
            assert!(list.windows(2).all(|w| w[0].1 < w[1].0) && list.iter().all(|r| r.0 < r.1));
            for m in 0..192 {
                assert_eq!(has(&set, m), list.iter().any(|r| r.0 <= m && m < r.1));
            }
            let by = rng.below(190);
            let mut both = window.clone();
            and_shifted(&mut both, &set, by);
            for m in 0..192 {
                assert_eq!(has(&both, m), has(&window, m) && has(&set, m + by as i32));
            }
        }
    }
}
