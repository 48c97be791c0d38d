//! Text for the cells of a terminal: widths, clipping, wrapping, and times in
//! the words of a kitchen clock.

use unicode_segmentation::UnicodeSegmentation;
use unicode_width::UnicodeWidthStr;

use crate::kitchen::Evening;
pub use crate::paper::span;
use crate::paper::{DAY_MS, IN_DAYS_MS};

/// Columns that a text takes.
#[must_use]
pub fn width(text: &str) -> usize {
    text.width()
}

/// The text without control characters (a space instead), so that nothing
/// from a file can steer the terminal.
#[must_use]
pub fn tame(text: &str) -> String {
    text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect()
}

/// The text in at most `room` columns; what was cut shows as `cut` (one column).
#[must_use]
pub fn clip(text: &str, room: usize, cut: &str) -> String {
    if width(text) <= room {
        return text.to_owned();
    }
    if room == 0 {
        return String::new();
    }
    let mut out = String::new();
    let mut used = 0;
    for g in text.graphemes(true) {
        let w = width(g);
        if used + w + 1 > room {
            break;
        }
        out.push_str(g);
        used += w;
    }
    let kept = out.trim_end().len();
    out.truncate(kept);
    out.push_str(cut);
    out
}

/// The text in exactly `room` columns: clipped, or filled up with spaces.
#[must_use]
pub fn fit(text: &str, room: usize, cut: &str) -> String {
    let mut out = clip(text, room, cut);
    let used = width(&out);
    out.extend(std::iter::repeat_n(' ', room.saturating_sub(used)));
    out
}

/// The text broken at spaces into lines of at most `room` columns; a longer
/// word is broken anywhere. No line for no room.
#[must_use]
pub fn wrap(text: &str, room: usize) -> Vec<String> {
    let mut lines = Vec::new();
    if room == 0 {
        return lines;
    }
    let mut line = String::new();
    for word in text.split_whitespace() {
        let gap = usize::from(!line.is_empty());
        if width(&line) + gap + width(word) <= room {
            if gap == 1 {
                line.push(' ');
            }
            line.push_str(word);
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        for g in word.graphemes(true) {
            if width(&line) + width(g) > room && !line.is_empty() {
                lines.push(std::mem::take(&mut line));
            }
            if width(g) <= room {
                line.push_str(g);
            }
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

/// When something is due, seen from now: `in 4 min`, `now`, `3 min ago`.
/// Rounded down.
#[must_use]
pub fn due(due_ms: i64, now_ms: i64) -> String {
    let left = due_ms.saturating_sub(now_ms);
    if left >= 60_000 {
        format!("in {}", span(left))
    } else if left > 0 {
        "in <1 min".to_owned()
    } else if left > -60_000 {
        "now".to_owned()
    } else {
        format!("{} ago", span(left))
    }
}

/// A stretch of time in few columns: `45m`, from 100 minutes on `2h05`, from three
/// days on `6d`. Rounded down, none below nought.
#[must_use]
pub fn brief(ms: i64) -> String {
    let minutes = ms.max(0) / 60_000;
    if minutes < 100 {
        format!("{minutes}m")
    } else if ms < IN_DAYS_MS {
        format!("{}h{:02}", minutes / 60, minutes % 60)
    } else {
        format!("{}d", ms / DAY_MS)
    }
}

/// `18:05` or `6:05pm` on the party's wall clock.
#[must_use]
pub fn clock(evening: &Evening, ms: i64) -> String {
    evening.face.read(ms)
}

/// The digits of the large countdown: `4:09` below ten minutes, `25` minutes
/// below an hour, `1:05` hours above, whole days from three on (with the unit as
/// a word: see the second). Past: `+3` minutes. Rounded down.
#[must_use]
pub fn countdown(due_ms: i64, now_ms: i64) -> (String, &'static str) {
    let left = due_ms.saturating_sub(now_ms);
    if left <= -60_000 {
        let late = left.unsigned_abs() / 60_000;
        return if late < 100 {
            (format!("+{late}"), "min late")
        } else {
            (format!("+{}", late / 60), "hours late")
        };
    }
    if left <= 0 {
        return ("NOW".to_owned(), "");
    }
    if left < 600_000 {
        let seconds = left / 1000;
        (format!("{}:{:02}", seconds / 60, seconds % 60), "min")
    } else if left < 6_000_000 {
        (format!("{}", left / 60_000), "min")
    } else if left < IN_DAYS_MS {
        let minutes = left / 60_000;
        (format!("{}:{:02}", minutes / 60, minutes % 60), "hours")
    } else {
        ((left / DAY_MS).min(999).to_string(), "days")
    }
}

/// When the large countdown changes next (unix ms, above `now_ms`).
#[must_use]
pub fn countdown_changes_at(due_ms: i64, now_ms: i64) -> i64 {
    let left = due_ms.saturating_sub(now_ms);
    if left > 0 && left < 600_000 {
        return now_ms.saturating_add((left % 1000 + 1).min(left));
    }
    minutes_change_at(due_ms, now_ms)
}

/// When a number of whole minutes until or since a time changes next (unix ms,
/// above `now_ms`).
#[must_use]
pub fn minutes_change_at(at_ms: i64, now_ms: i64) -> i64 {
    let left = at_ms.saturating_sub(now_ms);
    let wait = if left <= 0 {
        60_000 - left.checked_abs().unwrap_or(0) % 60_000
    } else {
        (left % 60_000 + 1).min(left)
    };
    now_ms.saturating_add(wait)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn clipping_counts_columns_not_letters() {
        assert_eq!(clip("Kürbissuppe", 6, "…"), "Kürbi…");
        assert_eq!(clip("南瓜汤煮", 5, "…"), "南瓜…");
        assert_eq!(clip("南瓜", 4, "…"), "南瓜");
        assert_eq!(clip("pie", 0, "…"), "");
        assert_eq!(clip("pie roast", 5, "…"), "pie…");
        assert_eq!(fit("ab", 4, "…"), "ab  ");
        assert_eq!(width(&fit("南瓜汤", 4, "…")), 4);
    }

    #[test]
    fn wrapping_keeps_every_letter_and_no_line_too_long() {
        let text = "Pull the pie and let it stand on the board 日本語の長い言葉 for ten minutes";
        for room in 2..40 {
            let lines = wrap(text, room);
            assert!(lines.iter().all(|l| width(l) <= room), "{room}");
            let joined: String = lines.concat().split_whitespace().collect();
            assert_eq!(joined, text.split_whitespace().collect::<String>(), "{room}");
        }
        assert!(wrap(text, 0).is_empty());
    }

    #[test]
    fn countdowns_round_so_that_nought_is_now() {
        let cd = |left: i64| countdown(left, 0);
        assert_eq!(cd(61_000), ("1:01".into(), "min"));
        assert_eq!(cd(500), ("0:00".into(), "min"));
        assert_eq!(cd(0), ("NOW".into(), ""));
        assert_eq!(cd(-59_999), ("NOW".into(), ""));
        assert_eq!(cd(-180_000), ("+3".into(), "min late"));
        assert_eq!(cd(71 * 3_600_000), ("71:00".into(), "hours"));
        assert_eq!(cd(160 * 3_600_000), ("6".into(), "days"));
        assert_eq!(cd(599_000), ("9:59".into(), "min"));
        assert_eq!(cd(25 * 60_000), ("25".into(), "min"));
        assert_eq!(cd(125 * 60_000), ("2:05".into(), "hours"));
        assert_eq!(cd(i64::MIN).1, "hours late");
        assert_eq!(cd(i64::MAX), ("999".into(), "days"));
    }

    #[test]
    fn brief_stretches_take_few_columns() {
        let minutes = |m: i64| brief(m * 60_000);
        assert_eq!([minutes(-1), minutes(99), minutes(100)], ["0m", "99m", "1h40"]);
        assert_eq!([minutes(125), minutes(4319), minutes(9545)], ["2h05", "71h59", "6d"]);
    }

    #[test]
    fn the_countdown_changes_when_it_says() {
        for left in (-700_000..1_300_000).step_by(1700) {
            let now = 5_000_000 - left;
            let next = countdown_changes_at(5_000_000, now);
            assert!(next > now);
            for between in [now, now + (next - now) / 2, next - 1] {
                assert_eq!(countdown(5_000_000, between), countdown(5_000_000, now), "{left}");
            }
        }
    }
}
