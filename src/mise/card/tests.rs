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

/// The supper at 19:00: the roast rests from 17:20 to 17:30 and waits in the oven; the chips lie on the counter from 18:39
/// on; the dip is out of the fridge for four minutes from 18:20 on.
#[test]
fn a_dish_is_off_the_table_when_the_guidance_says() {
    let until = |guidance: &str, room_c: i32, change: fn(&mut Evening, &mut Plan)| {
        let (mut evening, mut plan) = supper();
        evening.party.guidance = guidance.to_owned();
        evening.party.room_c = room_c;
        change(&mut evening, &mut plan);
        let of = |dish| until(&evening, &plan, dish).map(|u| evening.face.label(u.minute));
        [of(0), of(1), of(2)].map(Option::unwrap_or_default)
    };
    let as_it_is: fn(&mut Evening, &mut Plan) = |_, _| ();
    // All times together, two hours: what stood before it was served is taken off; of the dip, four minutes of dressing
    // and the six in which it was mixed, before it went into the fridge.
    for guidance in ["us_consumer", "canada"] {
        assert_eq!(until(guidance, 21, as_it_is), ["20:50", "20:39", "20:50"], "{guidance}");
    }
    // An hour above 32 °C.
    assert_eq!(until("us_consumer", 35, as_it_is), ["19:50", "19:39", "19:50"]);
    for guidance in ["australia", "new_zealand"] {
        assert_eq!(until(guidance, 21, as_it_is), ["22:50", "22:39", "22:50"], "{guidance}");
    }
    // Once, from the first minute on, and no going back; the six minutes of mixing are behind the dip all the same.
    assert_eq!(until("us_food_code_2022", 21, as_it_is), ["21:20", "22:39", "22:14"]);
    assert_eq!(until("uk", 21, as_it_is), ["19:20", "20:39", "20:14"]);
    // The dip goes straight from the fridge to the table: the time begins there, but for those six.
    let straight = |_: &mut Evening, plan: &mut Plan| {
        for hold in plan.holds.iter_mut().filter(|h| h.dish == 2) {
            hold.from = 18 * 60 + 20;
        }
    };
    assert_eq!(until("us_food_code_2022", 21, straight)[2], "22:54");
    assert_eq!(until("uk", 21, straight)[2], "20:54");
    // Twenty-five minutes of mixing more: they count, though it was cold since.
    let slow = |_: &mut Evening, plan: &mut Plan| {
        for block in plan.blocks.iter_mut().filter(|b| (b.key.dish, b.key.step) == (2, 0)) {
            block.start -= 25;
        }
    };
    assert_eq!(until("us_consumer", 21, slow)[2], "20:25");
    // Standing on the counter throughout it is out from the first minute on, and no minute counts twice.
    let room = |evening: &mut Evening, _: &mut Plan| {
        evening.sheets[2].recipe.steps[1].after[0].place = crate::kitchen::WaitPlace::Room;
    };
    // Mixed from 16:25 on, dressed by 18:24, then cold: 119 minutes of the 120.
    assert_eq!(until("us_consumer", 21, room)[2], "19:01");
    // An oven too cool to hold is no oven; what does not spoil stays.
    let cool = |_: &mut Evening, plan: &mut Plan| plan.holds[0].setting_c = Some(50);
    assert_eq!(until("us_consumer", 21, cool)[0], "19:20");
    let dry = |evening: &mut Evening, _: &mut Plan| {
        let dry = serde_json::json!({"class": "baked_dry", "exempt": "dry_baked"});
        evening.sheets[0].recipe.safety = serde_json::from_value(dry).expect("safety");
    };
    assert_eq!(until("us_consumer", 21, dry)[0], "");
    let (evening, plan) = supper();
    let words = super::until(&evening, &plan, 1).expect("a limit").words(&evening);
    assert_eq!(words, "by 20:39 (2 hours at room temperature)");
}

/// Looked over by us: what is laid into the serving dishes and what is stuck on boxes.
#[test]
fn cards_and_labels_read_like_this() {
    let (mut evening, plan) = supper();
    let dip = serde_json::json!([{"item": "yoghurt"}, {"item": "vegetable stock"}, {"item": "mustard"},
        {"item": "vegetable stock"}, {"item": "potato"}]);
    evening.sheets[2].recipe.ingredients = serde_json::from_value(dip).expect("ingredients");
    let dry = serde_json::json!({"class": "baked_dry", "exempt": "dry_baked"});
    evening.sheets[1].recipe.safety = serde_json::from_value(dry).expect("safety");
    evening.kitchen.servingware = serde_json::from_value(serde_json::json!([
        {"id": "bowl", "title": "Bowl", "count": 1, "kind": "bowl", "volume_ml": 2000}
    ]))
    .expect("serving dishes");
    let laying = lay(&evening, Some(&plan), &[]);
    let cards = to_lay_in(&evening, Some(&plan), &laying);
    let mut text = String::new();
    for card in cards.iter().chain(&labels(&evening, &plan, &[])) {
        text.push_str(&format!("{} {}\n", card.letter, card.title));
        for (name, words) in &card.lines {
            text.push_str(&format!("  {name}: {words}\n"));
        }
    }
    insta::assert_snapshot!(text);
    // Without a plan nobody knows how long it stood.
    let cards = to_lay_in(&evening, None, &laying);
    assert!(!cards.is_empty() && cards.iter().all(|c| line(c, "off the table").is_none()));
}

/// The roast is made on Thursday evening and heated on Friday, or was made by the time of the plan: Food Code 2022, 3-501.17(A),
/// seven days of which the one on which it was made is the first.
#[test]
fn a_label_counts_from_the_day_before_if_the_first_of_it_is_made_then() {
    let said = |before: &[usize], in_plan: bool| {
        let (mut evening, mut plan) = supper();
        evening.party.guidance = "us_food_code_2022".to_owned();
        for &step in before {
            evening.sheets[0].recipe.steps[step].day_before = true;
        }
        for block in plan.blocks.iter_mut().filter(|b| b.key.dish == 0) {
            if before.contains(&block.key.step) {
                block.start -= 1440;
                block.end -= 1440;
            }
        }
        plan.blocks.retain(|b| in_plan || b.key.dish != 0 || !before.contains(&b.key.step));
        let labels = labels(&evening, &plan, &[]);
        let label = labels.into_iter().find(|c| c.letter == evening.sheets[0].letter);
        let label = label.expect("a label");
        let of = |name| line(&label, name).unwrap_or_default().to_owned();
        (of("made"), of("use by"))
    };
    assert_eq!(said(&[], true), ("Fri 20 Nov 17:30".to_owned(), "Thu 26 Nov".to_owned()));
    let (made, last) = said(&[0, 1], true);
    assert!(made.starts_with("Thu 19 Nov "), "{made}");
    assert_eq!(last, "Wed 25 Nov");
    assert_eq!(said(&[0, 1], false), ("Thu 19 Nov".to_owned(), "Wed 25 Nov".to_owned()));
}
