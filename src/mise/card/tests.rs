use super::*;
use crate::mise::servingware::lay;

fn line<'a>(card: &'a Card, name: &str) -> Option<&'a str> {
    card.lines.iter().find(|l| l.0 == name).map(|l| l.1.as_str())
}

fn guest(name: &str, diet: &str) -> Guest {
    Guest { name: name.into(), count: 1, diets: vec![diet.into()], avoids: Vec::new(), heat: None }
}

/// The supper with a roast that has butter on it and a sauce from a packet.
fn supper() -> (Evening, Plan) {
    let (mut evening, plan) = crate::plan::compose::tests::supper();
    let put = |sheet: &mut Sheet, items: &[&str]| {
        let items =
            items.iter().map(|i| serde_json::json!({"item": i, "amount": 1, "unit": "piece"}));
        let list = serde_json::Value::Array(items.collect());
        sheet.recipe.ingredients = serde_json::from_value(list).expect("ingredients");
    };
    put(&mut evening.sheets[0], &["butter", "carrot"]);
    put(&mut evening.sheets[1], &["potato"]);
    evening.party.guests = vec![
        guest("Ada", "vegan"),
        Guest {
            name: "Bo".into(),
            count: 2,
            diets: Vec::new(),
            avoids: vec!["milk".into()],
            heat: None,
        },
        Guest { name: "Cy".into(), count: 3, diets: Vec::new(), avoids: Vec::new(), heat: None },
    ];
    (evening, plan)
}

#[test]
fn a_card_says_for_whom_it_is_not_and_what_is_in_it() {
    let (evening, plan) = supper();
    let laying = lay(&evening, Some(&plan), &[]);
    let cards = to_lay_in(&evening, Some(&plan), &laying);
    let card = |dish: usize| {
        let letter = evening.sheets[dish].letter;
        cards.iter().find(|c| c.letter == letter).expect("a card")
    };
    assert_eq!(line(card(0), "contains"), Some("milk"));
    assert_eq!(line(card(0), "not for"), Some("Ada (butter); Bo (butter)"));
    assert_eq!(line(card(0), "nothing known against it for"), None);
    assert_eq!(line(card(1), "nothing known against it for"), Some("Ada; Bo"));
    assert_eq!(line(card(1), "contains"), Some("no allergen named in the recipe"));
    // Cy wishes for nothing and is not named; nobody is promised anything.
    for card in &cards {
        let words = card.lines.iter().map(|l| l.1.as_str()).collect::<Vec<_>>().join(" ");
        assert!(!words.contains("Cy") && !words.contains("safe") && !words.contains("free"));
        assert!(line(card, "best before").is_some() && line(card, "from").is_some());
    }
}

#[test]
fn a_dish_that_is_not_made_has_no_card_and_no_label() {
    let (evening, plan) = supper();
    let (all, fewer) = (labels(&evening, &plan, &[]), labels(&evening, &plan, &[1]));
    assert_eq!(all.len(), evening.sheets.len());
    assert_eq!(fewer.len(), all.len() - 1);
    let laying = lay(&evening, Some(&plan), &[1]);
    let letter = evening.sheets[1].letter;
    assert!(to_lay_in(&evening, Some(&plan), &laying).iter().all(|c| c.letter != letter));
}

/// Who eats of one half alone must be told of which.
#[test]
fn a_card_of_a_dish_made_half_and_half_says_which_half_is_for_whom() {
    let (mut evening, plan) = supper();
    let list = serde_json::json!([{"item": "beef steak", "half": "one"}, {"item": "mushroom", "half": "other"},
        {"item": "vegetable stock"}]);
    evening.sheets[0].recipe.ingredients = serde_json::from_value(list).expect("ingredients");
    evening.party.guests =
        vec![guest("Ada", "no beef"), guest("Bo", "vegetarian"), guest("Cy", "dairy-free")];
    let laying = lay(&evening, Some(&plan), &[]);
    let cards = to_lay_in(&evening, Some(&plan), &laying);
    let card = cards.iter().find(|c| c.letter == evening.sheets[0].letter).expect("a card");
    assert_eq!(line(card, "not for"), None);
    let label = line(card, "the label decides for").unwrap_or_default();
    let open = line(card, "nothing known against it for").unwrap_or_default();
    for (guest, half) in [("Ada", true), ("Bo", true), ("Cy", false)] {
        let all = format!("{open}; {label}");
        let said = all.split("; ").find(|w| w.starts_with(guest)).expect("said");
        assert_eq!(said.contains("the other half"), half, "{said}");
    }
}
