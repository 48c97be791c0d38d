//! The search against every choice of little cases, and how many steps it takes.

use super::*;

/// Numbers that look random and are the same every time (a linear congruence, Knuth's constants).
struct Dice(u64);

impl Dice {
    /// From 0 to `below`, which is left out.
    fn roll(&mut self, below: u64) -> u64 {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % below
    }

    fn i32(&mut self, below: u64) -> i32 {
        i32::try_from(self.roll(below)).unwrap()
    }

    fn u32(&mut self, below: u64) -> u32 {
        u32::try_from(self.roll(below)).unwrap()
    }
}

/// Patterns, spans and stock.
type Made = (Vec<Vec<Pattern>>, Vec<(i32, i32)>, Vec<u32>);

fn case(made: &Made) -> Case<'_> {
    let (patterns, spans, stock) = made;
    Case {
        patterns: patterns.iter().map(Vec::as_slice).collect(),
        spans: spans.clone(),
        stock: stock.clone(),
    }
}

fn made(dice: &mut Dice) -> Made {
    let wares = 1 + usize::try_from(dice.roll(3)).unwrap();
    let stock = (0..wares).map(|_| 1 + dice.u32(2)).collect();
    let dishes = 1 + dice.roll(5);
    let mut spans = Vec::new();
    let mut all = Vec::new();
    for _ in 0..dishes {
        let from = dice.i32(4) * 10;
        spans.push((from, from + 10 + dice.i32(30)));
        let mut patterns: Vec<Pattern> = (0..=dice.roll(3))
            .map(|_| {
                let takes = |ware: usize, n: u32| (n > 0).then_some((ware, n));
                let uses: Vec<_> = (0..wares).filter_map(|w| takes(w, dice.u32(3))).collect();
                Pattern { uses, cost: i64::from(dice.i32(2_000)) }
            })
            .filter(|p| !p.uses.is_empty())
            .collect();
        patterns.sort_by(|a, b| (a.cost, &a.uses).cmp(&(b.cost, &b.uses)));
        all.push(patterns);
    }
    (all, spans, stock)
}

/// At no minute more of a ware than there is.
fn fits(made: &Made, chosen: &[Option<usize>]) -> bool {
    let (patterns, spans, stock) = made;
    (0..80).all(|minute| {
        let there = |d: &usize| spans[*d].0 <= minute && minute < spans[*d].1;
        (0..stock.len()).all(|ware| {
            let dishes = (0..chosen.len()).filter(there);
            let uses = dishes.filter_map(|d| chosen[d].map(|at| &patterns[d][at].uses)).flatten();
            uses.filter(|u| u.0 == ware).map(|u| u.1).sum::<u32>() <= stock[ware]
        })
    })
}

fn cost(made: &Made, chosen: &[Option<usize>]) -> i64 {
    chosen.iter().enumerate().filter_map(|(d, at)| at.map(|at| made.0[d][at].cost)).sum()
}

/// Every choice for all dishes, also to go without.
fn every(made: &Made) -> Vec<Vec<Option<usize>>> {
    let mut all: Vec<Vec<Option<usize>>> = vec![Vec::new()];
    for patterns in &made.0 {
        let own = (0..patterns.len()).map(Some).chain([None]);
        let longer =
            |at: Option<usize>| all.iter().map(move |chosen| [chosen.as_slice(), &[at]].concat());
        all = own.flat_map(longer).collect();
    }
    all.retain(|chosen| fits(made, chosen));
    all
}

#[test]
fn it_serves_as_many_as_can_be_and_those_at_the_least_cost() {
    let mut dice = Dice(7);
    let (mut without, mut all) = (0, 0);
    for _ in 0..3_000 {
        let made = made(&mut dice);
        let found = search(&case(&made));
        let served = |chosen: &[Option<usize>]| chosen.iter().flatten().count();
        assert!(found.proved && fits(&made, &found.chosen), "{made:?} {found:?}");
        let every = every(&made);
        let most = every.iter().map(|c| served(c)).max().unwrap();
        assert_eq!(served(&found.chosen), most, "{made:?} {found:?}");
        let same = |c: &&Vec<Option<usize>>| {
            c.iter().zip(&found.chosen).all(|(a, b)| a.is_some() == b.is_some())
        };
        let least = every.iter().filter(same).map(|c| cost(&made, c)).min();
        assert_eq!(Some(cost(&made, &found.chosen)), least, "{made:?} {found:?}");
        let steps = Cell::new(NODES);
        assert_eq!(possible(&case(&made), &steps), Some(most == made.0.len()));
        if most == made.0.len() { all += 1 } else { without += 1 }
    }
    assert!(without > 50 && all > 50, "{without} {all}");
}

/// So many dishes at one time and so many single pieces, each dish with a price for each piece.
fn assignment(dishes: usize, pieces: usize, dice: &mut Dice) -> Made {
    let one = |ware: usize, cost: i64| Pattern { uses: vec![(ware, 1)], cost };
    let mut patterns = Vec::new();
    for _ in 0..dishes {
        let mut own: Vec<Pattern> =
            (0..pieces).map(|ware| one(ware, 50 + i64::from(dice.i32(1_000)))).collect();
        own.sort_by_key(|p| p.cost);
        patterns.push(own);
    }
    (patterns, vec![(0, 60); dishes], vec![1; pieces])
}

/// For the assignment problem a bound with prices is exact (its linear relaxation has whole answers: Birkhoff's
/// theorem), so that hardly more steps are taken than there are choices to look at. Without prices it is hundreds of times
/// as many.
#[test]
fn an_assignment_is_proved_in_few_steps() {
    let mut dice = Dice(3);
    let mut steps = [0, 0];
    for _ in 0..10 {
        let nine = assignment(9, 9, &mut dice);
        let (found, took) = run(&case(&nine), Aim::Cheapest, NODES);
        assert!(found.proved);
        steps[0] += took;
        // Two more than there is for: two go without, and no third needs to.
        let twelve = assignment(12, 10, &mut dice);
        let (found, took) = run(&case(&twelve), Aim::Most, NODES);
        assert!(found.proved && found.chosen.iter().flatten().count() == 10);
        steps[1] += took;
    }
    assert!(steps[0] <= 600 && steps[1] <= 800, "{steps:?}");
}

#[test]
fn no_more_steps_are_taken_than_are_allowed() {
    let mut dice = Dice(3);
    let made = assignment(6, 5, &mut dice);
    let case = case(&made);
    let (found, took) = run(&case, Aim::Most, NODES);
    assert!(found.proved && took > 5);
    // Just enough of them, and one too few.
    assert!(run(&case, Aim::Most, took).0.proved && !run(&case, Aim::Most, took - 1).0.proved);
    // A series of questions: what one takes the next ones lack; what is left open is no answer.
    let steps = Cell::new(took + 1);
    assert_eq!(possible(&case, &steps), Some(false));
    assert_eq!(steps.get(), 1);
    assert_eq!(possible(&case, &steps), None);
    assert_eq!(possible(&case, &steps), None);
    // Who is served is known sooner than that nothing is cheaper; both must be.
    let made = assignment(6, 6, &mut dice);
    let case = self::case(&made);
    let (most, cheapest) = (run(&case, Aim::Most, NODES).1, run(&case, Aim::Cheapest, NODES).1);
    assert_ne!(most, cheapest);
    let short = within(&case, most.min(cheapest));
    assert!(!short.proved && within(&case, most.max(cheapest)).proved);
    // What was found before it gave up stands.
    assert_eq!(short.chosen.iter().flatten().count(), 6);
}
