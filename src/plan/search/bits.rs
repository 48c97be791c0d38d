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
const fn mask(w: usize, from: usize, to: usize) -> u64 {
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

/// Replaces the bits of `from..to` by what `holds` says of each minute.
pub fn refresh(set: &mut [u64], from: usize, to: usize, holds: impl Fn(usize) -> bool) {
    if from >= to {
        return;
    }
    for w in from / 64..=(to - 1) / 64 {
        let Some(word) = set.get_mut(w) else { return };
        let (first, past) = (from.max(w * 64), to.min(w * 64 + 64));
        let mut fresh = 0u64;
        for minute in first..past {
            fresh |= u64::from(holds(minute)) << (minute % 64);
        }
        *word = (*word & !mask(w, first, past)) | fresh;
    }
}

/// `set &= other >> by`.
pub fn and_shifted(set: &mut [u64], other: &[u64], by: usize) {
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
pub fn erode(set: &mut [u64], run: usize) {
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

/// Calls `each` with every minute of the set, rising.
pub fn each(set: &[u64], mut each: impl FnMut(usize)) {
    for (w, &word) in set.iter().enumerate() {
        let mut rest = word;
        while rest != 0 {
            each(w * 64 + rest.trailing_zeros() as usize);
            rest &= rest - 1;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::rng::Rng;
    use super::*;

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
            let by = rng.below(190);
            let mut both = window.clone();
            and_shifted(&mut both, &set, by);
            for m in 0..192 {
                assert_eq!(has(&both, m), has(&window, m) && has(&set, m + by as i32));
            }
        }
    }
}
