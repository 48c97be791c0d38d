//! From time to columns.

use crate::kitchen::Evening;
use crate::plan::Plan;

/// How much of the evening the chart shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Zoom {
    /// An hour or so around now.
    Close,
    /// Two hours or more around now.
    #[default]
    Wide,
    /// The whole party.
    Whole,
}

impl Zoom {
    /// The next one, around and around.
    #[must_use]
    pub const fn next(self) -> Self {
        match self {
            Self::Close => Self::Wide,
            Self::Wide => Self::Whole,
            Self::Whole => Self::Close,
        }
    }

    /// Its name for the cook.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Close => "the next hour",
            Self::Wide => "the next two hours",
            Self::Whole => "the whole party",
        }
    }

    /// The least time that it shows, in milliseconds; None: all there is.
    pub(super) const fn least_ms(self) -> Option<i64> {
        match self {
            Self::Close => Some(50 * MINUTE),
            Self::Wide => Some(120 * MINUTE),
            Self::Whole => None,
        }
    }
}

const MINUTE: i64 = 60_000;

/// Seconds a column may stand for while following now: steps fine enough that a window is never
/// much longer than was asked for.
const STEPS_S: [i64; 18] =
    [15, 30, 45, 60, 90, 120, 180, 240, 300, 360, 600, 720, 900, 1200, 1800, 3600, 7200, 14_400];

/// What the columns of a chart stand for: column `c` is the time from
/// `from_ms + c * step_ms` up to the next column's.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Window {
    /// Time at the left edge of the first column (unix ms), a whole number of steps.
    pub from_ms: i64,
    /// Milliseconds in a column, above 0.
    pub step_ms: i64,
    /// Columns.
    pub columns: u16,
}

impl Window {
    /// The window of a zoom. While it follows now, now stands in the column
    /// `columns / 5`, and the rest moves by whole columns; where all that is
    /// left fits, the window stands still and now moves. A time that `look_at`
    /// names is brought into the window by moving it, whole columns again.
    #[must_use]
    pub fn new(
        zoom: Zoom,
        columns: u16,
        now_ms: i64,
        (first_ms, last_ms): (i64, i64),
        look_at: Option<(i64, i64)>,
    ) -> Self {
        let wide = i64::from(columns.max(1));
        let step_ms = match zoom.least_ms() {
            Some(span) => {
                let fits = |s: &&i64| **s * 1000 * wide >= span;
                let widest = STEPS_S.last().copied().unwrap_or(3600);
                STEPS_S.iter().find(fits).copied().unwrap_or(widest) * 1000
            }
            None => {
                let span = last_ms.saturating_sub(first_ms).max(1);
                let half_minutes = (span / wide).div_euclid(MINUTE / 2) + 1;
                half_minutes * (MINUTE / 2)
            }
        };
        let lead = match zoom {
            Zoom::Whole => None,
            Zoom::Close | Zoom::Wide => Some(wide / 5),
        };
        let first = first_ms.div_euclid(step_ms);
        let following = |lead: i64| {
            // Nothing lies past the end: near it the line of now moves instead of the chart.
            let latest = last_ms.div_euclid(step_ms) + 1 - wide;
            (now_ms.div_euclid(step_ms) - lead).min(latest.max(first))
        };
        let mut from_ms = lead.map_or(first, following) * step_ms;
        if let Some((from, to)) = look_at {
            let end = from_ms + wide * step_ms;
            if from < from_ms {
                from_ms = (from.div_euclid(step_ms) - 1) * step_ms;
            } else if to > end && from > from_ms {
                let over = (to - end).min(from - from_ms);
                from_ms += over.div_euclid(step_ms) * step_ms;
            }
        }
        Self { from_ms, step_ms, columns }
    }

    /// The column in which a time lies; None outside.
    #[must_use]
    pub fn column(&self, ms: i64) -> Option<u16> {
        let column = ms.saturating_sub(self.from_ms).div_euclid(self.step_ms);
        u16::try_from(column).ok().filter(|&c| c < self.columns)
    }

    /// Eighths of a column from the left edge, rounded down; may lie outside.
    #[must_use]
    pub fn eighths(&self, ms: i64) -> i64 {
        ms.saturating_sub(self.from_ms).saturating_mul(8).div_euclid(self.step_ms)
    }

    /// The time just after the last column (unix ms).
    #[must_use]
    pub fn to_ms(&self) -> i64 {
        self.from_ms + i64::from(self.columns) * self.step_ms
    }
}

/// From when to when the whole party lasts (unix ms): every block, hold,
/// setting and service of the plan, and now.
#[must_use]
pub fn extent(evening: &Evening, plan: &Plan, now_ms: i64) -> (i64, i64) {
    let blocks = plan.blocks.iter().map(|b| (b.start, b.end));
    let holds = plan.holds.iter().map(|h| (h.from, h.to));
    let waits = plan.waits.iter().map(|w| (w.from, w.to));
    let heats = plan.settings.iter().map(|s| (s.from, s.to));
    let services = plan.services.iter().map(|s| (s.due, s.due));
    let all = blocks.chain(holds).chain(waits).chain(heats).chain(services);
    let (mut first, mut last) = (now_ms, now_ms.saturating_add(MINUTE));
    for (from, to) in all {
        first = first.min(evening.face.ms_of(from));
        last = last.max(evening.face.ms_of(to));
    }
    (first.saturating_sub(5 * MINUTE), last.saturating_add(10 * MINUTE))
}

#[cfg(test)]
mod tests {
    use super::*;

    const NOW: i64 = 1_795_629_123_456;
    const ALL: (i64, i64) = (NOW - 7_200_000, NOW + 10_800_000);

    #[test]
    fn the_window_does_not_run_past_the_end() {
        for (zoom, columns) in [(Zoom::Wide, 66_u16), (Zoom::Wide, 106), (Zoom::Close, 66)] {
            let end = NOW + 30 * MINUTE;
            let w = Window::new(zoom, columns, NOW, (NOW - 300 * MINUTE, end), None);
            assert!(w.to_ms() > end && w.to_ms() - w.step_ms <= end, "{w:?}");
            assert!(w.column(NOW).is_some_and(|c| c > columns / 5), "{w:?}");
        }
        // A party that fits whole begins at the left edge.
        let w = Window::new(Zoom::Wide, 226, NOW, (NOW - 60 * MINUTE, NOW + 60 * MINUTE), None);
        assert_eq!(w.column(NOW - 60 * MINUTE), Some(0));
    }

    #[test]
    fn now_stays_in_its_column_while_the_window_follows() {
        let long = (ALL.0, ALL.1 + 86_400_000);
        for zoom in [Zoom::Close, Zoom::Wide] {
            for columns in [1_u16, 5, 40, 66, 106, 226] {
                for later in (0..7_200_000).step_by(77_777) {
                    let w = Window::new(zoom, columns, NOW + later, long, None);
                    assert_eq!(w.column(NOW + later), Some(columns / 5), "{zoom:?} {columns}");
                    assert_eq!(w.from_ms % w.step_ms, 0);
                }
            }
        }
    }

    #[test]
    fn zooms_show_what_they_promise() {
        for columns in [40_u16, 66, 106, 226] {
            let close = Window::new(Zoom::Close, columns, NOW, ALL, None);
            let wide = Window::new(Zoom::Wide, columns, NOW, ALL, None);
            let whole = Window::new(Zoom::Whole, columns, NOW, ALL, None);
            assert!(close.to_ms() - close.from_ms >= 50 * MINUTE);
            assert!(wide.to_ms() - wide.from_ms >= 120 * MINUTE);
            assert!(whole.from_ms <= ALL.0 && whole.to_ms() + whole.step_ms > ALL.1);
        }
    }

    #[test]
    fn what_is_looked_at_comes_into_the_window() {
        for (from, to) in [(NOW - 9_000_000, NOW - 8_900_000), (NOW + 9_000_000, NOW + 9_600_000)] {
            let w = Window::new(Zoom::Close, 66, NOW, ALL, Some((from, to)));
            assert!(w.from_ms <= from && from < w.to_ms(), "{w:?}");
        }
    }

    #[test]
    fn eighths_round_down() {
        let w = Window { from_ms: 0, step_ms: 120_000, columns: 10 };
        assert_eq!([0, 14_999, 15_000, 120_000, -1].map(|ms| w.eighths(ms)), [0, 0, 1, 8, -1]);
    }
}
