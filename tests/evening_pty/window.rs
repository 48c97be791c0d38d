//! The window: any size, no colour, the mouse.

use potwatch::run::Event;

use super::small_party::SmallParty;
use super::{cooking, demo};

#[test]
fn a_window_made_tiny_and_large_again_shows_the_evening_whole() {
    let party = SmallParty::first_due_in(5);
    party.begin(1, &[]);
    let mut seat = cooking(&party);
    seat.wait_still(std::time::Duration::from_millis(300));
    for (rows, cols) in [(1, 1), (2, 300), (100, 3), (1, 1)] {
        seat.resize_unseen(rows, cols);
        std::thread::sleep(std::time::Duration::from_millis(30));
    }
    seat.resize_unseen(30, 150);
    seat.wait_for("the evening", |s| {
        let text = s.contents();
        let rows: Vec<&str> = text.lines().collect();
        rows.first().is_some_and(|r| r.contains("Small supper") && r.contains("Mains 1"))
            && text.contains("chop")
            && rows.last().is_some_and(|r| r.contains(" Space ") && r.contains("actions"))
    });
    seat.press("q");
    assert_eq!(seat.exit_code(), 0);
}

/// The wish of <https://no-color.org>: no colour; other styles are free.
#[test]
fn without_colour_there_is_still_bold() {
    let look = |no_color: &str| {
        let (seat, _home) = demo(24, 80, &[("NO_COLOR", no_color)]);
        seat.see(|s| {
            let cells = (0..24).flat_map(|row| (0..80).filter_map(move |col| s.cell(row, col)));
            cells.fold((0, 0), |(colours, bold), cell| {
                let plain = vt100::Color::Default;
                let coloured = cell.fgcolor() != plain || cell.bgcolor() != plain;
                (colours + usize::from(coloured), bold + usize::from(cell.bold()))
            })
        })
    };
    let (colours, bold) = look("1");
    assert_eq!(colours, 0);
    assert!(bold > 0);
    // An empty value is no wish.
    assert!(look("").0 > 0);
}

#[test]
fn a_click_on_a_key_of_the_footer_marks() {
    let party = SmallParty::first_due_in(0);
    party.begin(1, &[]);
    let mut seat = cooking(&party);
    seat.press("a");
    seat.press("mouse");
    seat.wait_text("Catches the mouse");
    seat.press("\r");
    seat.wait_for("the mouse to be caught", |s| {
        s.mouse_protocol_mode() != vt100::MouseProtocolMode::None
    });
    seat.wait_text(" Space ");
    let (row, col) = seat.place(" Space ").unwrap();
    std::thread::sleep(std::time::Duration::from_millis(350));
    seat.click(row, col + 2);
    seat.wait_text("started: soup (chop)");
    assert!(matches!(&party.by_the_cook()[..], [Event::Started { .. }]));
}
