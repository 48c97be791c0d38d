//! The set of points that gains most: a minimum cut, by flows along shortest
//! ways (Dinic, Soviet Math. Doklady 11, 1970).

/// Room for one cut, kept between uses.
#[derive(Debug, Clone, Default)]
pub struct Cut {
    /// What it costs that a point is in the set.
    charge: Vec<i64>,
    /// For each point its edges.
    edges_of: Vec<Vec<usize>>,
    /// `(to, what still fits through)`; an edge and its way back are neighbours.
    edges: Vec<(usize, i64)>,
    pinned: usize,
    level: Vec<u32>,
    next: Vec<usize>,
    queue: Vec<usize>,
}

/// Not reached.
const FAR: u32 = u32::MAX;
/// More than flows anywhere.
const PLENTY: i64 = i64::MAX / 8;

impl Cut {
    /// Begins anew with so many points.
    pub fn clear(&mut self, points: usize) {
        self.charge.clear();
        self.charge.resize(points, 0);
        self.edges_of.iter_mut().for_each(Vec::clear);
        self.edges_of.resize(points + 2, Vec::new());
        self.edges.clear();
    }

    /// The point that is never in the set.
    pub const fn pin(&mut self, point: usize) {
        self.pinned = point;
    }

    /// A price (a gain, if negative) on the point being in the set.
    pub fn charge(&mut self, point: usize, price: i64) {
        self.charge[point] += price;
    }

    /// A price on the one being in the set without the other.
    pub fn bind(&mut self, one: usize, other: usize, price: i64) {
        self.edge(one, other, price);
    }

    /// Is the point in the set found?
    pub fn holds(&self, point: usize) -> bool {
        self.level[point] != FAR
    }

    fn edge(&mut self, from: usize, to: usize, room: i64) {
        self.edges_of[from].push(self.edges.len());
        self.edges.push((to, room));
        self.edges_of[to].push(self.edges.len());
        self.edges.push((from, 0));
    }

    /// Finds the set; false if none gains.
    pub fn run(&mut self) -> bool {
        let points = self.charge.len();
        let (source, sink) = (points, points + 1);
        let mut gain = 0;
        for v in 0..points {
            let price = self.charge[v];
            if v == self.pinned {
                self.edge(v, sink, PLENTY);
            } else if price < 0 {
                self.edge(source, v, -price);
                gain -= price;
            } else if price > 0 {
                self.edge(v, sink, price);
            }
        }
        let mut flow = 0;
        while gain > flow && self.layer(source, sink) {
            self.next.clear();
            self.next.resize(points + 2, 0);
            loop {
                let pushed = self.push(source, sink, PLENTY);
                if pushed == 0 {
                    break;
                }
                flow += pushed;
            }
        }
        gain > flow
    }

    /// Layers by distance from the source; false if the sink cannot be reached.
    fn layer(&mut self, source: usize, sink: usize) -> bool {
        self.level.clear();
        self.level.resize(self.charge.len() + 2, FAR);
        self.level[source] = 0;
        self.queue.clear();
        self.queue.push(source);
        let mut head = 0;
        while let Some(&v) = self.queue.get(head) {
            head += 1;
            for &e in &self.edges_of[v] {
                let (to, room) = self.edges[e];
                if room > 0 && self.level[to] == FAR {
                    self.level[to] = self.level[v] + 1;
                    self.queue.push(to);
                }
            }
        }
        self.level[sink] != FAR
    }

    fn push(&mut self, v: usize, sink: usize, most: i64) -> i64 {
        if v == sink {
            return most;
        }
        while let Some(&e) = self.edges_of[v].get(self.next[v]) {
            let (to, room) = self.edges[e];
            if room > 0 && self.level[to] == self.level[v] + 1 {
                let pushed = self.push(to, sink, most.min(room));
                if pushed > 0 {
                    self.edges[e].1 -= pushed;
                    self.edges[e ^ 1].1 += pushed;
                    return pushed;
                }
            }
            self.next[v] += 1;
        }
        0
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::search::rng::Rng;

    /// Random prices on up to six points, one of them pinned: the set found against every set there is.
    #[test]
    fn no_set_gains_more() {
        let mut rng = Rng::new(1);
        // One for all of them: what was found before must leave nothing behind.
        let mut cut = Cut::default();
        let (mut gains, mut none) = (0, 0);
        for round in 0..2_000 {
            let n = 2 + rng.below(5);
            let pinned = rng.below(n);
            let charges: Vec<i64> = (0..n).map(|_| rng.below(9) as i64 - 4).collect();
            let binds: Vec<(usize, usize, i64)> = (0..rng.below(9))
                .map(|_| (rng.below(n), rng.below(n), 1 + rng.below(4) as i64))
                .filter(|b| b.0 != b.1)
                .collect();
            cut.clear(n);
            cut.pin(pinned);
            for (v, charge) in charges.iter().enumerate() {
                // In two parts, which are summed.
                cut.charge(v, charge - 1);
                cut.charge(v, 1);
            }
            for &(one, other, price) in &binds {
                cut.bind(one, other, price);
            }
            let cost = |holds: &dyn Fn(usize) -> bool| -> i64 {
                let inside: i64 = (0..n).filter(|&v| holds(v)).map(|v| charges[v]).sum();
                let torn = binds.iter().filter(|b| holds(b.0) && !holds(b.1));
                inside + torn.map(|b| b.2).sum::<i64>()
            };
            let sets = (0..1usize << n).filter(|set| set >> pinned & 1 == 0);
            let least = sets.map(|set| cost(&|v| set >> v & 1 == 1)).min().unwrap_or(0);
            let found = cut.run();
            assert_eq!(found, least < 0, "round {round}");
            if found {
                assert!(!cut.holds(pinned), "round {round}");
                assert_eq!(cost(&|v| cut.holds(v)), least, "round {round}");
                gains += 1;
            } else {
                none += 1;
            }
        }
        assert!(gains > 200 && none > 200, "{gains} gain, {none} do not");
    }
}
