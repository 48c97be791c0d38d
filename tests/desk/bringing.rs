//! Recipes brought in at the desk, in a real pty: named by their file or pasted, looked
//! at beside their source, confirmed, and saved on the shelf.

use serde_json::Value;

use crate::seat::Seat;

const TEXT: &str = "Leek and barley pot\nServes 8\n\nIngredients\n\
    2 kg leeks, sliced\n250 g barley\n1 l vegetable stock\n\n\
    Method\nSweat the leeks 10 minutes, stirring often.\n\
    Add barley and stock; simmer 40 minutes or until soft.\nServe hot.\n";

fn sit(home: &str, rows: u16, cols: u16) -> Seat {
    let seat = Seat::sized(
        rows,
        cols,
        &[env!("CARGO_BIN_EXE_potwatch"), "desk"],
        &[("POTWATCH_HOME", home)],
    );
    seat.wait_text("+ a new party");
    seat
}

fn saved(home: &str, id: &str) -> Value {
    let path = format!("{home}/data/recipes/{id}.json");
    serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap()
}

#[test]
fn a_file_is_named_looked_at_confirmed_and_saved() {
    let home = tempfile::tempdir().unwrap();
    let home = home.path().to_str().unwrap();
    let page = format!("{home}/pot.txt");
    std::fs::write(&page, TEXT).unwrap();
    let mut seat = sit(home, 36, 120);
    seat.press_until("\x02", "the question", |s| s.contents().contains("Name its file"));
    // A name that is none says so and stays there to be put right.
    seat.press(&format!("{home}/pot.tx"));
    seat.wait_text("pot.tx_");
    seat.press("\r");
    seat.wait_text("cannot be read");
    seat.press("t\r");
    seat.wait_text("Steps that are proposed");
    // The source and its reading stand side by side.
    let row = seat.row("250 g barley").unwrap();
    assert!(row.contains("= 250 g · barley"), "{row}");
    let row = seat.row("Sweat the leeks 10 minutes").unwrap();
    assert!(row.contains("sweat: hob"), "{row}");
    seat.press("\r");
    seat.wait_text("Recipe: Leek and barley pot");
    seat.wait_text("? sweat: hob");
    // From the kind of food on, the key goes from one to the next.
    seat.press(&"\x1b[B".repeat(7));
    seat.wait_text("Ctrl-O if it is right.");
    for left in ["4 left", "3 left", "2 left", "1 left", "that was the last"] {
        seat.press("\x0f");
        seat.wait_text(left);
    }
    seat.wait_gone("? ");
    seat.press("\x13");
    seat.wait_text("Saved:");
    let recipe = saved(home, "leek-and-barley-pot");
    assert_eq!(recipe["ingredients"][0]["line"], "2 kg leeks, sliced");
    assert_eq!(recipe["steps"][1]["ways"][0]["minutes"]["likely"], 40);
    assert!(!recipe.to_string().contains("unconfirmed"), "{recipe}");
}

#[test]
fn a_text_is_pasted_and_survives_a_kill_before_anything_is_touched() {
    let home = tempfile::tempdir().unwrap();
    let home = home.path().to_str().unwrap();
    let mut seat = sit(home, 24, 80);
    seat.press_until("\x02", "the question", |s| s.contents().contains("Name its file"));
    // As terminals paste: bracketed, line breaks as carriage returns.
    seat.press(&format!("\x1b[200~{}\x1b[201~", TEXT.replace('\n', "\r")));
    seat.wait_text("the pasted text");
    seat.press("\r");
    seat.wait_text("Recipe: Leek and barley pot");
    seat.kill();
    let mut seat = sit(home, 24, 80);
    seat.press_until("\t", "the recipes", |s| s.contents().contains("+ a new recipe"));
    seat.wait_text("not saved yet");
    // There is one new recipe at a time: the other waits for it.
    seat.press_until("\x02", "why not", |s| s.contents().contains("go on with that one first"));
    seat.press("\r");
    seat.wait_text("Recipe: Leek and barley pot");
    seat.press("\x13");
    seat.wait_text("Saved:");
    let recipe = saved(home, "leek-and-barley-pot");
    assert_eq!(recipe["steps"][0]["unconfirmed"], true);
    assert_eq!(recipe["steps"][0]["words"], "Sweat the leeks 10 minutes, stirring often.");
}
