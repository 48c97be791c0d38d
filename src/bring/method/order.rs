//! What follows what: the order of the text, but for what goes on meanwhile, what
//! is set aside for a later piece, and parts under headings of their own.

use super::Proposal;

#[derive(Debug, Default)]
pub(super) struct Order {
    section: Option<String>,
    /// For each step, what it follows.
    after: Vec<Vec<usize>>,
    /// What the next step follows.
    tail: Vec<usize>,
    /// What the present piece's first step followed.
    before_piece: Vec<usize>,
    /// Steps that a later piece waits for: (the piece, the step).
    aside: Vec<(usize, usize)>,
}

impl Order {
    /// A piece begins; `next` is the index of its first step.
    pub fn begin(&mut self, piece: usize, section: Option<&str>, next: usize) {
        self.fill(next);
        if piece > 0 && section != self.section.as_deref() {
            self.tail.clear();
        }
        self.section = section.map(str::to_owned);
        self.before_piece = self.tail.clone();
        let waited = self.aside.iter().filter(|(p, _)| *p == piece).map(|(_, s)| *s);
        self.tail.extend(waited);
        self.tail.sort_unstable();
        self.tail.dedup();
    }

    /// The next step, `next`, goes on beside the last one, if `is`.
    pub fn meanwhile(&mut self, is: bool, next: usize) {
        self.fill(next);
        let Some(last) = next.checked_sub(1).filter(|_| is) else { return };
        // It follows what the last one follows; what comes then waits for both.
        let follows = self.after.get(last).cloned().unwrap_or_default();
        self.after.push(follows);
        self.tail = vec![last, next];
    }

    /// A piece ends, with the steps from `begun` to `next`.
    pub fn end(&mut self, piece: usize, aside: Option<usize>, begun: usize, next: usize) {
        self.fill(next);
        let Some(last) = next.checked_sub(1).filter(|_| next > begun) else { return };
        if let Some(later) = aside.filter(|&later| later > piece) {
            self.aside.push((later, last));
            self.tail = self.before_piece.clone();
        }
    }

    /// Notes what the steps before `next` follow that are not noted yet.
    fn fill(&mut self, next: usize) {
        while self.after.len() < next {
            let index = self.after.len();
            self.after.push(std::mem::replace(&mut self.tail, vec![index]));
        }
    }

    /// Writes the order into the steps. Whatever leads nowhere leads to the last step.
    pub fn link(mut self, steps: &mut [Proposal]) {
        self.fill(steps.len());
        let Some(last) = steps.len().checked_sub(1) else { return };
        let followed: Vec<usize> = self.after.iter().flatten().copied().collect();
        for (index, step) in steps.iter_mut().enumerate() {
            step.after = self.after.get(index).cloned().unwrap_or_default();
            step.after.retain(|&s| s < index);
            if index == last {
                let ends = (0..last).filter(|i| !followed.contains(i));
                step.after.extend(ends);
            }
            step.after.sort_unstable();
            step.after.dedup();
        }
    }
}

/// The piece, counted from nought, that something is set aside for: "for use in Step 7".
pub fn set_aside(text: &str) -> Option<usize> {
    let lower = text.to_lowercase();
    let at = lower.find("for use in step ").map(|at| at + "for use in step ".len());
    let digits: String =
        lower.get(at?..)?.chars().take_while(char::is_ascii_digit).take(3).collect();
    digits.parse::<usize>().ok()?.checked_sub(1)
}
