//! What is left, against counting minute by minute.

use super::*;
use crate::plan::search::rng::Rng;

/// The same, minute by minute.
struct Plain {
    left: Vec<i32>,
    begun: Vec<i32>,
}

#[test]
fn it_is_what_counting_minute_by_minute_says() {
    let mut rng = Rng::new(31);
    for round in 0..400 {
        let capacity = 1 + rng.below(4) as i32;
        let (from, h) = (rng.below(150) as i32 - 10, 60 + rng.below(80) as i32);
        let closed = vec![(from, from + rng.below(9) as i32), (h - 1, h + 40)];
        let resource = Resource { capacity, closed: closed.clone() };
        let mut profile = Profile::new(&resource, vec![1, 2, 3], h);
        let shut = |m: i32| closed.iter().any(|c| c.0 <= m && m < c.1);
        let left: Vec<i32> = (0..h).map(|m| if shut(m) { CLOSED } else { capacity }).collect();
        let mut plain = Plain { begun: left.clone(), left };
        let mut taken: Vec<(i32, i32, i32)> = Vec::new();
        let mut begun: Vec<(i32, Vec<i32>)> = Vec::new();
        for _ in 0..14 {
            let (from, amount) = (rng.below(140) as i32 - 8, 1 + rng.below(3) as i32);
            let to = from + rng.below(50) as i32 - 2;
            let minutes = from.max(0)..to.min(h);
            match rng.below(5) {
                0 if taken.is_empty() && begun.is_empty() => {
                    profile.take_fixed(from, to, amount);
                    for m in minutes.clone() {
                        let left = &mut plain.left[m as usize];
                        *left = if *left > 0 { (*left - amount).max(0) } else { *left };
                        plain.begun[m as usize] = *left;
                    }
                }
                1 => {
                    let all = profile.take_begun(from, to, amount);
                    for (m, taken) in minutes.clone().zip(&all) {
                        assert_eq!(*taken, amount.min(plain.left[m as usize].max(0)));
                        plain.left[m as usize] -= taken;
                        plain.begun[m as usize] -= taken;
                    }
                    assert_eq!(all.len(), minutes.len());
                    begun.push((from, all));
                }
                2 if !begun.is_empty() => {
                    let (from, all) = begun.pop().expect("one");
                    profile.give_back(from, &all);
                    for (m, taken) in (from.max(0)..h).zip(&all) {
                        plain.left[m as usize] += taken;
                        plain.begun[m as usize] += taken;
                    }
                }
                3 if !taken.is_empty() => {
                    let (from, to, amount) = taken.swap_remove(rng.below(taken.len()));
                    profile.take(from, to, -amount);
                    (from.max(0)..to.min(h)).for_each(|m| plain.left[m as usize] += amount);
                }
                _ => {
                    profile.take(from, to, amount);
                    minutes.clone().for_each(|m| plain.left[m as usize] -= amount);
                    taken.push((from, to, amount));
                }
            }
            let left = |m: i32| plain.left.get(m as usize).copied().unwrap_or(0);
            for m in -3..h + 3 {
                assert_eq!(profile.left(m), if m < 0 { 0 } else { left(m) }, "round {round}: {m}");
                for level in 1..4 {
                    let free = m >= 0 && m < h && left(m) >= level;
                    assert_eq!(bits::has(profile.free(level), m), free, "round {round}: {m}");
                }
            }
            assert!(profile.free(4).is_empty(), "nobody asks for it");
            let (a, b) = (rng.below(150) as i32 - 5, rng.below(150) as i32);
            let free = (a.max(0)..b).all(|m| m < h && left(m) >= amount);
            assert_eq!(profile.fits(a, b, amount), free, "round {round}: {a} to {b}");
            let on = |m: i32| left(m) >= amount || left(m) == plain.begun[m as usize];
            assert_eq!(
                profile.goes_on(a, b, amount),
                (a.max(0)..b.min(h)).all(on),
                "round {round}"
            );
        }
    }
}
