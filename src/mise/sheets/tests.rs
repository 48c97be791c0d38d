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
