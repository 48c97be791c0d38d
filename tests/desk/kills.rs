//! What is typed survives a kill at any key.

use crate::seat::Seat;

fn sit(home: &str) -> Seat {
    Seat::take(&[env!("CARGO_BIN_EXE_potwatch"), "desk"], &[("POTWATCH_HOME", home)])
}

/// Is the cell behind what was typed as Name, and no later one, marked as the cursor?
fn cursor_is_behind(s: &vt100::Screen, typed: &str) -> bool {
    let (_, cols) = s.size();
    let named = |(row, text): (usize, String)| {
        let at = text.strip_prefix("  Name").and_then(|value| value.find(typed.trim_end()))?;
        Some((row as u16, ("  Name".len() + at + typed.len()) as u16))
    };
    let Some((row, col)) = s.rows(0, cols).enumerate().find_map(named) else { return false };
    let look = |col| s.cell(row, col).map(|c| (c.bgcolor(), c.inverse()));
    look(col) != look(col + 1)
}

#[test]
fn what_is_typed_survives_a_kill_at_any_key() {
    let home = tempfile::tempdir().unwrap();
    let home = home.path().to_str().unwrap();
    let mut typed = String::new();
    for letter in "Quince lunch".chars() {
        let mut seat = sit(home);
        seat.wait_text("+ a new party");
        seat.press("\r");
        seat.wait_text("add a cook");
        if !typed.is_empty() {
            seat.wait_text("Here is what you had typed");
            let row = seat.row("Name").unwrap();
            assert!(row.contains(&typed), "{row}");
            seat.press("\x1b[F");
        }
        typed.push(letter);
        seat.press(&letter.to_string());
        // As soon as it is shown it is kept. A space at the end is shown by the cursor behind it.
        let shown = format!("Party: {}", typed.trim_end());
        seat.wait_for(&shown, |s| {
            let text = s.contents();
            text.contains(&shown) && text.contains(&typed) && cursor_is_behind(s, &typed)
        });
        seat.kill();
    }
    let drafts = std::fs::read_dir(format!("{home}/state/drafts")).unwrap().count();
    assert_eq!(drafts, 1, "no litter");
}
