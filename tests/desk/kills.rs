//! What is typed survives a kill at any key.

use crate::seat::Seat;

fn sit(home: &str) -> Seat {
    Seat::take(&[env!("CARGO_BIN_EXE_potwatch"), "desk"], &[("POTWATCH_HOME", home)])
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
        seat.wait_text("Guidance");
        if !typed.is_empty() {
            seat.wait_text("Here is what you had typed");
            let row = seat.row("Name").unwrap();
            assert!(row.contains(&typed), "{row}");
            seat.press("\x1b[F");
        }
        typed.push(letter);
        seat.press(&letter.to_string());
        // As soon as it is shown it is kept.
        let shown = format!("Party: {}", typed.trim_end());
        seat.wait_for(&shown, |s| {
            s.contents().contains(&shown) && s.contents().contains(typed.as_str())
        });
        seat.kill();
    }
    let drafts = std::fs::read_dir(format!("{home}/state/drafts")).unwrap().count();
    assert_eq!(drafts, 1, "no litter");
}
