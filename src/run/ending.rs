//! What the end of an evening means: everything is served, what is still out,
//! and when nothing is left to be done.

use super::report;
use super::state::State;
use super::view::{Ending, Holding};

/// The end, once every dish is served, gone or dropped; None before it.
/// `board`: the dishes that wait or stand on the table; `parts`: what of them went
/// its own way and does so too.
#[must_use]
pub fn ending(state: &State, board: &[Holding], parts: &[Holding], now_ms: i64) -> Option<Ending> {
    if !is_over(state) {
        return None;
    }
    let none = board.is_empty() && parts.is_empty();
    let closed = none || state.facts().finished_ms.is_some();
    let told = report::report(state, now_ms);
    let title = match (board.len(), parts.len()) {
        _ if closed => "The evening is over.".to_owned(),
        (1, 0) => "All is served; one dish is still out.".to_owned(),
        (n, 0) => format!("All is served; {n} dishes are still out."),
        (0, 1) => "All is served; a part of one dish is still out.".to_owned(),
        (n, more) => {
            format!("All is served; {} dishes and parts of dishes are still out.", n + more)
        }
    };
    let face = &state.evening().face;
    let mut lines: Vec<String> = told.services.iter().map(|s| s.line(face)).collect();
    lines.extend(told.kept.iter().map(|k| format!("{}, put away: {}", k.dish, k.keeps)));
    Some(Ending { title, closed, lines })
}

/// Are all services over: every dish served or gone, or the evening closed?
#[must_use]
pub fn is_over(state: &State) -> bool {
    let mut dishes = 0..state.evening().sheets.len();
    state.facts().finished_ms.is_some()
        || dishes.all(|d| state.is_dropped(d) || state.is_out_of_hand(d))
}

#[cfg(test)]
mod tests {
    use super::super::testbed::{ms, on_time, state};
    use super::super::view;

    #[test]
    fn there_is_no_end_before_all_is_served() {
        assert_eq!(view(&state(&on_time("18:45")), ms("18:46")).ending, None);
    }

    #[test]
    fn served_dishes_are_still_out_until_they_are_cleared() {
        let mut rows = on_time("19:00");
        let end = view(&state(&rows), ms("19:05")).ending.unwrap();
        assert_eq!(end.title, "All is served; 4 dishes are still out.");
        assert!(!end.closed);
        assert_eq!(end.lines[0], "Starters: asked for 18:00, served 18:00, on time");
        rows.extend([
            ("19:30", "clear soup eaten"),
            ("19:30", "clear dip eaten"),
            ("19:30", "clear fries thrown_out"),
        ]);
        let end = view(&state(&rows), ms("19:31")).ending.unwrap();
        assert_eq!(end.title, "All is served; one dish is still out.");
        rows.push(("19:31", "clear pie put_away"));
        let end = view(&state(&rows), ms("19:32")).ending.unwrap();
        assert_eq!(end.title, "The evening is over.");
        assert!(end.closed);
        assert!(end.lines.iter().any(|l| l.starts_with("Pie, put away: eat it")), "{end:?}");
    }

    #[test]
    fn an_evening_that_was_closed_is_over_with_dishes_out() {
        let mut rows = on_time("19:00");
        rows.push(("19:10", "finished"));
        let shown = view(&state(&rows), ms("19:11"));
        assert!(shown.ending.is_some_and(|e| e.closed) && !shown.holding.is_empty());
    }
}
