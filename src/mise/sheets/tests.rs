use serde_json::json;
use unicode_width::UnicodeWidthStr;

use super::*;
use crate::kitchen::Evening;
use crate::mise::servingware::lay;
use crate::paper::{Row, all, page};
use crate::plan::Plan;
use crate::plan::compose::tests::supper;

fn printed(evening: &Evening, plan: &Plan, dropped: &[usize]) -> (Vec<Paper>, String, String) {
    let laying = lay(evening, Some(plan), dropped);
    let ticked = BTreeSet::new();
    let make = Make { evening, plan, laying: &laying, dropped, ticked: &ticked };
    let papers = sheets(make);
    let (title, lead, foot) = (make.title(), make.lead(), make.foot());
    let html = page(&title, &lead, &papers, &foot);
    let text = all(&title, &lead, &papers, &foot);
    (papers, html, text)
}

#[test]
fn every_block_stands_on_the_run_sheet_once() {
    let (evening, plan) = supper();
    let (papers, _, _) = printed(&evening, &plan, &[]);
    let run = papers.iter().find(|p| p.id == "run-sheet").expect("it is there");
    let Some(Part::Table(table)) = run.parts.first() else { panic!("a table") };
    let cells = |row: &Row| match row {
        Row::Cells(cells) => Some(cells.clone()),
        Row::Heading(_) | Row::Caution(_) => None,
    };
    let rows: Vec<Vec<String>> = table.rows.iter().filter_map(cells).collect();
    for b in &plan.blocks {
        let sheet = &evening.sheets[b.key.dish];
        let load = match b.loads {
            0 | 1 => String::new(),
            loads => format!(" load {} of {loads}", b.key.load + 1),
        };
        let words = format!("{}: {}{load}, ", sheet.short(), sheet.recipe.steps[b.key.step].label);
        let at = evening.face.label(b.start);
        let rows = rows.iter().filter(|r| r[1] == at && r[3].starts_with(&words));
        assert_eq!(rows.count(), 1, "{at} {words}");
    }
    assert!(rows.iter().all(|r| r.len() == table.heads.len()));
}

#[test]
fn the_page_is_one_file_without_script_and_takes_no_word_for_markup() {
    let (mut evening, plan) = supper();
    evening.party.title = "<script>alert(1)</script> & \"more\"".into();
    evening.sheets[0].recipe.title = "Roast <b>".into();
    evening.sheets[0].recipe.steps[0].text = "Salt & rub <i>well</i>.".into();
    let (papers, html, _) = printed(&evening, &plan, &[]);
    assert_eq!(html, printed(&evening, &plan, &[]).1, "the same every time");
    for never in ["<script", "<b>", "<i>", "http:", "https:", "src=", "@import", "url(http"] {
        let own = html.replace("http://www.w3.org/2000/svg", "");
        assert!(!own.contains(never), "{never}");
    }
    assert!(html.contains("Salt &amp; rub &lt;i&gt;well&lt;/i&gt;."));
    for paper in &papers {
        assert!(html.contains(&format!("<section id=\"{}\"", paper.id)));
        assert!(html.contains(&format!("href=\"#{}\"", paper.id)));
    }
}

#[test]
fn the_text_keeps_to_its_columns() {
    let (evening, plan) = supper();
    let (_, _, text) = printed(&evening, &plan, &[]);
    let long: Vec<&str> = text.lines().filter(|l| l.width() > 80).collect();
    assert!(long.is_empty(), "{long:?}");
    assert!(text.lines().all(|l| l == l.trim_end()));
}

/// Nothing borrowed, nobody named, nothing to open: no word of it.
#[test]
fn what_there_is_nothing_of_is_left_out() {
    let (mut evening, plan) = supper();
    for sheet in &mut evening.sheets {
        sheet.recipe.ingredients.clear();
    }
    let (_, _, text) = printed(&evening, &plan, &[]);
    for never in ["guest", "To borrow", "Open and measure", "Notes"] {
        assert!(
            !text.contains(&format!("{never}:")) && !text.contains(&format!("{never}\n")),
            "{never}"
        );
    }
    assert!(!text.contains(" guests."), "{text}");
    evening.party.guests = serde_json::from_value(json!([{"name": "Ada"}])).expect("a guest");
    assert!(printed(&evening, &plan, &[]).2.contains("\n1 guest.\n"));
}

/// A supper with something on every list: what is washed for a guest and after raw food, what is opened and measured,
/// borrowed, ticked, and what cannot be answered for.
fn rich() -> (Evening, Plan) {
    let (mut evening, mut plan) = supper();
    let cut = |item: &str, cut: &str| json!({"item": item, "amount": 4, "cut": cut});
    for (sheet, ingredients) in evening.sheets.iter_mut().zip([
        json!([cut("onion", "diced"), cut("chicken breast", "sliced"), {"item": "salt"},
            {"item": "canned tomatoes", "amount": 2, "unit": "can"}, {"item": "milk", "amount": 1, "unit": "l",
            "kept": "fridge", "steps": ["roast"]}]),
        json!([cut("onion", "diced"), cut("moon rock", "turned"), cut("tomato", "diced")]),
        json!([cut("pear", "diced"), {"item": "ground cumin", "amount": 2, "unit": "tsp"}]),
    ]) {
        sheet.recipe.ingredients = serde_json::from_value(ingredients).expect("ingredients");
    }
    let party = &mut evening.party;
    party.guests = serde_json::from_value(
        json!([{"name": "Otto", "avoids": ["pear"]}, {"name": "Ilse", "count": 3}]),
    )
    .expect("guests");
    party.borrowed =
        serde_json::from_value(json!([{"what": "cookware", "like": "bowl-a", "count": 2}]))
            .expect("a bowl");
    // Of two pairs of hands one has a part of them on a roast for a while.
    let roast =
        plan.blocks.iter_mut().find(|b| b.key.dish == 0 && b.key.step == 1).expect("a roast");
    (roast.hands_start, roast.hands_between, roast.hands_end) = (2, 10, 1);
    (evening, plan)
}

/// Looked over by us.
#[test]
fn the_sheets_read_like_this() {
    let (evening, plan) = rich();
    let laying = lay(&evening, Some(&plan), &[]);
    let ticked = BTreeSet::from(["mise/onion, diced".to_owned()]);
    let make =
        Make { evening: &evening, plan: &plan, laying: &laying, dropped: &[], ticked: &ticked };
    insta::assert_snapshot!(all(&make.title(), &make.lead(), &sheets(make), &make.foot()));
}

#[test]
fn what_the_hands_have_to_do_is_said() {
    let (evening, plan) = supper();
    let key = plan.blocks.iter().find(|b| b.key.dish == 0 && b.key.step == 1).expect("a roast").key;
    // From 16:20 to 17:20.
    let said = |cook: bool, (start, between, end): (i32, i32, i32)| {
        let mut plan = plan.clone();
        let block = plan.blocks.iter_mut().find(|b| b.key == key).expect("a roast");
        block.cook = cook.then(|| "kim".to_owned());
        (block.hands_start, block.hands_between, block.hands_end) = (start, between, end);
        let laying = lay(&evening, Some(&plan), &[]);
        let ticked = BTreeSet::new();
        until(
            Make { evening: &evening, plan: &plan, laying: &laying, dropped: &[], ticked: &ticked },
            key,
        )
    };
    assert_eq!(said(true, (2, 10, 1)), "2 min, 10 %, 1 min at 17:19");
    assert_eq!(said(true, (2, 0, 5)), "2 min, 5 min at 17:15");
    assert_eq!(said(true, (0, 99, 0)), "99 %");
    assert_eq!(said(true, (0, 100, 0)), "to 17:20");
    assert_eq!(said(true, (0, 0, 0)), "");
    assert_eq!(said(false, (2, 10, 1)), "");
}
