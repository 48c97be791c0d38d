//! Cutting the time of a plan into stretches of a picture each.

use crate::kitchen::Minute;

/// A stretch shows at most so many minutes: a step of ten is then wide enough
/// for a word.
const MOST: Minute = 210;
/// With so many minutes in which nothing happens, a new stretch begins.
const PAUSE: Minute = 120;
/// Stretches begin and end at the half hour.
const ROUND: Minute = 30;

/// From when to when each stretch goes, for things with these spans: all of
/// them are covered, whole pauses are not.
#[must_use]
pub(super) fn stretches(spans: &[(Minute, Minute)]) -> Vec<(Minute, Minute)> {
    let mut spans: Vec<(Minute, Minute)> = spans.iter().copied().filter(|s| s.0 < s.1).collect();
    spans.sort_unstable();
    let mut busy: Vec<(Minute, Minute)> = Vec::new();
    for (from, to) in spans {
        match busy.last_mut() {
            Some(last) if from - last.1 < PAUSE => last.1 = last.1.max(to),
            _ => busy.push((from, to)),
        }
    }
    busy.into_iter().flat_map(|(from, to)| cut(from, to)).collect()
}

/// A busy time in equal parts of at most [`MOST`].
fn cut(from: Minute, to: Minute) -> Vec<(Minute, Minute)> {
    let from = from.div_euclid(ROUND) * ROUND;
    let to = (to + ROUND - 1).div_euclid(ROUND) * ROUND;
    let parts = (to - from + MOST - 1).div_euclid(MOST).max(1);
    let each = ((to - from + parts - 1) / parts + ROUND - 1).div_euclid(ROUND) * ROUND;
    let starts = (0..parts).map(|i| from + i * each).filter(|start| *start < to);
    starts.map(|start| (start, (start + each).min(to))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_is_covered_and_pauses_are_left_out() {
        assert_eq!(stretches(&[]), []);
        assert_eq!(stretches(&[(605, 640)]), [(600, 660)]);
        // 14:10 to 19:45: two stretches of the same length.
        assert_eq!(stretches(&[(850, 900), (900, 1185)]), [(840, 1020), (1020, 1200)]);
        let night = stretches(&[(-400, -300), (850, 900)]);
        assert_eq!(night, [(-420, -300), (840, 900)]);
    }

    #[test]
    fn no_stretch_is_longer_than_it_may_be() {
        for from in (-2000..2000).step_by(37) {
            for length in (1..1500).step_by(41) {
                let all = stretches(&[(from, from + length)]);
                assert!(all.iter().all(|s| s.0 < s.1 && s.1 - s.0 <= MOST));
                assert!(all.windows(2).all(|w| w[0].1 == w[1].0));
                assert!(all[0].0 <= from && all[all.len() - 1].1 >= from + length);
            }
        }
    }

    /// Worked by hand: a pause of 119 minutes is drawn, one of 120 is not; 210 minutes are one picture.
    #[test]
    fn stretches_go_to_their_edges_and_no_further() {
        assert_eq!(stretches(&[(0, 60), (179, 240)]), [(0, 120), (120, 240)]);
        assert_eq!(stretches(&[(0, 60), (180, 240)]), [(0, 60), (180, 240)]);
        assert_eq!(stretches(&[(0, 210)]), [(0, 210)]);
        assert_eq!(stretches(&[(0, 211)]), [(0, 120), (120, 240)]);
        assert_eq!(stretches(&[(0, 420)]), [(0, 210), (210, 420)]);
        assert_eq!(stretches(&[(0, 630)]), [(0, 210), (210, 420), (420, 630)]);
        // In any order, one within another, and nothing of no length.
        assert_eq!(
            stretches(&[(600, 630), (100, 130), (0, 200), (900, 900)]),
            [(0, 210), (600, 630)]
        );
        assert_eq!(stretches(&[(5, 5)]), []);
    }
}
