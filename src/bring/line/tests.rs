//! Ingredient lines of our own making. Other people's lines and labels are judged
//! by `tests/outside/lines.py`.

use proptest::prelude::*;

use super::{IngredientLine, LineReading, read};
use crate::bring::wire;

fn ingredient(line: &str) -> IngredientLine {
    match read(line) {
        LineReading::Ingredient(found) => *found,
        other => panic!("{line}: {other:?}"),
    }
}

/// Amount, unit's word, item, what is done beforehand.
fn short(line: &str) -> String {
    let i = ingredient(line);
    let amount = match (i.amount, i.amount_to) {
        (Some(low), Some(high)) => format!("{low}-{high}"),
        (Some(n), None) => n.to_string(),
        _ => "?".to_owned(),
    };
    let unit = i.unit.map_or(String::new(), |u| format!(" {}", u.word));
    let prep = i.prep.map_or(String::new(), |p| format!(" | {p}"));
    let or: String = i.or.iter().map(|o| format!(" or {o}")).collect();
    format!("{amount}{unit} {}{or}{prep}", i.item)
}

#[test]
fn lines_of_a_supper_are_read() {
    for (line, expected) in [
        (
            "• 3½ kg floury potatoes, peeled & quartered",
            "3.5 kg floury potatoes | peeled & quartered",
        ),
        ("1-3/4 c. rolled oats", "1.75 c rolled oats"),
        ("2–3 tbsp chopped fresh dill", "2-3 tbsp fresh dill | chopped"),
        ("6 garlic cloves, crushed", "6 cloves garlic | crushed"),
        ("2 celery sticks, finely sliced", "2 sticks celery | finely sliced"),
        ("3 x 400 g tins plum tomatoes", "3 tins plum tomatoes"),
        ("1 kg 200 g beetroot", "1.2 kg beetroot"),
        ("1 cup plus 2 tbsp cream", "1.125 cup cream"),
        ("juice of 3 oranges", "3 oranges | juice of"),
        ("zest and juice of ½ lemon", "0.5 lemon | zest and juice of"),
        ("half a red cabbage, shredded", "0.5 red cabbage | shredded"),
        ("a dozen small beets", "12 beets"),
        ("pepper, black, ground", "? black ground pepper"),
        ("beef or vegetable stock", "? beef stock or vegetable stock"),
        ("40 g butter or goose fat", "40 g butter or goose fat"),
        ("2 leeks, or 1 onion", "2 leeks or onion"),
        ("10 cloves", "10 cloves"),
        ("Pinch of nutmeg", "1 pinch nutmeg"),
        ("2 onions sliced into rings", "2 onions | sliced into rings"),
        ("Sea salt", "? sea salt"),
        ("1,5 l cider", "1.5 l cider"),
        ("1 kg/2 lb 4 oz beetroot", "1 kg beetroot"),
        ("1 kg (2 lb 4 oz) beetroot", "1 kg beetroot"),
        ("1 and a half cups of milk", "1.5 cups milk"),
        ("two and a half cups of milk", "2.5 cups milk"),
        ("10 000 g flour", "10000 g flour"),
        ("2 cups minus 1 tbsp flour", "2 cups flour"),
        ("forty-eight eggs", "48 eggs"),
        ("1 cup and 2 tbsp flour", "1.125 cup flour"),
        ("2 cups and 3 eggs", "2 cups and 3 eggs"),
        ("one and one-half cups water", "1.5 cups water"),
        ("one half cup water", "0.5 cup water"),
        ("1 half baguette", "0.5 baguette"),
        ("a cup and a half of milk", "1.5 cup milk"),
        ("two-thirds cup milk", "2/3 cup milk"),
    ] {
        assert_eq!(short(line), expected, "{line}");
    }
}

#[test]
fn what_else_a_line_says_is_kept() {
    let line = ingredient("2 (14-oz) cans white beans, drained (optional)");
    assert!(line.optional);
    let pack = line.pack.expect("a pack");
    assert_eq!(
        (pack.amount.to_string(), pack.unit.map(|u| u.word)),
        ("14".into(), Some("oz".into()))
    );
    let line = ingredient("150 g/5 oz blue cheese, crumbled, plus extra to serve");
    assert_eq!(line.equals.len(), 1);
    assert_eq!(line.notes, ["plus extra to serve"]);
    assert_eq!(line.cut(), Some("crumbled"));
    let line = ingredient("120 g sugar, divided");
    assert!(line.divided && line.prep.is_none());
    let line = ingredient("about 2 large parsnips, to taste");
    assert!(line.about && line.to_taste);
    assert_eq!(line.sizes, ["large"]);
    let line = ingredient("1 kg/2 lb 4 oz beetroot");
    assert_eq!(line.equals[0].amount.to_string(), "2.25");
    let line = ingredient("2 cups less 2 tablespoons flour");
    assert_eq!(line.notes, ["less 2 tablespoons"]);
    let line = ingredient("200 ml milk, at room temperature");
    assert_eq!((line.prep.as_deref(), line.cut()), (Some("at room temperature"), None));
}

#[test]
fn what_is_no_ingredient_is_said_to_be_none() {
    assert_eq!(read("For the topping:"), LineReading::Heading("For the topping".into()));
    assert_eq!(read("## Gravy"), LineReading::Heading("Gravy".into()));
    for line in ["", "---", "1 1/2", "(2)", "***"] {
        assert!(matches!(read(line), LineReading::Unread(_)), "{line}");
    }
    let step = "3. Turn the oven down and roast the roots until they are brown.";
    assert!(matches!(read(step), LineReading::Unread(_)));
    assert!(matches!(read(&"leek ".repeat(200)), LineReading::Unread(_)));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, ..ProptestConfig::default() })]

    #[test]
    fn no_line_breaks_the_reader(line in "[ -~½¼–€éß\\n\\t]{0,120}") {
        let entry = wire::entry(&line, &read(&line));
        prop_assert_eq!(entry.line, line);
    }

    #[test]
    fn a_plain_line_is_read_as_it_was_made(
        whole in 1_i64..500, unit in prop::sample::select(vec!["g", "kg", "tbsp", "cups", "lb"]),
        item in prop::sample::select(vec!["barley", "red lentils", "goose fat", "plum jam"]),
    ) {
        let line = ingredient(&format!("{whole} {unit} {item}"));
        prop_assert_eq!(line.amount, Some(crate::kitchen::units::Exact::whole(whole)));
        prop_assert_eq!(line.unit.map(|u| u.word), Some(unit.to_owned()));
        prop_assert_eq!(line.item, item);
    }
}
